import type { Landmark } from '../capture/landmarks.ts';
import { reconstructionNotes } from '../messages/reconstruction.ts';
import { median, quantile } from '../numerics/statistics.ts';
import {
  ANKLE_HEIGHT_HIGH_M,
  ANKLE_HEIGHT_LOW_M,
  ANKLE_JOINT_HEIGHT_M,
  FLOOR_QUANTILE,
  FOOT_POINT_HEIGHT_M,
  STILL_HALF_WINDOW_S,
  STILL_TRAVEL_M,
} from './limits.ts';

const ANKLES: readonly Landmark[] = ['left_ankle', 'right_ankle'];
const FOOT_POINTS: readonly Landmark[] = [
  'left_big_toe',
  'left_small_toe',
  'left_heel',
  'right_big_toe',
  'right_small_toe',
  'right_heel',
];

export interface Floor {
  readonly heightM: number;
  readonly basis: 'world zero' | 'estimated from the feet';
}

/**
 * Height of the floor the lifter stands on, metres.
 *
 * The zero of the heights given, where the ankles at rest stand ANKLE_HEIGHT_LOW_M to ANKLE_HEIGHT_HIGH_M above it.
 * Else estimated: the lowest heel or toe point (5 % quantile of its still frames) less FOOT_POINT_HEIGHT_M; without
 * heels and toes the lowest ankle less ANKLE_JOINT_HEIGHT_M. Every departure from the first case is noted.
 *
 * position: `3 * (frame * landmarks.length + landmark)`, metres, Y up.
 */
export function findFloor(
  landmarks: readonly Landmark[],
  position: Float64Array,
  frames: number,
  frameRateHz: number,
  notes: string[],
): Floor {
  const series = (names: readonly Landmark[]) =>
    names.map((name) => restingHeights(landmarks, position, frames, frameRateHz, name)).filter((h) => h.length > 0);
  const ankles = series(ANKLES);
  const footPoints = series(FOOT_POINTS);
  if (ankles.length === 0 && footPoints.length === 0) {
    notes.push(reconstructionNotes.floorNoFeet);
    return { heightM: 0, basis: 'world zero' };
  }
  const ankleM = ankles.length === 0 ? null : median(ankles.flat());
  if (ankleM !== null && ankleM >= ANKLE_HEIGHT_LOW_M && ankleM <= ANKLE_HEIGHT_HIGH_M) {
    return { heightM: 0, basis: 'world zero' };
  }
  const lowest = (heights: readonly (readonly number[])[]) =>
    Math.min(...heights.map((values) => quantile(values, FLOOR_QUANTILE)));
  const heightM =
    footPoints.length > 0 ? lowest(footPoints) - FOOT_POINT_HEIGHT_M : lowest(ankles) - ANKLE_JOINT_HEIGHT_M;
  notes.push(
    reconstructionNotes.floorEstimated(heightM, footPoints.length > 0 ? 'heels and toes' : 'the ankles', ankleM),
  );
  return { heightM, basis: 'estimated from the feet' };
}

/** Heights of one point in the frames in which it rests; all its heights where it never does. */
function restingHeights(
  landmarks: readonly Landmark[],
  position: Float64Array,
  frames: number,
  frameRateHz: number,
  name: Landmark,
): number[] {
  const column = landmarks.indexOf(name);
  if (column < 0) return [];
  const at = (frame: number) => 3 * (frame * landmarks.length + column);
  const half = Math.max(1, Math.round(STILL_HALF_WINDOW_S * frameRateHz));
  const all: number[] = [];
  const resting: number[] = [];
  for (let k = 0; k < frames; k++) {
    const height = position[at(k) + 1];
    if (Number.isNaN(height)) continue;
    all.push(height);
    if (k < half || k + half >= frames) continue;
    // Both ways: a foot at the top of a step is back at the same height a moment later.
    const travel = Math.max(
      distanceBetween(position, at(k - half), at(k)),
      distanceBetween(position, at(k), at(k + half)),
    );
    if (travel < STILL_TRAVEL_M) resting.push(height);
  }
  return resting.length > 0 ? resting : all;
}

function distanceBetween(position: Float64Array, a: number, b: number): number {
  return Math.hypot(position[b] - position[a], position[b + 1] - position[a + 1], position[b + 2] - position[a + 2]);
}
