import { notHeld } from '../../messages.ts';
import type { Repetition, Side } from '../lift-record.ts';
import { HELD_S } from '../limits.ts';
import type { Lift, MeasureReading } from './measure.ts';
import { known, reasonThroughout, unknown, wholeRange } from './readings.ts';

/** Ends the definitions. */
export const HELD = 'held for a quarter of a second';

/**
 * The largest value that a frame quantity keeps to or exceeds for HELD_S without a break, or the smallest it keeps to or
 * stays below, within a repetition, over frames that count; the frames of the reading are those of the stretch. A plain largest value of a noisy
 * series that stays level is too large, the more so the longer the series.
 */
export function held(
  lift: Lift,
  repetition: Repetition,
  quantity: string,
  side: Side | null,
  which: 'largest' | 'smallest',
  counts: (frame: number) => boolean = () => true,
): MeasureReading {
  const column = lift.table.column(quantity, side);
  const { values } = column;
  const { from, to } = wholeRange(repetition);
  const sign = which === 'largest' ? 1 : -1;
  const frames = Math.round(HELD_S * lift.loads.frameRateHz) + 1;
  let best = Number.NEGATIVE_INFINITY;
  let first = -1;
  for (let start = from; start + frames <= to; ) {
    let least = Number.POSITIVE_INFINITY;
    let f = start;
    // Ends at the first frame that is missing, does not count or is no better than what is held already: no stretch over it can win.
    while (f < start + frames && sign * values[f] > best && counts(f)) least = Math.min(least, sign * values[f++]);
    if (f < start + frames) start = f + 1;
    else {
      best = least;
      first = start++;
    }
  }
  return first < 0
    ? unknown(which, side, reasonThroughout(column, { from, to }) || notHeld(HELD_S), from, to - 1)
    : known(which, side, sign * best, first, first + frames - 1);
}
