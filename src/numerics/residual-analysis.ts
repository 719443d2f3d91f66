import { rms } from './statistics.ts';
import { zeroLagGain, zeroLagLowPass } from './zero-lag-filter.ts';

export interface ResidualAnalysis {
  /** The chosen −3 dB cut-off of the zero-lag filter, Hz, within the bounds. */
  readonly cutoffHz: number;
  /** How it was found: where the residual meets the noise line; no noise to be seen (upper bound taken); or stopped at a bound. */
  readonly basis: 'noise line' | 'noise-free' | 'upper bound' | 'lower bound';
  /** Cut-offs tried, Hz, and the rms of raw minus filtered at each, in the unit of x. */
  readonly frequenciesHz: Float64Array;
  readonly residuals: Float64Array;
  /** Estimated noise standard deviation: the noise line at 0 Hz (or rounding step / √12 where that is more); 0 when noise-free. */
  readonly noiseSd: number;
}

/** Upper bound where none is given: a fifth of the rate, at most 20 Hz. Common practice, no source. */
export function highestCutoffHz(rateHz: number): number {
  return Math.min(rateHz / 5, 20);
}

/** Lower bound where none is given, Hz. Common practice, no source. */
const LOWEST_HZ = 1;
const GRID_STEP_HZ = 0.25;
/** The scan ends at twice the upper bound, but not above this share of the rate, where the filter passes nearly all. */
const SCAN_END_SHARE = 0.35;
/**
 * Noise below this share of the motion's rms counts as none: the bend of smooth data at the record's ends leaves as much.
 * 0.02 mm on a motion of 0.2 m rms, below any camera or marker system. Common practice, no source.
 */
const NOISE_FREE_SHARE = 1e-4;

/**
 * Cut-off frequency by residual analysis (Winter 2009, ch. 3, "Choice of cutoff frequency – residual analysis"): filter
 * at many cut-offs, draw the line that the residual follows where only noise is left, carry it to 0 Hz, and choose the
 * cut-off whose residual equals that intercept: signal lost and noise let through are then equal.
 *
 * Differs from Winter in the axes of the line: squared residual against the share of white noise that the filter lets
 * through. On these axes white noise is exactly straight; on his (residual against Hz) it bends. The intercept is the
 * noise variance either way. Fitted over the upper half of the scan.
 *
 * Noise not above 1e-4 of the motion's rms: 'noise-free', cut-off at the upper bound. Data rounded to a step keep at
 * least step/√12 of noise. Bounds: lowestHz (default 1), highestHz (default min(rateHz / 5, 20)). x as for zeroLagLowPass.
 */
export function residualAnalysis(
  x: ArrayLike<number>,
  rateHz: number,
  options: { lowestHz?: number; highestHz?: number } = {},
): ResidualAnalysis {
  const highestHz = options.highestHz ?? highestCutoffHz(rateHz);
  const lowestHz = options.lowestHz ?? Math.min(LOWEST_HZ, highestHz / 2);
  const scanEndHz = Math.min(2 * highestHz, SCAN_END_SHARE * rateHz);
  if (!(lowestHz > 0 && lowestHz < highestHz && highestHz <= scanEndHz)) {
    throw new RangeError(
      `residualAnalysis: bounds ${lowestHz} and ${highestHz} Hz must rise from above 0 to ${SCAN_END_SHARE} of the rate ${rateHz} Hz`,
    );
  }
  const steps = Math.max(20, Math.min(200, Math.round((scanEndHz - lowestHz) / GRID_STEP_HZ)));
  const frequenciesHz = Float64Array.from(
    { length: steps + 1 },
    (_, i) => lowestHz + ((scanEndHz - lowestHz) * i) / steps,
  );
  const residuals = frequenciesHz.map((hz) => residualAt(x, rateHz, hz));

  const fitted = noiseVarianceFromLine(frequenciesHz, residuals, rateHz);
  const noiseSd = Math.max(Math.sqrt(Math.max(fitted, 0)), roundingStep(x) / Math.sqrt(12));
  const found = { frequenciesHz, residuals };
  if (!(noiseSd > NOISE_FREE_SHARE * rmsAboutLine(x)))
    return { cutoffHz: highestHz, basis: 'noise-free', ...found, noiseSd: 0 };
  if (residuals[0] <= noiseSd) return { cutoffHz: lowestHz, basis: 'lower bound', ...found, noiseSd };
  const meeting = meetingHz(frequenciesHz, residuals, noiseSd);
  if (!(meeting < highestHz)) return { cutoffHz: highestHz, basis: 'upper bound', ...found, noiseSd };
  return { cutoffHz: meeting, basis: 'noise line', ...found, noiseSd };
}

