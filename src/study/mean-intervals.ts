import { drawnIntervals, type Intervals, linearIntervals } from '../uncertainty/intervals.ts';
import type { LiftUncertainty } from '../uncertainty/lift-uncertainty.ts';

/**
 * 95 % intervals of means over several outputs, for instance of one measure over the repetitions of a set.
 *
 * What a cause does to a mean is the mean of what it does to its members: an error that all repetitions share (a joint
 * point set off, a wrong body mass) keeps its full size. Noise is averaged draw by draw, so it shrinks as far as it is not
 * the same in the members. A draw that does not know one of the members does not know the mean.
 *
 * @param members per mean, indices of its outputs; an empty list gives a mean that is unknown
 * @returns value of every mean, and intervals in the order of `members`
 */
export function intervalsOfMeans(
  uncertainty: LiftUncertainty,
  members: readonly (readonly number[])[],
): { readonly values: Float64Array; readonly intervals: Intervals } {
  const { outputs, causes, effects, noise, noiseDraws, drawn, options } = uncertainty;
  const count = members.length;
  const values = new Float64Array(count);
  meansInto(values, 0, outputs.values, 0, 1, members);
  const meanEffects = new Float64Array(count * causes.length);
  const column = new Float64Array(count);
  for (let k = 0; k < causes.length; k++) {
    meansInto(column, 0, effects, k, causes.length, members);
    for (let i = 0; i < count; i++) meanEffects[i * causes.length + k] = column[i];
  }
  const rowsOf = (rows: Float64Array, draws: number) => {
    const means = new Float64Array(draws * count);
    for (let d = 0; d < draws; d++) meansInto(means, d * count, rows, d * outputs.count, 1, members);
    return means;
  };
  const meanOutputs = { ...outputs, count, values };
  const linear = linearIntervals(meanOutputs, causes, meanEffects, rowsOf(noise, noiseDraws), noiseDraws);
  const intervals = drawn ? drawnIntervals(meanOutputs, rowsOf(drawn, options.draws), options.draws, linear) : linear;
  return { values, intervals };
}

/** Means of `rows[from + stride * member]`; NaN for no member, and where one is NaN. */
export function meansInto(
  out: Float64Array,
  o: number,
  rows: Float64Array,
  from: number,
  stride: number,
  members: readonly (readonly number[])[],
): void {
  for (let m = 0; m < members.length; m++) {
    let sum = 0;
    for (const i of members[m]) sum += rows[from + stride * i];
    out[o + m] = sum / members[m].length;
  }
}
