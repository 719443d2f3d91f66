import { HIP } from './moving-points.ts';
import { peakVelocity } from './velocity-of-ascent.ts';

/** Largest upward velocity of the hips in the ascent, m/s. */
export const hipVelocityPeak = peakVelocity('hip_velocity_peak', 'Peak hip velocity', HIP);
