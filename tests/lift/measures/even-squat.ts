import { DEEP, hold, moveEvenly, type Posture, STANDING } from '../make-loads.ts';

/** Every angle goes evenly with time, 157 frames down and 143 up: interpolation between frames is exact for them. */
export const EVEN: readonly Posture[] = [
  ...hold(STANDING, 150),
  ...moveEvenly(STANDING, DEEP, 157),
  ...moveEvenly(DEEP, STANDING, 143),
  ...hold(STANDING, 150),
];

/** Share of the way down of a posture of EVEN, 0 … 1; and of its parallel. */
export const depthOf = (p: Posture) => (STANDING.thigh - p.thigh) / (STANDING.thigh - DEEP.thigh);
export const PARALLEL_DEPTH = STANDING.thigh / (STANDING.thigh - DEEP.thigh);

/** The most that a number going evenly with depth keeps for the 25 intervals of a quarter second: 13 before the bottom, 12 after it. */
export const HELD_DEPTH = 1 - Math.max(13 / 157, 12 / 143);

/** Where the first third of the way up from `bottom` ends: the frame after it, and how far between the two it lies. */
export function thirdOfTheWayUp(heights: readonly number[], bottom: number, top: number) {
  const level = heights[top] - (2 / 3) * (heights[top] - heights[bottom]);
  const after = heights.findIndex((height, f) => f > bottom && height >= level);
  return { after, part: (level - heights[after - 1]) / (heights[after] - heights[after - 1]) };
}
