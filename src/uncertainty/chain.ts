import { bodyMotion } from '../body/body-motion-from-trajectories.ts';
import { NO_SHIFTS } from '../body/body-shifts.ts';
import type { HipShift, MarkerCentres } from '../body/marker-centres/marker-centres.ts';
import { SEGMENT_KINDS, type SegmentKind, type SegmentParameters, type SegmentTable } from '../body/segment-table.ts';
import type { SkeletonFit } from '../body/skeleton/skeleton-fit.ts';
import { tableFor } from '../body/table-for.ts';
import type { CameraRig } from '../cameras/rig.ts';
import type { Recording, RecordingData } from '../capture/recording.ts';
import { describeLift } from '../lift/describe-lift.ts';
import type { LiftRecord } from '../lift/lift-record.ts';
import { USUAL_UNMEASURED } from '../lift/unmeasured.ts';
import { jointLoads } from '../mechanics/joint-loads-from-motion.ts';
import { USUAL_ASSUMPTIONS } from '../mechanics/leg-sharing/assumptions.ts';
import { multiply3, rotationAboutY } from '../numerics/rotation.ts';
import { headingAngle } from '../reconstruction/heading.ts';
import type { Reconstruction } from '../reconstruction/reconstruct.ts';
import type { Trajectories } from '../reconstruction/trajectories.ts';
import { turnPoints } from '../reconstruction/turn.ts';
import type { VelocityPoints } from '../reconstruction/velocity-points.ts';
import type { BodyDraw, Cause, PointMove } from './causes/cause.ts';

/** One recording, analysed: what draws start from. */
export interface AnalysedRecording {
  readonly data: RecordingData;
  readonly rig: CameraRig | null;
  readonly reconstruction: Reconstruction;
  /** Joint centres from markers; absent or null where there are none. */
  readonly centres?: MarkerCentres | null;
  /** null where the points were left free. */
  readonly skeleton: SkeletonFit | null;
  readonly record: LiftRecord;
}

/**
 * Runs the chain once more from the smoothed points on: other points, another body, another load; everything from there is
 * the analysis itself, so an event that moves, moves.
 *
 * z: one value a cause; noise: as drawn, or null.
 */
export type Chain = (causes: readonly Cause[], z: ArrayLike<number>, noise: PointMove | null) => LiftRecord;

/** withCurves false: measures only. */
export function chainOf(
  { data, reconstruction, centres = null, skeleton }: AnalysedRecording,
  withCurves = true,
): Chain {
  const { recording, forcePlates } = data;
  const { smoothed, turn } = reconstruction;
  const base = skeleton?.trajectories ?? centres?.trajectories ?? smoothed;
  const table = tableFor(recording.segments, recording.athlete.sex);
  const position = new Float64Array(smoothed.position.length);
  const facing = headingAngle(smoothed.landmarks, smoothed.position);
  return (causes, z, noise) => {
    position.set(smoothed.position);
    const body = unchangedBody();
    let apart = noise;
    let moves = noise !== null;
    for (let k = 0; k < causes.length; k++) {
      if (z[k] === 0) continue;
      const { movePoints, moveApart } = causes[k];
      moves ||= movePoints !== undefined || moveApart !== undefined;
      if (moveApart) apart = added(apart, moveApart, z[k]);
      movePoints?.(position, z[k]);
      causes[k].changeBody?.(body, z[k]);
    }
    moves ||= body.hipRegressionM.some((shiftM) => shiftM !== 0);
    // A body that is another one stands on the same points: the fit to them, half of the work, is the one there is.
    const moved = moves ? movedPoints(position, apart, body.hipRegressionM) : null;
    const drawn = recordingOf(recording, body);
    const motion = bodyMotion(moved?.trajectories ?? base, drawn, drawnTable(table, body), body.shifts);
    return describeLift(
      jointLoads(motion, forcePlates, moved?.turn ?? turn),
      drawn,
      withCurves,
      body.sharing,
      body.unmeasured,
    );
  };

  /**
   * `caused`: the smoothed points as the causes moved them; the noise is added to it. The way the lifter faces is found
   * again from the moved points, as the analysis found it: all of them turn, and the force plates with them.
   */
  function movedPoints(
    caused: Float64Array,
    noise: PointMove | null,
    hipShift: HipShift,
  ): { readonly trajectories: Trajectories; readonly turn: Float64Array } {
    const forVelocity = smoothed.forVelocity && movedForVelocity(smoothed.forVelocity, smoothed, caused, noise);
    if (noise !== null) for (let i = 0; i < caused.length; i++) caused[i] += noise.smoothed[i];
    const further = furtherTurn(headingAngle(smoothed.landmarks, caused) - facing);
    turnPoints(caused, further);
    if (forVelocity) turnPoints(forVelocity.position, further);
    const moved = centres ? centres.place(caused, hipShift) : caused;
    // `position` is written over by the next draw.
    const beforeFit = moved.slice();
    const trajectories = skeleton
      ? { ...base, position: skeleton.refit(moved), beforeFit, forVelocity }
      : { ...base, position: beforeFit, forVelocity };
    return { trajectories, turn: multiply3(further, turn) };
  }
}

