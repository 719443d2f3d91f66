import { MENS_BAR_KG, WOMENS_BAR_KG } from '../body/barbell.ts';
import type { BodyMotion } from '../body/body-motion.ts';
import type { Landmark } from '../capture/landmarks.ts';
import { MOMENT_LANDMARKS } from '../capture/landmarks.ts';
import type { Recording } from '../capture/recording.ts';
import { SampleStatus } from '../capture/sample-status.ts';
import { thighElevation } from '../lift/angles.ts';
import type { Posture } from '../predict/posture.ts';
import { pointOf } from '../predict/posture.ts';
import type { Trajectories } from '../reconstruction/trajectories.ts';
import { type Scene, sceneOf } from './foreseen-scene.ts';

/** A lifter as filmed, in the postures of one recording; heights count from the floor. */
export interface MeasuredScene {
  readonly scene: Scene;
  /** Thigh elevation of the posture that stands for parallel, degrees. */
  readonly parallelDeg: number;
}

/** Elevation steps, degrees: how far the posture before and after parallel must differ, and how near to 0 counts as parallel. */
const BESIDE_DEG = 1.5;
export const NEAR_PARALLEL_DEG = 4;
/** Thigh elevations on the way that are watched for hiding, degrees. */
const ON_THE_WAY_DEG = [50, 20] as const;

/** The scene of a recording; null where no frame has all joints. */
export function measuredScene(recording: Recording, motion: BodyMotion): MeasuredScene | null {
  const { trajectories } = motion;
  const elevation = elevations(motion);
  const usable = usableFrames(trajectories).filter((f) => Number.isFinite(elevation[f]));
  if (usable.length === 0) return null;
  const nearest = (deg: number) =>
    usable.reduce((best, f) => (Math.abs(elevation[f] - deg) < Math.abs(elevation[best] - deg) ? f : best));
  const standing = usable.reduce((best, f) => (elevation[f] > elevation[best] ? f : best));
  const bottom = usable.reduce((best, f) => (elevation[f] < elevation[best] ? f : best));
  const parallel = elevation[bottom] > 0 ? bottom : nearest(0);
  const beside = besideFrames(elevation, usable, parallel);
  const frames = { standing, parallel, bottom };
  const onTheWay = ON_THE_WAY_DEG.map((deg) => [`thighs at ${deg}°`, nearest(deg)] as const);
  const all = [standing, parallel, bottom, ...beside, ...onTheWay.map(([, frame]) => frame)];
  const landmarks = trajectories.landmarks.filter((_, l) => all.every((f) => isKnown(trajectories, f, l)));
  const at = (frame: number) => postureAt(trajectories, landmarks, frame);
  const { load, athlete } = recording;
  const barKg = Math.min(load.totalKg, load.bar.massKg ?? (athlete.sex === 'female' ? WOMENS_BAR_KG : MENS_BAR_KG));
  const feet = [pointOf(at(frames.standing), 'left_ankle'), pointOf(at(frames.standing), 'right_ankle')] as const;
  const scene = sceneOf(
    { sex: athlete.sex, massKg: athlete.massKg, load, segments: recording.segments },
    { standing: at(standing), parallel: at(parallel), bottom: at(bottom) },
    [at(beside[0]), at(beside[1])],
    onTheWay.map(([name, frame]) => [name, at(frame)] as const),
    load.totalKg > 0 ? { loadKg: load.totalKg, barKg } : null,
    [(feet[0][0] + feet[1][0]) / 2, (feet[0][2] + feet[1][2]) / 2],
  );
  return { scene, parallelDeg: elevation[parallel] };
}

function elevations({ joints, frames }: BodyMotion): Float64Array {
  const { left_hip, left_knee, right_hip, right_knee } = joints;
  if (!left_hip || !left_knee || !right_hip || !right_knee) return new Float64Array(frames).fill(Number.NaN);
  const right = thighElevation(right_hip, right_knee);
  return thighElevation(left_hip, left_knee).map((value, f) => (value + right[f]) / 2);
}

/** Frames in which every joint is known, away from filter edges where there are such. */
function usableFrames(trajectories: Trajectories): number[] {
  const joints = MOMENT_LANDMARKS.map((name) => trajectories.landmarks.indexOf(name));
  if (joints.includes(-1)) return [];
  const known = Array.from({ length: trajectories.frames }, (_, f) => f).filter((f) =>
    joints.every((l) => isKnown(trajectories, f, l)),
  );
  const count = trajectories.landmarks.length;
  const inner = known.filter((f) => joints.every((l) => trajectories.status[f * count + l] !== SampleStatus.edge));
  return inner.length > 0 ? inner : known;
}

function isKnown({ position, landmarks }: Trajectories, frame: number, landmark: number): boolean {
  return Number.isFinite(position[3 * (frame * landmarks.length + landmark)]);
}

/** The nearest usable frames before and after whose elevations lie BESIDE_DEG apart: on one way, else the frame itself twice over. */
function besideFrames(elevation: Float64Array, usable: readonly number[], parallel: number): readonly [number, number] {
  const middle = usable.indexOf(parallel);
  for (let step = 1; step < usable.length; step++) {
    const before = usable[Math.max(0, middle - step)];
    const after = usable[Math.min(usable.length - 1, middle + step)];
    if (Math.abs(elevation[before] - elevation[after]) >= BESIDE_DEG) return [before, after];
  }
  return [usable[0], usable[usable.length - 1]];
}

function postureAt(trajectories: Trajectories, landmarks: readonly Landmark[], frame: number): Posture {
  const { position, floorHeightM } = trajectories;
  const out = new Float64Array(3 * landmarks.length);
  landmarks.forEach((landmark, i) => {
    const from = 3 * (frame * trajectories.landmarks.length + trajectories.landmarks.indexOf(landmark));
    out.set([position[from], position[from + 1] - floorHeightM, position[from + 2]], 3 * i);
  });
  return { landmarks, position: out };
}
