import { BAR } from './moving-points.ts';
import { peakVelocity } from './velocity-of-ascent.ts';

/** Largest upward velocity of the bar in the ascent, m/s. */
export const barVelocityPeak = peakVelocity('bar_velocity_peak', 'Peak bar velocity', BAR);
