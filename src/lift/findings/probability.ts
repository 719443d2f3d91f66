import { normalProbability } from '../../numerics/normal.ts';
import { normalQuantile } from '../../numerics/student.ts';

export type FindingWord = 'shown' | 'suggested' | 'open' | 'not there' | 'unknown';

/** Least probability of *shown* and *suggested*, and the largest of *not there* (common practice, no source: 1 in 20, 1 in 4). */
export const SHOWN_FROM = 0.95;
export const SUGGESTED_FROM = 0.75;
export const NOT_THERE_UP_TO = 0.05;

/** Half the 95 % interval in standard deviations. */
const HALF_WIDTH_SDS = normalQuantile(0.975);

/**
 * Probability that the true value lies on the threshold's far side, 0–1; NaN where value or interval is not known.
 *
 * The error is taken as normal about the middle of the 95 % interval, with a standard deviation of its length / (2 · 1.96):
 * Φ((middle − threshold) / sd) for 'above', 1 less that for 'below'. An interval without length decides by its place; on
 * the threshold itself it tells nothing: ½.
 */
export function thresholdProbability(
  { lower, upper }: { readonly lower: number; readonly upper: number },
  comparison: 'above' | 'below',
  threshold: number,
): number {
  const beyond = (comparison === 'above' ? 1 : -1) * ((lower + upper) / 2 - threshold);
  const sd = (upper - lower) / (2 * HALF_WIDTH_SDS);
  if (Number.isNaN(beyond) || Number.isNaN(sd)) return Number.NaN;
  if (sd === 0) return beyond > 0 ? 1 : beyond < 0 ? 0 : 0.5;
  return normalProbability(beyond / sd);
}

/** The word for a probability; 'unknown' for NaN. */
export function findingWord(probability: number): FindingWord {
  if (Number.isNaN(probability)) return 'unknown';
  if (probability >= SHOWN_FROM) return 'shown';
  if (probability >= SUGGESTED_FROM) return 'suggested';
  return probability <= NOT_THERE_UP_TO ? 'not there' : 'open';
}
