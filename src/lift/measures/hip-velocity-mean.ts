import { HIP } from './moving-points.ts';
import { meanVelocity } from './velocity-of-ascent.ts';

/** Mean upward velocity of the hips in the ascent, m/s. */
export const hipVelocityMean = meanVelocity('hip_velocity_mean', 'Mean hip velocity', HIP);
