import type { PlannedSmoother } from './planned-smoother.ts';

/*
 * Second-order Butterworth low-pass filter, run forward and backward (zero lag).
 * Throughout, `cutoffHz` is the −3 dB point of the whole forward-and-backward filter and `designHz` that of one pass.
 */

/** Two passes square the gain: |H|² = 1/√2 lies at C = (√2 − 1)^(1/4) ≈ 0.80224 of the one-pass −3 dB point. */
const TWO_PASS_FACTOR = (Math.SQRT2 - 1) ** 0.25;

/** Highest cut-off accepted by `zeroLagLowPass`, as a share of the sampling rate. Common practice, no source. */
export const HIGHEST_CUTOFF_SHARE = 0.4;

/** Padding at each end, in periods of the cut-off frequency: the filter's memory has then fallen below 1e-12. */
const PADDING_PERIODS = 5;

/** Fewest samples that `zeroLagLowPass` takes. */
export const FEWEST_FILTER_SAMPLES = 4;

/**
 * Coefficients of one pass: a[0] y[k] = b[0] x[k] + b[1] x[k−1] + b[2] x[k−2] − a[1] y[k−1] − a[2] y[k−2], a[0] = 1.
 * Bilinear transform with pre-warping, −3 dB at `designHz` (Winter 2009, eq. 3.9; Oppenheim & Schafer 2010, ch. 7).
 * Needs 0 < designHz < rateHz / 2, else RangeError.
 */
export function butterworthLowPass(
  designHz: number,
  rateHz: number,
): { b: readonly [number, number, number]; a: readonly [number, number, number] } {
  requireBelowNyquist(designHz, rateHz);
  const w = Math.tan((Math.PI * designHz) / rateHz);
  const scale = 1 / (1 + Math.SQRT2 * w + w * w);
  const b0 = w * w * scale;
  return { b: [b0, 2 * b0, b0], a: [1, 2 * (w * w - 1) * scale, (1 - Math.SQRT2 * w + w * w) * scale] };
}

/**
 * One-pass −3 dB frequency that makes the forward-and-backward filter have its −3 dB point at `cutoffHz`:
 * (fs/π) atan(tan(π fc/fs) / C), C = (√2 − 1)^(1/4). The plain division fc / 0.802 (Winter 2009, p. 69) is the limit
 * for fc ≪ fs. Needs 0 < cutoffHz < rateHz / 2, else RangeError.
 */
export function designFrequencyHz(cutoffHz: number, rateHz: number): number {
  requireBelowNyquist(cutoffHz, rateHz);
  return (rateHz / Math.PI) * Math.atan(Math.tan((Math.PI * cutoffHz) / rateHz) / TWO_PASS_FACTOR);
}

/** Gain (0 … 1) of the forward-and-backward filter at frequency `hz`; its phase is zero. */
export function zeroLagGain(hz: number, cutoffHz: number, rateHz: number): number {
  const ratio = Math.tan((Math.PI * hz) / rateHz) / (Math.tan((Math.PI * cutoffHz) / rateHz) / TWO_PASS_FACTOR);
  const square = ratio * ratio;
  return 1 / (1 + square * square);
}

/**
 * Zero-lag low-pass filter of one series of equally spaced, finite samples; a new array of the same length.
 *
 * The straight line through the first and last sample is taken off and put back after filtering, and what remains is
 * continued by odd reflection at both ends as often as needed, so that a straight line passes unchanged and the end
 * samples stay where they are. The ends are therefore not smoothed: results within about 1/cutoffHz of an end are less
 * certain and should be marked.
 *
 * RangeError: fewer than 4 samples, a sample that is not finite, cutoffHz ≤ 0 or ≥ 0.4 rateHz.
 */
