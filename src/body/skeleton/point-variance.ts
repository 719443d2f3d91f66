import { SampleStatus } from '../../capture/sample-status.ts';
import { median } from '../../numerics/statistics.ts';
import type { Trajectories } from '../../reconstruction/trajectories.ts';

const { isFinite: isNumber } = Number;

/** Half the width over which variances are averaged, seconds: three passes, so that weights change smoothly. Common practice, no source. */
const HALF_WIDTH_S = 0.15;
const PASSES = 3;

/** Standard deviation of a coordinate where none is known, metres: only ratios count. Common practice, no source. */
const UNKNOWN_SD_M = 0.005;

/** Layout of a covariance, `6 * (frame * landmarks + landmark)`, m², finite throughout. */
export interface PointVariances {
  /** Of the points as measured. */
  readonly raw: Float64Array;
  /** Of the points as smoothed. */
  readonly smoothed: Float64Array;
  /** False where no point came with a covariance. */
  readonly known: boolean;
}

/**
 * Variance of the smoothed points, m², `6 * (frame * landmarks + landmark)`, finite throughout: that of the raw points,
 * averaged in time, times what the landmark's own filter lets through. White noise keeps the share B of its variance, in
 * proportion to the cut-off; so a hip filtered at 3 Hz counts twice as much as a knee filtered at 6 Hz.
 *
 * Averaged because weights that jump from frame to frame would move points in jumps. A landmark without any known variance
 * takes the median of the others; where none is known all are alike.
 */
export function pointVariances(points: Trajectories): PointVariances {
  const { frames, landmarks, covariance, cutoffHz, frameRateHz, status } = points;
  const count = landmarks.length;
  const raw = new Float64Array(covariance.length);
  const half = Math.max(1, Math.round(HALF_WIDTH_S * frameRateHz));
  const series = new Float64Array(frames);
  const weight = new Float64Array(frames);
  const isKnown = new Uint8Array(count);
  const doubt = new Float64Array(frames);
  for (let l = 0; l < count; l++) {
    for (let k = 0; k < frames; k++) weight[k] = isStated(covariance, 6 * (k * count + l)) ? 1 : 0;
    if (!weight.includes(1)) continue;
    isKnown[l] = 1;
    doubtInto(doubt, status, frames, count, l, varianceShare(cutoffHz[l], frameRateHz));
    for (let c = 0; c < 6; c++) {
      for (let k = 0; k < frames; k++) series[k] = weight[k] === 1 ? covariance[6 * (k * count + l) + c] : Number.NaN;
      fillHoles(series);
      for (let k = 0; k < frames; k++) series[k] *= doubt[k];
      smoothSeries(series, half);
      for (let k = 0; k < frames; k++) raw[6 * (k * count + l) + c] = series[k];
    }
  }
  const others: number[] = [];
  for (let l = 0; l < count; l++) if (isKnown[l]) others.push(meanVariance(raw, frames, count, l));
  const stand = others.length > 0 ? median(others) : UNKNOWN_SD_M ** 2;
  for (let l = 0; l < count; l++) {
    if (isKnown[l]) continue;
    for (let k = 0; k < frames; k++) raw.set([stand, 0, 0, stand, 0, stand], 6 * (k * count + l));
  }
  const smoothed = raw.slice();
  for (let l = 0; l < count; l++) {
    const share = varianceShare(cutoffHz[l], frameRateHz);
    for (let k = 0; k < frames; k++) for (let c = 0; c < 6; c++) smoothed[6 * (k * count + l) + c] *= share;
  }
  return { raw, smoothed, known: others.length > 0 };
}

/**
 * Share of white noise's variance that the zero-lag filter leaves: (2 / rate) ∫ df / (1 + (f/f0)⁴)² = (2 f0 / rate) · 3π / (8√2),
 * f0 = cut-off / 0.80224; at most 1. Unfiltered: 1.
 */
export function varianceShare(cutoffHz: number, rateHz: number): number {
  if (!Number.isFinite(cutoffHz)) return 1;
  return Math.min(1, ((2 * cutoffHz) / (0.80224 * rateHz)) * ((3 * Math.PI) / (8 * Math.SQRT2)));
}

/** True for six finite numbers with a positive trace: a stated standard deviation of 0 is no measure of doubt. */
function isStated(v: Float64Array, at: number): boolean {
  const trace = v[at] + v[at + 3] + v[at + 5];
  return trace > 0 && isNumber(trace + v[at + 1] + v[at + 2] + v[at + 4]);
}

/**
 * Factor on the variance of samples that are worse than the landmark's others. Filled: 1 + (0.3 n)² in a gap of n frames. A
 * cubic through noisy neighbours leaves a gap with slopes of standard deviation 1.7 σ a frame at both ends (from memory, for
 * four neighbours), so that its middle is off by √2 · 1.7 σ n / 8 = 0.3 n σ. Edge: 1 / share, since the filter hardly smooths
 * the ends of a stretch.
 */
function doubtInto(
  doubt: Float64Array,
  status: Uint8Array,
  frames: number,
  count: number,
  l: number,
  share: number,
): void {
  doubt.fill(1);
  for (let k = 0; k < frames; k++) {
    if (status[k * count + l] === SampleStatus.edge) doubt[k] = 1 / share;
    if (status[k * count + l] !== SampleStatus.filled) continue;
    const first = k;
    while (k + 1 < frames && status[(k + 1) * count + l] === SampleStatus.filled) k++;
    doubt.fill(1 + (0.3 * (k + 1 - first)) ** 2, first, k + 1);
  }
}

function meanVariance(variance: Float64Array, frames: number, count: number, l: number): number {
  let sum = 0;
  for (let k = 0; k < frames; k++) {
    const at = 6 * (k * count + l);
    sum += variance[at] + variance[at + 3] + variance[at + 5];
  }
  return sum / (3 * frames);
}

/** Repeated running means over 2 · half + 1 samples, in place. */
function smoothSeries(x: Float64Array, half: number): void {
  const n = x.length;
  const sum = new Float64Array(n + 1);
  for (let pass = 0; pass < PASSES; pass++) {
    for (let i = 0; i < n; i++) sum[i + 1] = sum[i] + x[i];
    for (let i = 0; i < n; i++) {
      const a = Math.max(0, i - half);
      const b = Math.min(n, i + half + 1);
      x[i] = (sum[b] - sum[a]) / (b - a);
    }
  }
}

/** Unknown values become straight lines between their neighbours; the first and last known value is held outwards. */
export function fillHoles(x: Float64Array): void {
  let last = -1;
  for (let i = 0; i < x.length; i++) {
    if (!isNumber(x[i])) continue;
    if (last < 0) x.fill(x[i], 0, i);
    for (let j = last + 1; last >= 0 && j < i; j++) x[j] = x[last] + ((x[i] - x[last]) * (j - last)) / (i - last);
    last = i;
  }
  if (last >= 0) x.fill(x[last], last + 1);
}
