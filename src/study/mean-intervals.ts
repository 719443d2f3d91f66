import { fromScale, type Scale, toScale } from '../numerics/scale.ts';
import { drawnIntervals, type Intervals, linearIntervals } from '../uncertainty/intervals.ts';
import type { LiftUncertainty } from '../uncertainty/lift-uncertainty.ts';
import type { Outputs } from '../uncertainty/outputs.ts';

/**
 * 95 % intervals of means over several outputs, for instance of one measure over the repetitions of a set.
 *
 * What a cause does to a mean is the mean of what it does to its members: an error that all repetitions share (a joint
 * point set off, a wrong body mass) keeps its full size. Noise is averaged draw by draw, so it shrinks as far as it is not
 * the same in the members. A draw that does not know one of the members does not know the mean. Ratios are averaged on their
 * scale (`Outputs.scales`).
 *
 * @param members per mean, indices of its outputs; an empty list gives a mean that is unknown
 * @returns value of every mean, and intervals in the order of `members`
 */
export function intervalsOfMeans(
  uncertainty: LiftUncertainty,
  members: readonly (readonly number[])[],
): { readonly values: Float64Array; readonly intervals: Intervals } {
  const { outputs, causes, noise, noiseDraws, drawn, options } = uncertainty;
  const count = members.length;
  const values = new Float64Array(count);
  meansInto(values, 0, outputs.values, 0, 1, members, outputs.scales);
  const meanEffects = new Float64Array(count * causes.length);
  const column = new Float64Array(count);
  for (let k = 0; k < causes.length; k++) {
    meanEffectsInto(column, uncertainty, k, members);
    for (let i = 0; i < count; i++) meanEffects[i * causes.length + k] = column[i];
  }
  const rowsOf = (rows: Float64Array, draws: number) => {
    const means = new Float64Array(draws * count);
    for (let d = 0; d < draws; d++) meansInto(means, d * count, rows, d * outputs.count, 1, members, outputs.scales);
    return means;
  };
  const scales = members.map((of) => scaleOfMembers(outputs.scales, of));
  // The length of one vector is none of the mean of several.
  const planeLengths = new Set(
    members.flatMap((of, m) => (of.length === 1 && outputs.planeLengths?.has(of[0]) ? [m] : [])),
  );
  const meanOutputs = { ...outputs, count, values, scales, planeLengths };
  const linear = linearIntervals(meanOutputs, causes, meanEffects, rowsOf(noise, noiseDraws), noiseDraws);
  const intervals = drawn ? drawnIntervals(meanOutputs, rowsOf(drawn, options.draws), options.draws, linear) : linear;
  // A mean ratio whose interval has no end has none.
  for (let i = 0; i < count; i++) {
    if (intervals.upper[i] === Number.POSITIVE_INFINITY) intervals.lower[i] = intervals.upper[i] = Number.NaN;
  }
  return { values, intervals };
}

/**
 * Means of `rows[from + stride * member]`; NaN for no member, and where one is NaN. The mean of ratios is taken on their scale
 * and brought back.
 */
export function meansInto(
  out: Float64Array,
  o: number,
  rows: Float64Array,
  from: number,
  stride: number,
  members: readonly (readonly number[])[],
  scales: Outputs['scales'],
): void {
  for (let m = 0; m < members.length; m++) {
    const scale = scaleOfMembers(scales, members[m]);
    let sum = 0;
    for (const i of members[m]) {
      const value = rows[from + stride * i];
      sum += scale === null ? value : toScale(scale, value);
    }
    const mean = sum / members[m].length;
    out[o + m] = scale === null ? mean : fromScale(scale, mean);
  }
}

/** What one standard deviation of cause `k` does to each mean. */
export function meanEffectsInto(
  out: Float64Array,
  { outputs, effects, causes }: Pick<LiftUncertainty, 'outputs' | 'effects' | 'causes'>,
  k: number,
  members: readonly (readonly number[])[],
): void {
  const { values, scales } = outputs;
  meansInto(out, 0, effects, k, causes.length, members, undefined);
  for (let m = 0; m < members.length; m++) {
    const scale = scaleOfMembers(scales, members[m]);
    if (scale === null) continue;
    let [before, after] = [0, 0];
    for (const i of members[m]) {
      before += toScale(scale, values[i]);
      after += toScale(scale, values[i] + effects[i * causes.length + k]);
    }
    const count = members[m].length;
    out[m] = fromScale(scale, after / count) - fromScale(scale, before / count);
  }
}

/** Members are values of one measure. */
function scaleOfMembers(scales: Outputs['scales'], members: readonly number[]): Scale | null {
  return (members.length > 0 && scales?.[members[0]]) || null;
}
