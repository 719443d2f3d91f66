import { dropPct } from '../depth.ts';
import type { Repetition } from '../lift-record.ts';
import { REGAINED_SHARE } from '../limits.ts';
import type { Lift } from './measure.ts';

/** True where the ascent does not end at a stand. */
export function ascentIsCut(repetition: Repetition, lift: Lift): boolean {
  if (!repetition.ascent || repetition.order === 'ascent first') return repetition.completeness === 'failed';
  const end = Math.min(repetition.ascent.to, lift.height.length - 1);
  return !(dropPct(lift.height, repetition, end) <= 100 * (1 - REGAINED_SHARE));
}

/** True where the descent begins before the recording does. */
export function descentIsCut({ topFrame, descent }: Repetition, { height }: Lift): boolean {
  return descent !== null && height.subarray(0, topFrame).every(Number.isNaN);
}
