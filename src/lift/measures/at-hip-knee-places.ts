import type { Repetition } from '../lift-record.ts';
import { SHARE_FLOOR_NM_PER_KG } from '../limits.ts';
import type { Lift, MeasureReading } from './measure.ts';
import { type Averaging, readAt } from './readings.ts';
import { sidesKnown } from './sides-known.ts';

/** Below which no share is given; ends the definitions. */
export const SHARE_FLOOR = `Unknown where hip + knee moment is below ${SHARE_FLOOR_NM_PER_KG} N·m per kg of lifter and bar.`;

/** Hip against knee where it is judged: at parallel, at the bottom and at the sticking point; both legs, and each that is known. */
export function atHipKneePlaces(
  lift: Lift,
  repetition: Repetition,
  quantity: string,
  averaging: Averaging = 'arithmetic',
): MeasureReading[] {
  return sidesKnown(lift, quantity).flatMap((side) =>
    readAt(lift, repetition, quantity, side, ['parallel', 'bottom', 'sticking point'], averaging),
  );
}
