import { median } from '../numerics/statistics.ts';
import { LIFTER_RANGE_M } from './limits.ts';

/**
 * Samples further than LIFTER_RANGE_M from the median of all samples (per axis): no part of one lifter's body.
 * position: `3 * sample`, metres; NaN samples are passed over.
 */
export function samplesBeyondRange(position: Float64Array): number[] {
  const axes: number[][] = [[], [], []];
  for (let o = 0; o < position.length; o += 3) {
    if (Number.isNaN(position[o])) continue;
    for (let axis = 0; axis < 3; axis++) axes[axis].push(position[o + axis]);
  }
  const [x, y, z] = axes.map((values) => median(values));
  const beyond: number[] = [];
  for (let o = 0; o < position.length; o += 3) {
    const distance = Math.hypot(position[o] - x, position[o + 1] - y, position[o + 2] - z);
    if (distance > LIFTER_RANGE_M) beyond.push(o / 3);
  }
  return beyond;
}
