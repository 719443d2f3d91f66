import { withinBounds } from '../lift/measures/index.ts';
import { CAUSE_GROUPS } from '../uncertainty/causes/cause.ts';
import type { LiftUncertainty } from '../uncertainty/lift-uncertainty.ts';
import { doubtOfMeans } from './doubt-of-means.ts';
import { intervalsOfMeans } from './mean-intervals.ts';
import { whyNoInterval } from './why-no-interval.ts';

/** One measure of a recording: mean over its full repetitions, and all that the mean's doubt is made of. */
export interface SetMean {
  readonly measure: string;
  readonly side: string;
  readonly at: string;
  readonly unit: string;
  readonly value: number;
  readonly repetitions: number;
  /** 95 % interval and standard deviation of the mean; NaN where there is none, then `reason` says why. */
  readonly lower: number;
  readonly upper: number;
  readonly sd: number;
  readonly reason: string;
  /** Part of each kind of doubt in the variance of the mean, in the order of CAUSE_GROUPS, 0–1; NaN where there is no variance. */
  readonly shares: readonly number[];
  /** Effect of one standard deviation of each cause, by the cause's key. */
  readonly effects: ReadonlyMap<string, number>;
  readonly noiseVariance: number;
  readonly noiseFreedom: number;
  /** The mean in each joint draw; null in linear mode. */
  readonly drawn: Float64Array | null;
}

/** The set means of a recording; a measure that no full repetition knows is left out. */
export function setMeansOf(uncertainty: LiftUncertainty): SetMean[] {
  const { record } = uncertainty;
  const full = new Set([0, ...record.repetitions.filter((r) => r.completeness === 'full').map((r) => r.number)]);
  const places = new Map<string, number[]>();
  record.measures.forEach(({ repetition, measure, side, at, value }, i) => {
    if (!full.has(repetition) || Number.isNaN(value)) return;
    const name = JSON.stringify([measure, side, at]);
    places.set(name, [...(places.get(name) ?? []), i]);
  });
  const members = [...places.values()];
  const { values, intervals } = intervalsOfMeans(uncertainty, members);
  const doubt = doubtOfMeans(uncertainty, members);
  return members.map((at, m): SetMean => {
    const { measure, side, unit, at: place } = record.measures[at[0]];
    const moving = [...doubt.effects].flatMap(([key, { of }]): [string, number][] =>
      of[m] === 0 ? [] : [[key, of[m]]],
    );
    const noisy = column(doubt.noise, m, members.length).filter((value) => !Number.isNaN(value));
    const mean = noisy.reduce((sum, value) => sum + value, 0) / noisy.length;
    const squares = noisy.reduce((sum, value) => sum + (value - mean) ** 2, 0);
    return {
      measure,
      side,
      at: place,
      unit,
      value: values[m],
      repetitions: at.length,
      lower: withinBounds(measure, intervals.lower[m]),
      upper: withinBounds(measure, intervals.upper[m]),
      sd: intervals.sd[m],
      reason: whyNoInterval(intervals, m),
      shares: CAUSE_GROUPS.map((_, g) => intervals.share[m * CAUSE_GROUPS.length + g]),
      effects: new Map(moving),
      noiseVariance: noisy.length > 1 ? squares / (noisy.length - 1) : 0,
      noiseFreedom: Math.max(1, noisy.length - 1),
      drawn: doubt.drawn && column(doubt.drawn, m, members.length),
    };
  });
}

/** Column `m` of rows of `width`. */
function column(rows: Float64Array, m: number, width: number): Float64Array {
  return Float64Array.from({ length: rows.length / width }, (_, d) => rows[d * width + m]);
}