export function zeroLagLowPass(x: ArrayLike<number>, rateHz: number, cutoffHz: number): Float64Array {
  const plan = zeroLagFilterPlan(x.length, rateHz, cutoffHz);
  const out = Float64Array.from(x);
  for (let i = 0; i < out.length; i++) {
    if (!Number.isFinite(out[i])) throw new RangeError(`zeroLagLowPass: sample ${i} is not finite`);
  }
  plan.applyInto(out, 0, out, 0, 1);
  return out;
}

/** `zeroLagLowPass` of series of n samples, planned: same results, nothing allocated when run. */
export function zeroLagFilterPlan(n: number, rateHz: number, cutoffHz: number): PlannedSmoother {
  if (n < FEWEST_FILTER_SAMPLES) {
    throw new RangeError(`zeroLagLowPass: ${n} samples; at least ${FEWEST_FILTER_SAMPLES} wanted`);
  }
  if (!(rateHz > 0 && cutoffHz > 0 && cutoffHz < HIGHEST_CUTOFF_SHARE * rateHz)) {
    throw new RangeError(
      `zeroLagLowPass: cut-off ${cutoffHz} Hz is not between 0 and ${HIGHEST_CUTOFF_SHARE} of the rate ${rateHz} Hz`,
    );
  }
  const { b, a } = butterworthLowPass(designFrequencyHz(cutoffHz, rateHz), rateHz);
  const padding = Math.ceil((PADDING_PERIODS * rateHz) / cutoffHz);
  const padded = new Float64Array(n + 2 * padding);
  return {
    samples: n,
    applyInto(out, outAt, x, xAt, stride) {
      const first = x[xAt];
      const slope = (x[xAt + (n - 1) * stride] - first) / (n - 1);
      for (let i = 0, at = xAt; i < n; i++, at += stride) padded[padding + i] = x[at] - (first + slope * i);
      continueOddly(padded, padding, n);
      runForward(padded, b, a);
      runBackward(padded, b, a, padding);
      for (let i = 0, at = outAt; i < n; i++, at += stride) out[at] = padded[padding + i] + (first + slope * i);
    },
  };
}

/** Fills `padding` places on each side of the n samples, which begin and end at 0, with their odd periodic continuation. */
function continueOddly(padded: Float64Array, padding: number, n: number): void {
  const last = padding + n - 1;
  padded[padding] = 0;
  padded[last] = 0;
  for (let i = 1; i <= padding; i++) {
    padded[padding - i] = i < n ? -padded[padding + i] : padded[padding - i + 2 * (n - 1)];
    padded[last + i] = i < n ? -padded[last - i] : padded[last + i - 2 * (n - 1)];
  }
}

/** One pass in place, direct form II transposed, begun in the steady state for a constant equal to the first sample. */
function runForward(x: Float64Array, b: readonly number[], a: readonly number[]): void {
  const [b0, b1, b2] = b;
  const a1 = a[1];
  const a2 = a[2];
  let state1 = (1 - b0) * x[0];
  let state2 = (b2 - a2) * x[0];
  for (let i = 0; i < x.length; i++) {
    const input = x[i];
    const output = b0 * input + state1;
    state1 = b1 * input - a1 * output + state2;
    state2 = b2 * input - a2 * output;
    x[i] = output;
  }
}

/** The same from the last sample back to sample `end`. */
function runBackward(x: Float64Array, b: readonly number[], a: readonly number[], end: number): void {
  const [b0, b1, b2] = b;
  const a1 = a[1];
  const a2 = a[2];
  const last = x.length - 1;
  let state1 = (1 - b0) * x[last];
  let state2 = (b2 - a2) * x[last];
  for (let i = last; i >= end; i--) {
    const input = x[i];
    const output = b0 * input + state1;
    state1 = b1 * input - a1 * output + state2;
    state2 = b2 * input - a2 * output;
    x[i] = output;
  }
}

function requireBelowNyquist(hz: number, rateHz: number): void {
  if (!(rateHz > 0 && hz > 0 && hz < rateHz / 2)) {
    throw new RangeError(`Butterworth filter: ${hz} Hz is not between 0 and half the rate ${rateHz} Hz`);
  }
}