/** Points for velocities moved as the causes moved the smoothed ones (`caused`), and by their own answer to the noise. */
function movedForVelocity(
  points: VelocityPoints,
  { position: smoothed, landmarks, frames }: Trajectories,
  caused: Float64Array,
  noise: PointMove | null,
): VelocityPoints {
  const position = points.position.slice();
  for (let frame = 0, o = 0; frame < frames; frame++) {
    for (const column of points.columns) {
      const i = 3 * (frame * landmarks.length + column);
      for (let axis = 0; axis < 3; axis++, o++) {
        position[o] += caused[i + axis] - smoothed[i + axis];
        if (noise !== null) position[o] += noise.forVelocity[o];
      }
    }
  }
  return { ...points, position };
}

/** The sum of a move (null: none) and `z` times another. */
function added(move: PointMove | null, more: PointMove, z: number): PointMove {
  const sum = (a: Float64Array | undefined, b: Float64Array) => b.map((value, i) => z * value + (a?.[i] ?? 0));
  return { smoothed: sum(move?.smoothed, more.smoothed), forVelocity: sum(move?.forVelocity, more.forVelocity) };
}

/** None where no pair of points tells the facing. */
function furtherTurn(angleRad: number): Float64Array {
  return rotationAboutY(Number.isNaN(angleRad) ? 0 : angleRad);
}

/** A body in which nothing is changed yet. */
export function unchangedBody(): BodyDraw {
  const zeros = () => Object.fromEntries(SEGMENT_KINDS.map((kind) => [kind, 0])) as Record<SegmentKind, number>;
  return {
    massKg: 0,
    loadKg: 0,
    segmentMass: zeros(),
    segmentCentre: zeros(),
    shifts: { ...NO_SHIFTS },
    sharing: { ...USUAL_ASSUMPTIONS },
    unmeasured: { ...USUAL_UNMEASURED },
    hipRegressionM: [0, 0, 0],
  };
}

function recordingOf(recording: Recording, { massKg, loadKg }: BodyDraw): Recording {
  if (massKg === 0 && loadKg === 0) return recording;
  const { athlete, load } = recording;
  return {
    ...recording,
    athlete: { ...athlete, massKg: athlete.massKg + massKg },
    load: { ...load, totalKg: Math.max(0, load.totalKg + loadKg) },
  };
}

const PAIRED: ReadonlySet<SegmentKind> = new Set(['upper_arm', 'forearm', 'hand', 'thigh', 'shank', 'foot']);

/** The table with its masses and centres changed; masses keep the sum they had. */
export function drawnTable(table: SegmentTable, { segmentMass, segmentCentre }: BodyDraw): SegmentTable {
  const changed = SEGMENT_KINDS.some((kind) => segmentMass[kind] !== 0 || segmentCentre[kind] !== 0);
  if (!changed) return table;
  const sum = (massOf: (kind: SegmentKind) => number) =>
    SEGMENT_KINDS.reduce((total, kind) => total + (PAIRED.has(kind) ? 2 : 1) * massOf(kind), 0);
  const published = (kind: SegmentKind) => table.segments[kind].massFraction;
  const drawn = (kind: SegmentKind) => published(kind) * (1 + segmentMass[kind]);
  const scale = sum(published) / sum(drawn);
  const segments = Object.fromEntries(
    SEGMENT_KINDS.map((kind): [SegmentKind, SegmentParameters] => [
      kind,
      {
        ...table.segments[kind],
        massFraction: scale * drawn(kind),
        centreFraction: table.segments[kind].centreFraction + segmentCentre[kind],
      },
    ]),
  ) as Record<SegmentKind, SegmentParameters>;
  return { ...table, segments };
}
