import type { Landmark } from '../capture/landmarks.ts';
import { HEADING_TRIM_DEG } from './limits.ts';

/** Left-right pairs whose line points to the lifter's right. */
const PAIRS: readonly (readonly [Landmark, Landmark])[] = [
  ['left_hip', 'right_hip'],
  ['left_ankle', 'right_ankle'],
  ['left_shoulder', 'right_shoulder'],
  ['left_knee', 'right_knee'],
];

const MAX_PASSES = 20;

/**
 * Angle about +Y (radians) that turns the points so that the lifter's left-to-right lines point along +Z; he then faces
 * +X, since X = Y × Z. NaN where no frame shows both points of a pair.
 *
 * Every frame of every pair (hips, ankles, shoulders, knees) gives one horizontal unit vector; the heading is their mean
 * direction, repeated without those that turn away from it by more than HEADING_TRIM_DEG until the choice stands.
 * One angle for the whole recording: a lifter who turns during a set is not followed.
 *
 * position: `3 * (frame * landmarks.length + landmark)`, metres, Y up; NaN = missing.
 */
export function headingAngle(landmarks: readonly Landmark[], position: Float64Array): number {
  const { x, z } = rightwardDirections(landmarks, position);
  if (x.length === 0) return Number.NaN;
  const leastCosine = Math.cos((HEADING_TRIM_DEG * Math.PI) / 180);
  let meanX = 0;
  let meanZ = 0;
  for (let pass = 0; pass < MAX_PASSES; pass++) {
    const length = Math.hypot(meanX, meanZ);
    let sumX = 0;
    let sumZ = 0;
    for (let i = 0; i < x.length; i++) {
      if (pass > 0 && x[i] * meanX + z[i] * meanZ < leastCosine * length) continue;
      sumX += x[i];
      sumZ += z[i];
    }
    const isSettled = sumX === meanX && sumZ === meanZ;
    const isEmpty = sumX === 0 && sumZ === 0; // no vector near the mean: the mean of all stands
    if (isSettled || isEmpty) break;
    meanX = sumX;
    meanZ = sumZ;
  }
  return Math.atan2(-meanX, meanZ);
}

/** Horizontal unit vectors from each left point to its right partner. */
function rightwardDirections(landmarks: readonly Landmark[], position: Float64Array): { x: number[]; z: number[] } {
  const x: number[] = [];
  const z: number[] = [];
  const count = landmarks.length;
  for (const [leftName, rightName] of PAIRS) {
    const left = landmarks.indexOf(leftName);
    const right = landmarks.indexOf(rightName);
    if (left < 0 || right < 0) continue;
    for (let from = 0; from < position.length; from += 3 * count) {
      const dx = position[from + 3 * right] - position[from + 3 * left];
      const dz = position[from + 3 * right + 2] - position[from + 3 * left + 2];
      const length = Math.hypot(dx, dz);
      if (!(length > 0)) continue;
      x.push(dx / length);
      z.push(dz / length);
    }
  }
  return { x, z };
}
