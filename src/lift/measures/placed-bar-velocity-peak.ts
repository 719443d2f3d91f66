import { PLACED_BAR } from './moving-points.ts';
import { peakVelocity } from './velocity-of-ascent.ts';

/** Largest upward velocity in the ascent of a bar whose ends are not tracked, m/s. */
export const placedBarVelocityPeak = peakVelocity(
  'placed_bar_velocity_peak',
  'Peak velocity of the placed bar',
  PLACED_BAR,
);
