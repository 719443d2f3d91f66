import { normalQuantile, studentQuantile } from '../../numerics/student.ts';
import { blockScatter } from './block-scatter.ts';
import type { EpipolarSeries } from './epipolar-series.ts';
import { GUARD_PROBABILITY } from './limits.ts';
import { steadyScatter } from './steady-scatter.ts';
import { symmetricInverse } from './symmetric-inverse.ts';
import {
  keepNoise,
  robustFit,
  type SampleChoice,
  solve,
  type TimingOf,
  type Work,
  weigh,
  weightOf,
} from './timing-least-squares.ts';

/** What the residuals say of the timing. */
export interface TimingFit {
  /** Error of each parameter (found − true), in its unit: subtract it. NaN where not determined. */
  readonly error: Float64Array;
  /** parameters × parameters; NaN where not determined. */
  readonly covariance: Float64Array;
  /** Of the standard deviation of each parameter: Student's t with so many degrees has the interval's factor. */
  readonly freedom: Float64Array;
  readonly halfWidth95: Float64Array;
  /** 'steady' noise (growing with speed at most) over the whole recording, or 'blocks' where it changes otherwise. */
  readonly intervalFrom: 'steady' | 'blocks';
  /** Agreement of the views about the movement across the epipolar lines, −1 to 1. */
  readonly agreement: number;
  /** Robust standard deviation of each series' smoothed residual, px; NaN where the series is not used. */
  readonly scalePx: Float64Array;
  /** Instants used, of those that both views know. */
  readonly used: number;
  readonly known: number;
}

/**
 * Least squares of the residuals on h · ∂(time of b − time of a)/∂parameter, h = (rateB − rateA)/2, with two nuisance
 * terms a series, constant and row: they take up errors of rig and keypoints that depend on the posture and not on the time.
 *
 * Weights: one over the square of each series' robust scale, and of the growth of the noise with speed.
 *
 * Interval: the residuals' own spectrum where h has power. Moving the (scaled) residuals of all landmarks along the
 * recording by every possible time makes new samples of the same noise, with its correlation in time and between
 * landmarks, from which any true relation to h is gone; the variance of weight · h · residual over all such moves is, after
 * Parseval, Σ_f |Σ_series H(f)* R(f)|² / N². Should the noise change in other ways than with speed, sums over blocks of
 * one second scatter more than that, and take its place (cluster-robust; Liang & Zeger 1986).
 */
export function fitTiming(
  series: EpipolarSeries,
  timings: readonly TimingOf[],
  kept: SampleChoice | null = null,
): TimingFit {
  return conclude(robustFit(series, timings, kept));
}

/** The error of each parameter alone, for the way to the answer. `kept`: no new search for outliers. */
export function timingError(
  series: EpipolarSeries,
  timings: readonly TimingOf[],
  kept: SampleChoice | null,
): { readonly error: Float64Array; readonly choice: SampleChoice } {
  const work = robustFit(series, timings, kept);
  weigh(work);
  solve(work);
  return { error: work.error, choice: { use: work.use, scale: work.scale, rise: work.rise } };
}

function conclude(work: Work): TimingFit {
  const { p } = work;
  weigh(work);
  solve(work);
  const { agreement, reliability } = movement(work);
  const bread = symmetricInverse(work.normal, p);
  keepNoise(work);
  const steady = steadyScatter(work);
  const blocks = blockScatter(work);
  const wider = Array.from({ length: p }, (_, j) =>
    isWider(
      quadratic(bread, j, blocks.scatter, p) / quadratic(bread, j, steady.scatter, p),
      blocks.freedom[j],
      steady.freedom[j],
    ),
  ).some(Boolean);
  const { scatter, freedom } = wider ? blocks : steady;
  const covariance = new Float64Array(p * p);
  for (let j = 0; j < p; j++) {
    for (let k = 0; k < p; k++) covariance[j * p + k] = bilinear(bread, j, k, scatter, p) / reliability ** 2;
  }
  return {
    error: work.error.map((error) => error / reliability),
    covariance,
    freedom,
    halfWidth95: Float64Array.from({ length: p }, (_, j) =>
      Number.isFinite(covariance[j * p + j]) && freedom[j] >= 1
        ? studentQuantile(0.975, freedom[j]) * Math.sqrt(covariance[j * p + j])
        : Number.NaN,
    ),
    intervalFrom: wider ? 'blocks' : 'steady',
    agreement,
    scalePx: Float64Array.from(work.scale),
    used: work.used,
    known: work.known.reduce((sum, one) => sum + one, 0),
  };
}

/**
 * What both views report of the movement. The product of their two rates has no noise in its mean, the square of one has:
 * their ratio says which share of h² is movement.
 */
function movement(work: Work): { agreement: number; reliability: number } {
  const { series } = work;
  let common = 0;
  let a2 = 0;
  let b2 = 0;
  let h2 = 0;
  for (let s = 0; s < series.keys.length; s++) {
    const weight = weightOf(work, s);
    for (let at = s * series.count; at < (s + 1) * series.count; at++) {
      if (!work.use[at] || weight === 0) continue;
      const a = series.rateA[at];
      const b = series.rateB[at];
      const w = weight / (work.rise[at] * work.rise[at]);
      common -= w * a * b;
      a2 += w * a * a;
      b2 += w * b * b;
      h2 += (w * (b - a) ** 2) / 4;
    }
  }
  const agreement = a2 > 0 && b2 > 0 ? common / Math.sqrt(a2 * b2) : 0;
  return { agreement, reliability: common > 0 ? Math.min(1, common / h2) : Number.NaN };
}

/** Whether a ratio of two variances is beyond what chance gives; limit of χ²/ν after Wilson & Hilferty (1931), ν harmonic. */
function isWider(ratio: number, blockFreedom: number, steadyFreedom: number): boolean {
  if (!Number.isFinite(ratio) || !(blockFreedom >= 1) || !(steadyFreedom >= 1)) return false;
  const nu = 1 / (1 / blockFreedom + 1 / steadyFreedom);
  const limit = (1 - 2 / (9 * nu) + normalQuantile(1 - GUARD_PROBABILITY) * Math.sqrt(2 / (9 * nu))) ** 3;
  return ratio > limit;
}

function bilinear(bread: Float64Array, j: number, k: number, scatter: Float64Array, p: number): number {
  let sum = 0;
  for (let l = 0; l < p; l++)
    for (let m = 0; m < p; m++) sum += bread[j * p + l] * scatter[l * p + m] * bread[k * p + m];
  return sum;
}

const quadratic = (bread: Float64Array, j: number, scatter: Float64Array, p: number) =>
  bilinear(bread, j, j, scatter, p);
