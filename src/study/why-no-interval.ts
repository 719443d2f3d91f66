import { uncertaintyReasons } from '../messages/uncertainty.ts';
import { type Intervals, LARGEST_UNKNOWN_SHARE } from '../uncertainty/intervals.ts';

/** Why a known number has no interval; '' where it has one. */
export function whyNoInterval({ sd, lower, known, draws }: Intervals, i: number): string {
  if (!Number.isNaN(lower[i])) return '';
  if (sd[i] === 0) return uncertaintyReasons.unmoved();
  return known[i] < (1 - LARGEST_UNKNOWN_SHARE) * draws
    ? uncertaintyReasons.unknownInDraws(known[i], draws)
    : uncertaintyReasons.noInterval();
}
