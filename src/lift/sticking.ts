import { highestFrame, zigZag } from './extrema.ts';
import type { FrameRange } from './lift-record.ts';
import { STICKING_FLOOR_M_PER_S, STICKING_SHARE } from './limits.ts';

/**
 * Frame of the sticking point: the least upward velocity between the first peak of the ascent and a later one, both higher
 * by a tenth of the largest velocity of the ascent (at least STICKING_FLOOR_M_PER_S). −1 where the velocity has one peak
 * only, and where it does not recover.
 */
export function stickingFrame(velocity: ArrayLike<number>, ascent: FrameRange | null): number {
  if (!ascent) return -1;
  const inAscent = Float64Array.from({ length: ascent.to - ascent.from }, (_, i) => velocity[ascent.from + i]);
  const peak = highestFrame(inAscent, 0, inAscent.length);
  if (peak < 0 || inAscent[peak] <= 0) return -1;
  const turns = zigZag(inAscent, Math.max(STICKING_SHARE * inAscent[peak], STICKING_FLOOR_M_PER_S));
  const first = turns.findIndex(({ kind, value }) => kind === 'top' && value > 0);
  const trough = first < 0 ? undefined : turns[first + 1];
  const recovery = first < 0 ? undefined : turns[first + 2];
  return trough && recovery ? ascent.from + trough.frame : -1;
}
