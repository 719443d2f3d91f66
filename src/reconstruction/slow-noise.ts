import { projectInto, projectWithPointJacobianInto } from '../cameras/camera-model.ts';
import type { Camera } from '../cameras/rig.ts';
import { SampleStatus } from '../capture/sample-status.ts';
import { mean, standardDeviation } from '../numerics/statistics.ts';
import { LEAST_FREEDOM_FOR_NOISE, SLOW_S } from './limits.ts';
import { constantOver, giveBackFitted, motionRegressors, takeOff } from './motion-residual.ts';
import type { SynchronisedViews } from './synchronise.ts';

/** Lags that tell the slow part, frames: beyond those that resampling onto another clock correlates most. */
const LAGS = [3, 4, 5] as const;
/** Geometries looked at per landmark: they change slowly. */
const GEOMETRIES = 50;
/** Pull of the views' slow parts to a common one, share of the normal matrix. */
const PULL_TO_EQUAL = 1e-5;
/** Residuals below this (px) are rounding. */
const ROUNDING_PX = 1e-6;
/** White noise that makes up less than this share of the residuals keeps the size that the tracks say. Common practice, no source. */
const LEAST_WHITE_SHARE = 0.2;
/** The frame-to-frame noise of the tracks may be scaled by this at most to fit the residuals. Common practice, no source. */
const MOST_SCALE = 4;

/** The points and weights whose residuals are looked at. */
export interface Solved {
  readonly position: Float64Array;
  readonly status: Uint8Array;
  readonly squaredResidual: Float64Array;
  /** `landmark * views + view`. */
  readonly weight: Float64Array;
}

export interface ResidualNoise {
  /** Variance of the slow part of one coordinate, px², `landmark * views + view`. */
  readonly slow: Float64Array;
  /** What frame-to-frame variances (as `white` below) must be multiplied by to give, with the slow part, the residuals. */
  readonly whiteScale: (white: Float64Array) => number;
  /** Whole residual variance of each landmark, px² of a view of weight 1; NaN without samples. */
  readonly whole: Float64Array;
  /** Samples that all views see. */
  readonly samples: number;
}

/** Sums over the samples of one landmark that all views see, each view's mean residual taken off. */
interface LandmarkSums {
  readonly samples: number;
  /** Mean squared residual per view, px². */
  readonly square: Float64Array;
  /** Mean product at LAGS, each times exp(lag / (fs τ)), averaged over the lags: what a first-order process has at lag 0. */
  readonly lagged: Float64Array;
  /** Σ over both rows and columns of (I − H)²: how much of view j's variance shows in view v's residual, `v * views + j`. */
  readonly share: Float64Array;
}

/**
 * Slow part of the pixel noise from the redundant residuals of triangulation.
 *
 * The residuals of a point are r = M ε with M = I − J (JᵀWJ)⁻¹ JᵀW, so the products of view v at lag k have the mean
 * Σⱼ |M_vj|² s_j² exp(−k / (fs τ)) plus the white part at k = 0; each landmark's mean residual, which is bias, is taken off
 * first; or, `apart: 'motion'`, all that goes with its place and velocity, which is what calibration and clocks bring about
 * (motion-residual.ts). Solved for s_j² ≥ 0, in shares of each landmark's whole residual variance, all landmarks together. Two views have
 * one redundant residual, so that only a common s² can be told; from three on the views are told apart.
 *
 * `white`: frame-to-frame variances on the grid, px², `landmark * views + view`, of which a share `gain` is in a sample.
 * What the residuals hold beyond the slow part is white: `whiteScale` is its ratio to what the tracks say, all landmarks together.
 */