function residualAt(x: ArrayLike<number>, rateHz: number, cutoffHz: number): number {
  const difference = zeroLagLowPass(x, rateHz, cutoffHz);
  for (let i = 0; i < x.length; i++) difference[i] -= x[i];
  return rms(difference);
}

/** Intercept at "no noise let through" of the least-squares line over the upper half of the scan. */
function noiseVarianceFromLine(frequenciesHz: Float64Array, residuals: Float64Array, rateHz: number): number {
  const from = residuals.length >> 1;
  const shares = frequenciesHz.subarray(from).map((hz) => shareOfWhiteNoiseKept(hz, rateHz));
  const squares = residuals.subarray(from).map((r) => r * r);
  const n = shares.length;
  let sumX = 0;
  let sumY = 0;
  for (let i = 0; i < n; i++) {
    sumX += shares[i];
    sumY += squares[i];
  }
  let sxx = 0;
  let sxy = 0;
  for (let i = 0; i < n; i++) {
    sxx += (shares[i] - sumX / n) ** 2;
    sxy += (shares[i] - sumX / n) * (squares[i] - sumY / n);
  }
  return sumY / n - (sxy / sxx) * (sumX / n);
}

/** 1 − mean over 0 … Nyquist of (1 − gain)²: what the residual of white noise lacks of its variance. */
export function shareOfWhiteNoiseKept(cutoffHz: number, rateHz: number): number {
  // The gain is smooth and periodic in frequency: the midpoint rule converges faster than any power.
  const points = 128;
  let removed = 0;
  for (let i = 0; i < points; i++)
    removed += (1 - zeroLagGain(((i + 0.5) / points) * (rateHz / 2), cutoffHz, rateHz)) ** 2;
  return 1 - removed / points;
}

/** First frequency at which the residual has come down to `level`, linear between the grid; NaN where it never does. */
function meetingHz(frequenciesHz: Float64Array, residuals: Float64Array, level: number): number {
  for (let i = 1; i < residuals.length; i++) {
    if (residuals[i] > level) continue;
    const part = (residuals[i - 1] - level) / (residuals[i - 1] - residuals[i]);
    return frequenciesHz[i - 1] + part * (frequenciesHz[i] - frequenciesHz[i - 1]);
  }
  return Number.NaN;
}

/** Step to which all samples are rounded, or 0 where none shows. */
function roundingStep(x: ArrayLike<number>): number {
  const sorted = Float64Array.from(x).sort();
  const range = sorted[sorted.length - 1] - sorted[0];
  let step = Number.POSITIVE_INFINITY;
  for (let i = 1; i < sorted.length; i++) {
    const gap = sorted[i] - sorted[i - 1];
    if (gap > 1e-9 * range && gap < step) step = gap;
  }
  if (!Number.isFinite(step)) return 0;
  for (let i = 0; i < sorted.length; i++) {
    const multiple = (sorted[i] - sorted[0]) / step;
    if (Math.abs(multiple - Math.round(multiple)) > 1e-3) return 0;
  }
  return step;
}

/** rms about the straight line through the end samples. */
function rmsAboutLine(x: ArrayLike<number>): number {
  const slope = (x[x.length - 1] - x[0]) / (x.length - 1);
  return rms(Float64Array.from({ length: x.length }, (_, i) => x[i] - x[0] - slope * i));
}
