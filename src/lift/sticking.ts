import { firstDifferenceInto } from '../numerics/differences.ts';
import { type Extreme, highestFrame, zigZag } from './extrema.ts';
import type { FrameRange } from './lift-record.ts';
import { STICKING_FLOOR_M_PER_S, STICKING_SHARE } from './limits.ts';
import type { QuantityTable } from './quantities.ts';

/** First peak of the upward velocity in an ascent, the dip after it and the peak after that; m/s, frames of the recording. */
export interface StickingRegion {
  readonly firstPeak: Extreme;
  readonly sticking: Extreme;
  readonly secondPeak: Extreme;
}

/**
 * The sticking region: the least upward velocity between the first peak of the ascent and a later one, both higher by a tenth
 * of the largest velocity of the ascent (at least STICKING_FLOOR_M_PER_S). null where the velocity has one peak only, and where
 * it does not recover.
 */
export function stickingRegion(velocity: ArrayLike<number>, ascent: FrameRange | null): StickingRegion | null {
  if (!ascent) return null;
  const inAscent = Float64Array.from({ length: ascent.to - ascent.from }, (_, i) => velocity[ascent.from + i]);
  const peak = highestFrame(inAscent, 0, inAscent.length);
  if (peak < 0 || inAscent[peak] <= 0) return null;
  const turns = zigZag(inAscent, Math.max(STICKING_SHARE * inAscent[peak], STICKING_FLOOR_M_PER_S));
  const first = turns.findIndex(({ kind, value }) => kind === 'top' && value > 0);
  if (first < 0 || first + 2 >= turns.length) return null;
  const [firstPeak, sticking, secondPeak] = turns
    .slice(first, first + 3)
    .map((turn) => ({ ...turn, frame: ascent.from + turn.frame }));
  return { firstPeak, sticking, secondPeak };
}

/** Frame of the sticking point; −1 where there is none. */
export function stickingFrame(velocity: ArrayLike<number>, ascent: FrameRange | null): number {
  return stickingRegion(velocity, ascent)?.sticking.frame ?? -1;
}

/** Upward velocity the sticking point is judged by, m/s a frame: that of the bar, of the hips where there is no bar. */
export function stickingVelocity(table: QuantityTable, frameRateHz: number): Float64Array {
  const bar = table.find('bar_y')!.values;
  const height = bar.some((y) => !Number.isNaN(y)) ? bar : table.find('hip_height')!.values;
  const velocity = new Float64Array(height.length).fill(Number.NaN);
  if (height.length < 3) return velocity;
  // From the heights that moments rest on: a dip must not be one of noise.
  firstDifferenceInto(velocity, height, 1, 1 / frameRateHz);
  return velocity;
}
