import type { Recording } from '../../capture/recording.ts';
import type { Trajectories } from '../../reconstruction/trajectories.ts';
import { type OffsetTable, offsetPointOf, offsetTable } from '../keypoint-offsets.ts';
import { type HeavyPoint, heavyPoints } from './heavy-points.ts';
import { type LengthWeights, lengthWeights } from './lengths.ts';
import { type PointVariances, pointVariances } from './point-variance.ts';
import { type ProjectionRoom, projectionRoom } from './project-frames.ts';
import { findRests, type Rest, type RestLimit } from './resting-points.ts';
import { type RodSystem, rodSystem } from './rods.ts';
import { type SpotPair, spotPairs, spotsInto, standInto } from './spots.ts';

/**
 * Share of its variance a heavy point keeps when lengths are closed. What is left then lies above the heavy points' own
 * cut-off, where their filter lets next to nothing through. Found by comparing with the fit of all frames at once
 * (tests/body/skeleton/joint-optimum.test.ts): 1 loses 5 % and shakes the hips, 0.02 loses 1 %.
 */
const CLOSING_SHARE = 0.02;

/** All that is decided once from the smoothed points: every later fit is one and the same function of the positions. */
export interface Structure {
  readonly frames: number;
  readonly count: number;
  readonly frameRateHz: number;
  readonly system: RodSystem;
  readonly rests: readonly Rest[];
  readonly restLimits: readonly RestLimit[];
  readonly pairs: readonly SpotPair[];
  readonly heavy: readonly HeavyPoint[];
  readonly variances: PointVariances;
  /** What the projection weighs by: noise and lasting offsets, 0 for points wholly at rest. Layout of a covariance. */
  readonly weighed: Float64Array;
  /** The same for the closing round: heavy points hardly give way. */
  readonly closing: Float64Array;
  readonly lengthWeights: LengthWeights;
  readonly offsets: OffsetTable;
  /** Written by every fit: lengths (one a rod) and spots (`3 * rest`), metres; and room for the equations. */
  readonly lengths: Float64Array;
  readonly spots: Float64Array;
  readonly room: ProjectionRoom;
}

export function structureOf(smoothed: Trajectories, recording: Recording): Structure {
  const { frames, frameRateHz, landmarks, position } = smoothed;
  const count = landmarks.length;
  const system = rodSystem(landmarks, position, frames);
  const variances = pointVariances(smoothed);
  const { rests, limits } = findRests(smoothed, variances.raw);
  const weighed = variances.smoothed.slice();
  const offsets = offsetTable(recording.detector, recording.source.kind);
  addOffsets(weighed, smoothed, offsets);
  settle(weighed, rests, count);
  const heavy = heavyPoints(smoothed, system);
  const closing = weighed.slice();
  for (const { column } of heavy) {
    for (let k = 0; k < frames; k++) {
      const at = 6 * (k * count + column);
      for (let c = 0; c < 6; c++) closing[at + c] *= CLOSING_SHARE;
    }
  }

  const room = projectionRoom(system);
  const spots = new Float64Array(3 * rests.length);
  const standing = position.slice();
  spotsInto(spots, rests, position, variances.raw, count);
  standInto(standing, position, rests, spots, count);
  return {
    frames,
    count,
    frameRateHz,
    system,
    rests,
    restLimits: limits,
    pairs: spotPairs(rests, system),
    heavy,
    variances,
    weighed,
    closing,
    lengthWeights: lengthWeights(standing, variances.raw, frames, count, system, recording, room),
    offsets,
    lengths: new Float64Array(system.rods.length),
    spots,
    room,
  };
}

/**
 * Adds the variance of lasting offsets between points and joint centres (forward, up, outward are the lab's axes). Where
 * they are the larger error, which point gives way is decided by them: hips more than knees.
 */
function addOffsets(variance: Float64Array, { landmarks, frames }: Trajectories, { offsets }: OffsetTable): void {
  const count = landmarks.length;
  landmarks.forEach((landmark, l) => {
    const of = offsetPointOf(landmark);
    if (!of) return;
    const [forward, up, outward] = offsets[of.point].sdM;
    for (let k = 0; k < frames; k++) {
      const at = 6 * (k * count + l);
      variance[at] += forward * forward;
      variance[at + 3] += up * up;
      variance[at + 5] += outward * outward;
    }
  });
}

/** A point that rests by a share s keeps (1 − s)² of its variance: none on its spot. */
export function settle(variance: Float64Array, rests: readonly Rest[], count: number): void {
  for (const { column, first, share } of rests) {
    for (let i = 0; i < share.length; i++) {
      const at = 6 * ((first + i) * count + column);
      for (let c = 0; c < 6; c++) variance[at + c] *= (1 - share[i]) ** 2;
    }
  }
}
