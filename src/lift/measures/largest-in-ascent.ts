import { phaseMissing } from '../../messages.ts';
import type { Repetition, Side } from '../lift-record.ts';
import type { Lift, MeasureReading } from './measure.ts';
import { extreme, unknown } from './readings.ts';
import { sidesKnown } from './sides-known.ts';

/** Largest value of a quantity in the ascent, with its frame. */
export function largestInAscent(
  lift: Lift,
  repetition: Repetition,
  quantity: string,
  side: Side | null,
): MeasureReading {
  return repetition.ascent
    ? extreme(lift, repetition, quantity, side, 'largest', 'largest', repetition.ascent)
    : unknown('largest', side, phaseMissing('ascent'));
}

/** The same of both legs and of each that is known. */
export function legsLargestInAscent(lift: Lift, repetition: Repetition, quantity: string): MeasureReading[] {
  return sidesKnown(lift, quantity).map((side) => largestInAscent(lift, repetition, quantity, side));
}