export function residualNoise(
  views: SynchronisedViews,
  cameras: readonly Camera[],
  solved: Solved,
  white: Float64Array,
  apart: 'mean' | 'motion',
): ResidualNoise {
  const count = cameras.length;
  const landmarks = views.landmarks.length;
  const residuals = signedResiduals(views, cameras, solved);
  const sums = views.landmarks.map((_, l) => {
    const rows = landmarkRows(views.frames, landmarks, residuals, l, 2 * count);
    return landmarkSums(views, cameras, solved, rows, l, apart);
  });
  const scale = Float64Array.from(sums, (one, l) => residualVariance(one, solved.weight, l, count));

  const seen = new Float64Array(count);
  const shares = new Float64Array(count * count);
  let samples = 0;
  sums.forEach((one, l) => {
    if (one.samples < LEAST_FREEDOM_FOR_NOISE || !(scale[l] > ROUNDING_PX ** 2)) return;
    samples += one.samples;
    for (let v = 0; v < count; v++) {
      seen[v] += (one.samples * one.lagged[v]) / scale[l];
      for (let j = 0; j < count; j++) shares[v * count + j] += one.samples * one.share[v * count + j];
    }
  });
  if (samples === 0) return { slow: new Float64Array(landmarks * count), whiteScale: () => 1, whole: scale, samples };
  const ofView = viewShares(seen, shares, count);
  const meanShare = mean(ofView);
  const steady = steadiedScales(scale, white, sums, meanShare, views.frameRateHz, count);
  const slow = Float64Array.from({ length: landmarks * count }, (_, i) => {
    const l = Math.floor(i / count);
    return ofView[i % count] * (sums[l].samples >= LEAST_FREEDOM_FOR_NOISE ? steady[l] : 0);
  });
  borrowSlow(slow, sums, white, count);

  const whiteScale = (own: Float64Array): number => {
    let whole = 0;
    let left = 0;
    let expected = 0;
    sums.forEach((one, l) => {
      if (one.samples < LEAST_FREEDOM_FOR_NOISE || !(scale[l] > ROUNDING_PX ** 2)) return;
      whole += one.samples * (2 * count - 3);
      for (let v = 0; v < count; v++) {
        for (let j = 0; j < count; j++) {
          const weight = (one.samples * solved.weight[l * count + v] * one.share[v * count + j]) / scale[l];
          left -= weight * slow[l * count + j];
          expected += weight * views.views[j].noise.gain[l] * own[l * count + j];
        }
      }
    });
    left += whole;
    // Where the white part is a small share of the residuals they cannot tell its size.
    if (expected < LEAST_WHITE_SHARE * whole) return 1;
    return expected > 0 ? Math.min(MOST_SCALE, Math.max(1 / MOST_SCALE, left / expected)) : 1;
  };
  return { slow, whiteScale, whole: scale, samples };
}

/** Weighted residual variance of a landmark, px² of a view of weight 1: Σ w r² / (2 n − 3). */
function residualVariance(
  { samples, square }: LandmarkSums,
  weight: Float64Array,
  landmark: number,
  count: number,
): number {
  if (samples === 0) return Number.NaN;
  let sum = 0;
  for (let v = 0; v < count; v++) sum += weight[landmark * count + v] * square[v];
  return sum / (2 * count - 3);
}

/**
 * Residual variances of the landmarks, drawn to what their frame-to-frame noise says as far as they scatter by chance.
 *
 * Slow residuals tell a variance badly: with a slow share s of it, ln variance scatters by 2 ((1 − s)² + s² fs τ) / (n (2 views − 3)).
 * What the landmarks' ratios to their frame-to-frame variance scatter beyond that is theirs; the rest is taken out
 * (empirical Bayes; Efron & Morris 1973, J. Am. Stat. Assoc. 68:117).
 */
function steadiedScales(
  scale: Float64Array,
  white: Float64Array,
  sums: readonly LandmarkSums[],
  slowShare: number,
  frameRateHz: number,
  count: number,
): Float64Array {
  const chance = (2 * ((1 - slowShare) ** 2 + slowShare ** 2 * frameRateHz * SLOW_S)) / (2 * count - 3);
  const own: { landmark: number; expected: number; ratio: number; scatter: number }[] = [];
  for (let l = 0; l < scale.length; l++) {
    if (sums[l].samples < LEAST_FREEDOM_FOR_NOISE) continue;
    const expected = mean(white.subarray(l * count, (l + 1) * count).map(Math.log));
    const ratio = Math.log(scale[l]) - expected;
    if (Number.isFinite(ratio)) own.push({ landmark: l, expected, ratio, scatter: chance / sums[l].samples });
  }
  const steady = scale.slice();
  if (own.length < 3) return steady;
  const centre = mean(own.map(({ ratio }) => ratio));
  const scatter = standardDeviation(own.map(({ ratio }) => ratio)) ** 2;
  const between = Math.max(0, scatter - mean(own.map((one) => one.scatter)));
  for (const one of own) {
    const kept = between / (between + one.scatter);
    steady[one.landmark] = Math.exp(one.expected + centre + kept * (one.ratio - centre));
  }
  return steady;
}

/** Landmarks too rare for residuals of their own take the others' ratio of slow to white. */
function borrowSlow(slow: Float64Array, sums: readonly LandmarkSums[], white: Float64Array, count: number): void {
  for (let v = 0; v < count; v++) {
    let slowSum = 0;
    let whiteSum = 0;
    sums.forEach(({ samples }, l) => {
      if (samples < LEAST_FREEDOM_FOR_NOISE) return;
      slowSum += slow[l * count + v];
      whiteSum += white[l * count + v];
    });
    sums.forEach(({ samples }, l) => {
      if (samples < LEAST_FREEDOM_FOR_NOISE && whiteSum > 0) {
        slow[l * count + v] = (white[l * count + v] * slowSum) / whiteSum;
      }
    });
  }
}

