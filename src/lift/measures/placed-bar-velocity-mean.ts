import { PLACED_BAR } from './moving-points.ts';
import { meanVelocity } from './velocity-of-ascent.ts';

/** Mean upward velocity in the ascent of a bar whose ends are not tracked, m/s. */
export const placedBarVelocityMean = meanVelocity(
  'placed_bar_velocity_mean',
  'Mean velocity of the placed bar',
  PLACED_BAR,
);
