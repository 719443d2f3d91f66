import { BAR } from './moving-points.ts';
import { meanVelocity } from './velocity-of-ascent.ts';

/** Mean upward velocity of the bar in the ascent, m/s. */
export const barVelocityMean = meanVelocity('bar_velocity_mean', 'Mean bar velocity', BAR);
