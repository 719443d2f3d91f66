import { zeroLagGain } from '../numerics/butterworth.ts';

/** Error of one pixel coordinate: standard deviations, px, and how long the slow part lasts, seconds. */
export interface PixelNoise {
  /** Independent from frame to frame. */
  readonly whitePx: number;
  /** First-order process: correlation exp(−t / slowS). */
  readonly slowPx: number;
  readonly slowS: number;
}

/** Share of the variance of each kind of noise that is left after the filter, 0–1. */
export interface VarianceLeft {
  readonly white: number;
  readonly slow: number;
}

/**
 * Points of the frequency sum: at least this many, and this many times fs τ. The integrand is periodic and smooth, so the
 * midpoint rule errs by about exp(−2 points / (fs τ)) only: 2e-9 here.
 */
const LEAST_FREQUENCIES = 4096;
const FREQUENCIES_PER_MEMORY = 10;

/**
 * What the zero-lag low-pass leaves of the variance of white noise and of a first-order process, for `rateHz` frames a
 * second and correlation time `slowS`:
 *
 *   ∫ gain² S df / ∫ S df,  S white = 1,  S slow = (1 − a²) / (1 − 2 a cos 2πf/fs + a²), a = exp(−1 / (fs τ)).
 *
 * Holds away from the ends of a stretch. cutoffHz NaN = no filter: all of both.
 */
export function varianceLeft(cutoffHz: number, rateHz: number, slowS: number): VarianceLeft {
  if (Number.isNaN(cutoffHz)) return { white: 1, slow: 1 };
  const a = slowS > 0 ? Math.exp(-1 / (rateHz * slowS)) : 0;
  const frequencies = Math.max(LEAST_FREQUENCIES, Math.ceil(FREQUENCIES_PER_MEMORY * rateHz * slowS));
  let white = 0;
  let slow = 0;
  for (let i = 0; i < frequencies; i++) {
    const hz = ((rateHz / 2) * (i + 0.5)) / frequencies;
    const power = zeroLagGain(hz, cutoffHz, rateHz) ** 2;
    white += power;
    slow += (power * (1 - a * a)) / (1 - 2 * a * Math.cos((2 * Math.PI * hz) / rateHz) + a * a);
  }
  return { white: white / frequencies, slow: slow / frequencies };
}

/** Variance of one filtered pixel coordinate, px². */
export function filteredVariancePx2(noise: PixelNoise, cutoffHz: number, rateHz: number): number {
  const left = varianceLeft(cutoffHz, rateHz, noise.slowS);
  return noise.whitePx ** 2 * left.white + noise.slowPx ** 2 * left.slow;
}
