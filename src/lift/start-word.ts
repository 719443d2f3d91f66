import { mean, standardDeviation } from '../numerics/statistics.ts';
import type { LiftRecord } from './lift-record.ts';
import { HIPS_FIRST_SHARE, KNEES_FIRST_SHARE } from './limits.ts';

export type StartWord = 'knees first' | 'hips first' | 'together' | 'cannot tell' | 'unknown';

/**
 * How the lifter begins the descent, in two words, by knee_share_of_start over the repetitions.
 *
 * A word is given only where all that the share may be lies on one side of its threshold: its 95 % interval (`mean`, of the
 * set) and the mean with one standard deviation over the repetitions on either side. 'cannot tell' where that straddles a
 * threshold; 'unknown' where no repetition has the measure. Without an interval only the repetitions speak.
 */
export function startWord(record: Pick<LiftRecord, 'measures'>, interval: Interval | null = null): StartWord {
  const shares = record.measures
    .filter(({ measure, value }) => measure === 'knee_share_of_start' && !Number.isNaN(value))
    .map(({ value }) => value);
  if (shares.length === 0) return 'unknown';
  const middle = mean(shares);
  const spread = shares.length > 1 ? standardDeviation(shares) : 0;
  const { lower = middle, upper = middle } = interval !== null && Number.isFinite(interval.lower) ? interval : {};
  const least = Math.min(middle - spread, lower);
  const most = Math.max(middle + spread, upper);
  if (least > KNEES_FIRST_SHARE) return 'knees first';
  if (most < HIPS_FIRST_SHARE) return 'hips first';
  return least >= HIPS_FIRST_SHARE && most <= KNEES_FIRST_SHARE ? 'together' : 'cannot tell';
}

interface Interval {
  readonly lower: number;
  readonly upper: number;
}