/** Non-negative q with shares · q ≈ seen: a common one where there are two views, least squares from three on. */
function viewShares(seen: Float64Array, shares: Float64Array, count: number): Float64Array {
  const total = (values: Float64Array) => values.reduce((sum, value) => sum + value, 0);
  const common = Math.min(1, Math.max(0, total(seen) / total(shares)));
  const q = new Float64Array(count).fill(common);
  if (count === 2 || common === 0) return q;
  const normal = new Float64Array(count * count);
  const right = new Float64Array(count);
  let trace = 0;
  for (let i = 0; i < count; i++) {
    for (let v = 0; v < count; v++) {
      right[i] += shares[v * count + i] * seen[v];
      for (let j = 0; j < count; j++) normal[i * count + j] += shares[v * count + i] * shares[v * count + j];
    }
    trace += normal[i * count + i];
  }
  const pull = (PULL_TO_EQUAL * trace) / count;
  for (let round = 0; round < 500; round++) {
    for (let i = 0; i < count; i++) {
      let rest = right[i] + pull * common;
      for (let j = 0; j < count; j++) if (j !== i) rest -= normal[i * count + j] * q[j];
      q[i] = Math.max(0, rest / (normal[i * count + i] + pull));
    }
  }
  return q;
}

/** Measured − projected, `2 * (sample * views + view)`, px; NaN in samples that not all views have a part in. */
function signedResiduals(views: SynchronisedViews, cameras: readonly Camera[], solved: Solved): Float64Array {
  const { position, status, squaredResidual } = solved;
  const count = cameras.length;
  const out = new Float64Array(2 * status.length * count);
  const uv = new Float64Array(2);
  for (let s = 0; s < status.length; s++) {
    if (!isComplete(status, squaredResidual, s, count)) {
      out[2 * s * count] = Number.NaN;
      continue;
    }
    for (let v = 0; v < count; v++) {
      projectInto(uv, 0, cameras[v], position[3 * s], position[3 * s + 1], position[3 * s + 2]);
      const { pixel } = views.views[v];
      out[2 * (s * count + v)] = pixel[2 * s] - uv[0];
      out[2 * (s * count + v) + 1] = pixel[2 * s + 1] - uv[1];
    }
  }
  return out;
}

function isComplete(status: Uint8Array, squaredResidual: Float64Array, sample: number, count: number): boolean {
  if (status[sample] !== SampleStatus.seen) return false;
  for (let v = 0; v < count; v++) if (Number.isNaN(squaredResidual[sample * count + v])) return false;
  return true;
}

/** Residuals of one landmark, `frame * width + coordinate`, px, and in which frames all views see it. */
interface LandmarkRows {
  readonly rows: Float64Array;
  readonly isSeen: Uint8Array;
  readonly samples: number;
}

function landmarkRows(
  frames: number,
  landmarks: number,
  residuals: Float64Array,
  landmark: number,
  width: number,
): LandmarkRows {
  const rows = new Float64Array(frames * width);
  const isSeen = new Uint8Array(frames);
  let samples = 0;
  for (let k = 0; k < frames; k++) {
    const from = (k * landmarks + landmark) * width;
    if (Number.isNaN(residuals[from])) continue;
    isSeen[k] = 1;
    samples++;
    for (let i = 0; i < width; i++) rows[k * width + i] = residuals[from + i];
  }
  return { rows, isSeen, samples };
}

function landmarkSums(
  { frames, landmarks, frameRateHz }: SynchronisedViews,
  cameras: readonly Camera[],
  solved: Solved,
  { rows, isSeen, samples }: LandmarkRows,
  landmark: number,
  apart: 'mean' | 'motion',
): LandmarkSums {
  const count = cameras.length;
  const width = 2 * count;
  const square = new Float64Array(count);
  const lagged = new Float64Array(count);
  const share = new Float64Array(count * count);
  if (samples === 0) return { samples, square, lagged, share };
  const keep = Math.exp(-1 / (frameRateHz * SLOW_S));
  const regressors =
    apart === 'mean'
      ? [constantOver(isSeen, samples)]
      : motionRegressors(solved.position, isSeen, landmarks.length, landmark, frameRateHz, keep);
  for (const one of regressors) takeOff(rows, one, width);
  // One mean a coordinate is fitted: n − 1 samples are free.
  meanProductInto(square, rows, isSeen, frames, 0, apart === 'mean' ? samples / Math.max(1, samples - 1) : 1);
  for (const lag of LAGS) meanProductInto(lagged, rows, isSeen, frames, lag, keep ** -lag / LAGS.length);
  if (apart === 'motion') giveBackFitted(square, lagged, regressors, isSeen, samples, LAGS, keep);
  sharesInto(share, cameras, solved, isSeen, landmarks.length, landmark, samples);
  return { samples, square, lagged, share };
}

