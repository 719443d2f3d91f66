import { median, SD_PER_MEDIAN_ABSOLUTE_DEVIATION } from '../../numerics/statistics.ts';
import type { EpipolarSeries } from './epipolar-series.ts';
import { LEAST_INSTANTS, OUTLIER_SCALES } from './limits.ts';
import { symmetricInverse } from './symmetric-inverse.ts';

/**
 * How a small change of one clock parameter moves the times of the two views of a series at an instant, seconds per unit
 * of the parameter: change of b minus change of a. 0 where the parameter does not touch the pair.
 */
export type TimingOf = (series: EpipolarSeries, s: number, at: number) => number;

/** Rounds in which outliers are found and the fit repeated. */
const ROUNDS = 4;
/** No series counts as more precise than this share of the middle one: smaller residuals are a fault of the tracks. */
const LEAST_SCALE_SHARE = 0.25;

/** Which samples are used and how much each series counts; of one set of series. */
export interface SampleChoice {
  readonly use: Uint8Array;
  readonly scale: Float64Array;
  readonly rise: Float64Array;
}

/** Rounds of fit and search for outliers until the choice of samples stays; with `kept` only that choice. */
export function robustFit(series: EpipolarSeries, timings: readonly TimingOf[], kept: SampleChoice | null): Work {
  const work = prepare(series, timings);
  if (kept) {
    work.scale.set(kept.scale);
    work.rise.set(kept.rise);
    work.use.forEach((known, at) => {
      work.use[at] = known & kept.use[at];
    });
    work.used = work.use.reduce((sum, one) => sum + one, 0);
    return work;
  }
  for (let round = 0; round < ROUNDS; round++) {
    const before = work.used;
    weigh(work);
    solve(work);
    leaveOut(work);
    if (round > 0 && work.used === before) break;
  }
  return work;
}

/** One regression under way. */
export interface Work {
  readonly series: EpipolarSeries;
  readonly p: number;
  /** Regressors, `j * size + at`; after `weigh` without the nuisance terms. */
  readonly raw: Float64Array;
  readonly regressor: Float64Array;
  /** Residual without nuisance terms; NaN-free where `use`. */
  readonly residual: Float64Array;
  readonly use: Uint8Array;
  readonly known: Uint8Array;
  readonly scale: Float64Array;
  /** How much larger the noise is at a sample than usually: it grows with the speed across the epipolar line. */
  readonly rise: Float64Array;
  used: number;
  error: Float64Array;
  normal: Float64Array;
}

function prepare(series: EpipolarSeries, timings: readonly TimingOf[]): Work {
  const size = series.residual.length;
  const p = timings.length;
  const raw = new Float64Array(p * size);
  const known = new Uint8Array(size);
  for (let s = 0; s < series.keys.length; s++) {
    for (let i = 0; i < series.count; i++) {
      const at = s * series.count + i;
      if (Number.isNaN(series.residual[at])) continue;
      known[at] = 1;
      const h = (series.rateB[at] - series.rateA[at]) / 2;
      for (let j = 0; j < p; j++) raw[j * size + at] = -h * timings[j](series, s, at);
    }
  }
  return {
    series,
    p,
    raw,
    regressor: new Float64Array(p * size),
    residual: new Float64Array(size),
    use: known.slice(),
    known,
    scale: new Float64Array(series.keys.length).fill(1),
    rise: new Float64Array(size).fill(1),
    used: known.reduce((sum, one) => sum + one, 0),
    error: new Float64Array(p),
    normal: new Float64Array(p * p),
  };
}

/** Takes constant and row out of the residual and of every regressor, series by series, over the instants in use. */
export function weigh(work: Work): void {
  const { series, p } = work;
  const size = series.residual.length;
  for (let s = 0; s < series.keys.length; s++) {
    takeOut(work, series.residual, work.residual, 0, s);
    for (let j = 0; j < p; j++) takeOut(work, work.raw, work.regressor, j * size, s);
  }
}

function takeOut(work: Work, values: Float64Array, out: Float64Array, shift: number, s: number): void {
  const { series, use, known, rise } = work;
  const from = s * series.count;
  const to = from + series.count;
  let weights = 0;
  let row = 0;
  let value = 0;
  for (let at = from; at < to; at++) {
    if (!use[at]) continue;
    const w = 1 / (rise[at] * rise[at]);
    weights += w;
    row += w * series.rowA[at];
    value += w * values[shift + at];
  }
  row /= weights;
  value /= weights;
  let square = 0;
  let product = 0;
  for (let at = from; at < to; at++) {
    if (!use[at]) continue;
    const w = (series.rowA[at] - row) / (rise[at] * rise[at]);
    square += w * (series.rowA[at] - row);
    product += w * (values[shift + at] - value);
  }
  const slope = square > 0 ? product / square : 0;
  // Also where an instant was left out, so that it can come back.
  for (let at = from; at < to; at++) {
    out[shift + at] = known[at] && weights > 0 ? values[shift + at] - value - slope * (series.rowA[at] - row) : 0;
  }
}

