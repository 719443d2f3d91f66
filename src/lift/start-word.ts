import { mean, standardDeviation } from '../numerics/statistics.ts';
import type { LiftRecord } from './lift-record.ts';
import { HIPS_FIRST_SHARE, KNEES_FIRST_SHARE } from './limits.ts';

export type StartWord = 'knees first' | 'hips first' | 'together' | 'cannot tell' | 'unknown';

/**
 * How the lifter begins the descent, in two words, by knee_share_of_start over the repetitions.
 *
 * A word is given only where the mean and one standard deviation over the repetitions on either side lie on one side of
 * its threshold; 'cannot tell' where that band straddles a threshold; 'unknown' where no repetition has the measure.
 */
export function startWord(record: Pick<LiftRecord, 'measures'>): StartWord {
  const shares = record.measures
    .filter(({ measure, value }) => measure === 'knee_share_of_start' && !Number.isNaN(value))
    .map(({ value }) => value);
  if (shares.length === 0) return 'unknown';
  const middle = mean(shares);
  const spread = shares.length > 1 ? standardDeviation(shares) : 0;
  if (middle - spread > KNEES_FIRST_SHARE) return 'knees first';
  if (middle + spread < HIPS_FIRST_SHARE) return 'hips first';
  return middle - spread >= HIPS_FIRST_SHARE && middle + spread <= KNEES_FIRST_SHARE ? 'together' : 'cannot tell';
}
