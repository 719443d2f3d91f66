import { type Smoothing, smoothingMethod } from '../../capture/recording.ts';
import type { MeasureValue } from '../../lift/lift-record.ts';
import { smoothingGain } from '../../reconstruction/smoothing-gain.ts';
import type { Outputs } from '../outputs.ts';

/**
 * By how much smoothing displaces the peaks of a velocity about a dip, as a share of (1 − gain) × time between the peaks, 1: root
 * mean square over 27 virtual lifters without noise (0.0 to 0.19; docs/method/uncertainty.md).
 */
const DISPLACED_SHARE = 0.1;

/**
 * What smoothing takes of the depth of such a dip over (1 − gain) × true depth, 1: root mean square of the one over that of the other in
 * 16 repetitions of virtual lifters without noise, whose dips are narrower than a wave.
 */
const FILLED_SHARE = 1.5;

/** Time between two peaks of a velocity, and how deep the dip between them is as a share of the first. */
const TIME_BETWEEN = 'sticking_duration';
const DEPTH = 'sticking_speed_loss';

/** What the velocity is smoothed by. */
interface SmoothedVelocity {
  readonly smoothing: Smoothing;
  readonly cutoffHz: number;
  readonly frameRateHz: number;
}

/**
 * Standard deviation, at least, of what smoothing takes of a dip between two peaks of velocity: of the time between them, s, and of
 * its depth, 1. Of a dip as short as the smoothing's own memory it leaves so little in the points that smoothing them again does not
 * tell what is lost. A dip between peaks T apart is taken as an oscillation of 1 / T, of which the smoothing keeps its gain; the true
 * depth, no more than 1, from what is left. 0 for all other numbers.
 */
export function unresolvedDips({ measures, count, values }: Outputs, smoothed: SmoothedVelocity): Float64Array {
  const sds = new Float64Array(count);
  measures.forEach((one, i) => {
    if (one.measure !== TIME_BETWEEN) return;
    const seconds = values[i];
    const lost = 1 - gainOver(seconds, smoothed);
    if (!(lost > 0)) return;
    sds[i] = DISPLACED_SHARE * lost * seconds;
    const depth = measures.findIndex((other) => other.measure === DEPTH && sameRepetition(other, one));
    if (depth >= 0 && values[depth] > 0) sds[depth] = FILLED_SHARE * lost * Math.min(1, values[depth] / (1 - lost));
  });
  return sds;
}

const sameRepetition = (a: MeasureValue, b: MeasureValue) => a.repetition === b.repetition;

/** Gain of the smoothing for an oscillation as long; NaN where nothing is smoothed or the time is unknown. */
function gainOver(seconds: number, { smoothing, cutoffHz, frameRateHz }: SmoothedVelocity): number {
  const method = smoothingMethod(smoothing);
  if (method === null || !Number.isFinite(cutoffHz) || !(seconds > 0)) return Number.NaN;
  return smoothingGain(method, Math.min(1 / seconds, frameRateHz / 2), cutoffHz, frameRateHz);
}
