import type { LiftRecord, Side } from '../lift/lift-record.ts';
import { scaleOf } from '../lift/measures/index.ts';
import { fromScale, type Scale, toScale } from '../numerics/scale.ts';
import { mean, standardDeviation } from '../numerics/statistics.ts';
import type { SetMean } from './set-means.ts';
import type { Estimated } from './shown.ts';

/** Values of the full repetitions of one set: how repetitions differ, which is not how sure a measurement is. */
export interface Spread {
  readonly mean: number;
  /** n − 1; NaN for one repetition. */
  readonly sd: number;
  readonly lowest: number;
  readonly highest: number;
  readonly n: number;
}

/** A measure over the full repetitions that have it, or why none has. */
export type MeasureSpread =
  | { readonly known: true; readonly spread: Spread }
  | { readonly known: false; readonly reason: string };

/** Mean, spread and count of finite values; null for none. The mean of ratios is taken on their scale and brought back. */
export function spreadOf(values: readonly number[], scale: Scale | null = null): Spread | null {
  if (values.length === 0) return null;
  return {
    mean: scale === null ? mean(values) : fromScale(scale, mean(values.map((value) => toScale(scale, value)))),
    sd: standardDeviation(values),
    lowest: Math.min(...values),
    highest: Math.max(...values),
    n: values.length,
  };
}

/**
 * A measure at a place, over the full repetitions (or the set, for a measure of the whole set). Partial and failed
 * repetitions take no part; where none is known the reason of the first one is given.
 */
export function measureSpread(record: LiftRecord, measure: string, at: string, side: Side | ''): MeasureSpread {
  const full = new Set(record.repetitions.filter((r) => r.completeness === 'full').map((r) => r.number));
  const all = record.measures.filter((m) => m.measure === measure && m.at === at && m.side === side);
  const counted = all.filter(({ repetition }) => repetition === 0 || full.has(repetition));
  const spread = spreadOf(counted.map(({ value }) => value).filter(Number.isFinite), scaleOf(measure));
  if (spread) return { known: true, spread };
  const reason = counted.find((m) => m.reason !== '')?.reason;
  return { known: false, reason: reason ?? (all.length > 0 ? 'no full repetition' : 'not part of this recording') };
}

/** A mean over the full repetitions with their spread and, where there is one, the 95 % interval of the mean (else NaN). */
export interface Estimate extends Spread, Estimated {}

export type MeasureEstimate =
  | { readonly known: true; readonly estimate: Estimate }
  | { readonly known: false; readonly reason: string };

/** `measureSpread` with the interval of the mean. `means`: the set means of the recording; empty where intervals are off. */
export function measureEstimate(
  record: LiftRecord,
  means: readonly SetMean[],
  measure: string,
  at: string,
  side: Side | '',
): MeasureEstimate {
  const found = measureSpread(record, measure, at, side);
  if (!found.known) return found;
  const own = means.find((one) => one.measure === measure && one.at === at && one.side === side);
  const { lower = Number.NaN, upper = Number.NaN } = own ?? {};
  return { known: true, estimate: { ...found.spread, value: found.spread.mean, lower, upper } };
}
