import { noStickingPoint, phaseMissing } from '../../messages.ts';
import type { Repetition } from '../lift-record.ts';
import { type StickingRegion, stickingRegion, stickingVelocity } from '../sticking.ts';
import type { Lift } from './measure.ts';

/** Where a repetition sticks, with the velocity that says so, m/s a frame; or why it does not. */
export function stickingOf(
  repetition: Repetition,
  lift: Lift,
): { readonly region: StickingRegion; readonly velocity: Float64Array } | string {
  if (!repetition.ascent) return phaseMissing('ascent');
  if (repetition.stickingFrame < 0) return noStickingPoint();
  const velocity = stickingVelocity(lift.table, lift.loads.frameRateHz);
  const region = stickingRegion(velocity, repetition.ascent);
  return region ? { region, velocity } : noStickingPoint();
}