/** Adds `factor` times the mean over frames of r_v(k) · r_v(k + lag) to out[v]. */
function meanProductInto(
  out: Float64Array,
  rows: Float64Array,
  isSeen: Uint8Array,
  frames: number,
  lag: number,
  factor: number,
): void {
  const count = out.length;
  const width = 2 * count;
  let pairs = 0;
  for (let k = 0; k + lag < frames; k++) pairs += isSeen[k] & isSeen[k + lag];
  if (pairs === 0) return;
  for (let v = 0; v < count; v++) {
    let sum = 0;
    for (let k = 0; k + lag < frames; k++) {
      if ((isSeen[k] & isSeen[k + lag]) === 0) continue;
      const a = k * width + 2 * v;
      const b = a + lag * width;
      sum += rows[a] * rows[b] + rows[a + 1] * rows[b + 1];
    }
    out[v] += (factor * sum) / pairs;
  }
}

/** Mean over some frames of |M_vj|², M = I − J (JᵀWJ)⁻¹ JᵀW. */
function sharesInto(
  out: Float64Array,
  cameras: readonly Camera[],
  { position, weight }: Solved,
  isSeen: Uint8Array,
  landmarks: number,
  landmark: number,
  samples: number,
): void {
  const count = cameras.length;
  const stride = Math.max(1, Math.floor(samples / GEOMETRIES));
  const jacobian = new Float64Array(6 * count);
  const uv = new Float64Array(2);
  let at = 0;
  let looked = 0;
  for (let k = 0; k < isSeen.length; k++) {
    if (isSeen[k] === 0 || at++ % stride !== 0) continue;
    const o = 3 * (k * landmarks + landmark);
    for (let v = 0; v < count; v++) {
      projectWithPointJacobianInto(uv, 0, jacobian, 6 * v, cameras[v], position[o], position[o + 1], position[o + 2]);
    }
    const cofactor = inverseNormal(jacobian, weight, landmark * count, count);
    for (let v = 0; v < count; v++) {
      for (let j = 0; j < count; j++) {
        for (let a = 0; a < 2; a++) {
          for (let b = 0; b < 2; b++) {
            const hat = weight[landmark * count + j] * product(jacobian, 6 * v + 3 * a, cofactor, 6 * j + 3 * b);
            const entry = (v === j && a === b ? 1 : 0) - hat;
            out[v * count + j] += entry * entry;
          }
        }
      }
    }
    looked++;
  }
  for (let i = 0; i < out.length; i++) out[i] /= looked;
}

/** jᵃ C jᵇ for two rows of the Jacobian and the symmetric C. */
function product(j: Float64Array, a: number, c: Float64Array, b: number): number {
  return (
    j[a] * (c[0] * j[b] + c[1] * j[b + 1] + c[2] * j[b + 2]) +
    j[a + 1] * (c[1] * j[b] + c[3] * j[b + 1] + c[4] * j[b + 2]) +
    j[a + 2] * (c[2] * j[b] + c[4] * j[b + 1] + c[5] * j[b + 2])
  );
}

/** (JᵀWJ)⁻¹, upper triangle. */
function inverseNormal(j: Float64Array, weight: Float64Array, w: number, count: number): Float64Array {
  const n = new Float64Array(6);
  for (let v = 0; v < count; v++) {
    for (let o = 6 * v; o < 6 * v + 6; o += 3) {
      n[0] += weight[w + v] * j[o] * j[o];
      n[1] += weight[w + v] * j[o] * j[o + 1];
      n[2] += weight[w + v] * j[o] * j[o + 2];
      n[3] += weight[w + v] * j[o + 1] * j[o + 1];
      n[4] += weight[w + v] * j[o + 1] * j[o + 2];
      n[5] += weight[w + v] * j[o + 2] * j[o + 2];
    }
  }
  const c0 = n[3] * n[5] - n[4] * n[4];
  const c1 = n[2] * n[4] - n[1] * n[5];
  const c2 = n[1] * n[4] - n[2] * n[3];
  const scale = 1 / (n[0] * c0 + n[1] * c1 + n[2] * c2);
  return Float64Array.of(
    c0 * scale,
    c1 * scale,
    c2 * scale,
    (n[0] * n[5] - n[2] * n[2]) * scale,
    (n[1] * n[2] - n[0] * n[4]) * scale,
    (n[0] * n[3] - n[1] * n[1]) * scale,
  );
}
