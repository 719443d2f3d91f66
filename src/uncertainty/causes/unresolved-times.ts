import { type Smoothing, smoothingMethod } from '../../capture/recording.ts';
import { smoothingGain } from '../../reconstruction/smoothing-gain.ts';
import type { Outputs } from '../outputs.ts';

/**
 * By how much smoothing displaces the peaks of a velocity about a dip, as a share of (1 − gain) × time between the peaks, 1: root
 * mean square over 27 virtual lifters without noise (0.0 to 0.19; docs/method/uncertainty.md).
 */
const DISPLACED_SHARE = 0.1;

/** Times between two peaks of a velocity. */
const BETWEEN_PEAKS = new Set(['sticking_duration']);

/** What the velocity is smoothed by. */
interface SmoothedVelocity {
  readonly smoothing: Smoothing;
  readonly cutoffHz: number;
  readonly frameRateHz: number;
}

/**
 * Standard deviation, in seconds, of what smoothing hides of a time between two peaks of velocity: a dip as short as the
 * smoothing's own memory has left so little in the points that smoothing once more does not tell what is lost. A dip between
 * peaks T apart is taken as an oscillation of 1 / T; what the smoothing keeps of it is its gain there. 0 for all other numbers.
 */
export function unresolvedTimes(
  { measures, count, values }: Outputs,
  { smoothing, cutoffHz, frameRateHz }: SmoothedVelocity,
): Float64Array {
  const sds = new Float64Array(count);
  const method = smoothingMethod(smoothing);
  if (method === null || !Number.isFinite(cutoffHz)) return sds;
  measures.forEach(({ measure }, i) => {
    if (!BETWEEN_PEAKS.has(measure) || !(values[i] > 0)) return;
    const hz = Math.min(1 / values[i], frameRateHz / 2);
    sds[i] = DISPLACED_SHARE * (1 - smoothingGain(method, hz, cutoffHz, frameRateHz)) * values[i];
  });
  return sds;
}
