import { weekReasons } from '../../messages/weeks.ts';
import { studentQuantile } from '../../numerics/student.ts';
import type { ContrastDoubt } from './contrast.ts';

/** No lifter does more in one session to settle a question; common practice, no source. */
export const MOST_REPETITIONS = 100;

export interface MoreRepetitions {
  /** Further repetitions of the last session; null where they would not tell. */
  readonly repetitions: number | null;
  readonly reason: string;
}

/**
 * How many more repetitions of the last session would make a difference as large as this one stand out, if it is true: with N
 * more, what repetitions bring to the last session falls from v to v n / (n + N); shared doubt, days and the earlier sessions stay.
 *
 * @param size |difference| @param variance of it, with days where these are known, and its `freedom`
 * @param last weight² × variance that the last session's `n` repetitions bring @param level two-sided
 */
export function moreRepetitions(
  size: number,
  doubt: ContrastDoubt,
  { variance, freedom }: { readonly variance: number; readonly freedom: number },
  last: number,
  n: number,
  level: number,
): MoreRepetitions {
  const wanted = (size / studentQuantile(1 - level / 2, freedom)) ** 2;
  const stays = variance - last;
  if (doubt.shared > 0 && doubt.shared >= wanted) return { repetitions: null, reason: weekReasons.sharedDoubt() };
  const days = Number.isNaN(doubt.days) ? 0 : doubt.days;
  if (days > 0 && doubt.shared + days >= wanted) return { repetitions: null, reason: weekReasons.dayToDay() };
  if (stays >= wanted) return { repetitions: null, reason: weekReasons.earlierSessions() };
  const repetitions = Math.max(1, Math.ceil((last * n) / (wanted - stays) - n));
  return repetitions <= MOST_REPETITIONS
    ? { repetitions, reason: weekReasons.wouldTell(repetitions) }
    : { repetitions: null, reason: weekReasons.tooMany(MOST_REPETITIONS) };
}