export function solve(work: Work): void {
  const { series, p } = work;
  const size = series.residual.length;
  const normal = new Float64Array(p * p);
  const right = new Float64Array(p);
  for (let s = 0; s < series.keys.length; s++) {
    const weight = weightOf(work, s);
    if (weight === 0) continue;
    for (let at = s * series.count; at < (s + 1) * series.count; at++) {
      if (!work.use[at]) continue;
      for (let j = 0; j < p; j++) {
        const x = (weight * work.regressor[j * size + at]) / (work.rise[at] * work.rise[at]);
        right[j] += x * work.residual[at];
        for (let k = 0; k <= j; k++) normal[j * p + k] += x * work.regressor[k * size + at];
      }
    }
  }
  for (let j = 0; j < p; j++) for (let k = 0; k < j; k++) normal[k * p + j] = normal[j * p + k];
  work.normal = normal;
  const inverse = symmetricInverse(normal, p);
  const error = new Float64Array(p);
  for (let j = 0; j < p; j++) for (let k = 0; k < p; k++) error[j] += inverse[j * p + k] * right[k];
  work.error = error;
}

/** Scale of every series by the median of what the fit leaves, and instants beyond OUTLIER_SCALES of it left out. */
function leaveOut(work: Work): void {
  const { series, p } = work;
  const size = series.residual.length;
  const left = new Float64Array(size);
  for (let at = 0; at < size; at++) {
    left[at] = work.residual[at];
    for (let j = 0; j < p; j++) {
      if (Number.isFinite(work.error[j])) left[at] -= work.regressor[j * size + at] * work.error[j];
    }
  }
  const sizes = new Float64Array(series.count);
  for (let s = 0; s < series.keys.length; s++) {
    let n = 0;
    for (let at = s * series.count; at < (s + 1) * series.count; at++)
      if (work.known[at]) sizes[n++] = Math.abs(left[at]);
    work.scale[s] = n < LEAST_INSTANTS ? Number.NaN : SD_PER_MEDIAN_ABSOLUTE_DEVIATION * median(sizes.subarray(0, n));
  }
  noiseRise(work, left);
  const scales = [...work.scale].filter((scale) => scale >= 0);
  const least = scales.length > 0 ? LEAST_SCALE_SHARE * median(scales) : 0;
  let used = 0;
  for (let s = 0; s < series.keys.length; s++) {
    work.scale[s] = Math.max(work.scale[s], least);
    for (let at = s * series.count; at < (s + 1) * series.count; at++) {
      work.use[at] = work.known[at] && Math.abs(left[at]) <= OUTLIER_SCALES * work.scale[s] * work.rise[at] ? 1 : 0;
      used += work.use[at];
    }
  }
  work.used = used;
}

/** Residuals count up to this many scales where the growth of the noise is told. */
const MOST_SCALES = 4;

/**
 * Detectors and shutters blur what moves. The noise is taken as 1 + growth · speed: a line through the sizes of the
 * residuals, each over its series' scale; growth is never below 0.
 */
function noiseRise(work: Work, left: Float64Array): void {
  const { series } = work;
  let n = 0;
  let x1 = 0;
  let x2 = 0;
  let y1 = 0;
  let xy = 0;
  for (let s = 0; s < series.keys.length; s++) {
    if (!(work.scale[s] > 0)) continue;
    for (let at = s * series.count; at < (s + 1) * series.count; at++) {
      if (!work.known[at]) continue;
      const x = speedAt(series, at);
      const y = Math.min(MOST_SCALES, Math.abs(left[at]) / work.scale[s]);
      n++;
      x1 += x;
      x2 += x * x;
      y1 += y;
      xy += x * y;
    }
  }
  const slope = (n * xy - x1 * y1) / (n * x2 - x1 * x1);
  const rest = Math.max(y1 - slope * x1, 0.05 * y1) / n;
  const growth = process.env.NORISE ? 0 : slope > 0 && rest > 0 ? slope / rest : 0;
  const usual = 1 + (growth * x1) / n;
  for (let at = 0; at < work.rise.length; at++) {
    work.rise[at] = work.known[at] ? (1 + growth * speedAt(series, at)) / usual : 1;
  }
}

const speedAt = (series: EpipolarSeries, at: number): number => Math.abs(series.rateB[at] - series.rateA[at]) / 2;

export const weightOf = (work: Work, s: number): number =>
  work.scale[s] > 0 ? 1 / (work.scale[s] * work.scale[s]) : 0;

/** Leaves in the residual what the fit does not explain. */
export function keepNoise(work: Work): void {
  const size = work.residual.length;
  for (let j = 0; j < work.p; j++) {
    const error = work.error[j];
    if (!Number.isFinite(error)) continue;
    for (let at = 0; at < size; at++) work.residual[at] -= work.regressor[j * size + at] * error;
  }
}
