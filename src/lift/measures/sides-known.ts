import { type Lift, SIDES } from './measure.ts';

/** `both`, and each leg for which the recording knows the quantity. */
export function sidesKnown(lift: Lift, quantity: string) {
  return SIDES.filter((side) => side === 'both' || lift.table.find(quantity, side) !== null);
}
