import { median, SD_PER_MEDIAN_ABSOLUTE_DEVIATION } from '../../numerics/statistics.ts';
import { normalQuantile, studentQuantile } from '../../numerics/student.ts';
import type { EpipolarSeries } from './epipolar-series.ts';
import { GUARD_BLOCK_S, GUARD_PROBABILITY, LEAST_INSTANTS, OUTLIER_SCALES } from './limits.ts';

/**
 * How a small change of one clock parameter moves the times of the two views of a series at an instant, seconds per unit
 * of the parameter: change of b minus change of a. 0 where the parameter does not touch the pair.
 */
export type TimingOf = (series: EpipolarSeries, s: number, at: number) => number;

/** What the residuals say of the timing. */
export interface TimingFit {
  /** Error of each parameter (found − true), in its unit: subtract it. NaN where not determined. */
  readonly error: Float64Array;
  /** parameters × parameters; NaN where not determined. */
  readonly covariance: Float64Array;
  /** Of the standard deviation of each parameter: Student's t with so many degrees has the interval's factor. */
  readonly freedom: Float64Array;
  readonly halfWidth95: Float64Array;
  /** 'steady' noise over the whole recording, or 'blocks' where the noise grows with the movement. */
  readonly intervalFrom: 'steady' | 'blocks';
  /** Agreement of the views about the movement across the epipolar lines, −1 to 1. */
  readonly agreement: number;
  /** Robust standard deviation of each series' smoothed residual, px; NaN where the series is not used. */
  readonly scalePx: Float64Array;
  /** Instants used, of those that both views know. */
  readonly used: number;
  readonly known: number;
}

/** Rounds in which outliers are found and the fit repeated. */
const ROUNDS = 4;
/** No series counts more than this many times as much as the middle one: four hundred times its weight is a fault, not precision. */
const LEAST_SCALE_SHARE = 0.25;

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

/** Which samples are used and how much each series counts; of one set of series. */
export interface SampleChoice {
  readonly use: Uint8Array;
  readonly scale: Float64Array;
  readonly rise: Float64Array;
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

function robustFit(series: EpipolarSeries, timings: readonly TimingOf[], kept: SampleChoice | null): Work {
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

interface Work {
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
function weigh(work: Work): void {
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

function solve(work: Work): void {
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
  const growth = slope > 0 && rest > 0 ? slope / rest : 0;
  const usual = 1 + (growth * x1) / n;
  for (let at = 0; at < work.rise.length; at++) {
    work.rise[at] = work.known[at] ? (1 + growth * speedAt(series, at)) / usual : 1;
  }
}

const speedAt = (series: EpipolarSeries, at: number): number => Math.abs(series.rateB[at] - series.rateA[at]) / 2;

const weightOf = (work: Work, s: number): number => (work.scale[s] > 0 ? 1 / (work.scale[s] * work.scale[s]) : 0);

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

/** Leaves in the residual what the fit does not explain. */
function keepNoise(work: Work): void {
  const size = work.residual.length;
  for (let j = 0; j < work.p; j++) {
    const error = work.error[j];
    if (!Number.isFinite(error)) continue;
    for (let at = 0; at < size; at++) work.residual[at] -= work.regressor[j * size + at] * error;
  }
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

interface Scatter {
  readonly scatter: Float64Array;
  readonly freedom: Float64Array;
}

/** Fourier sums of one series over the instants in use: residual first, then the weighted regressors; re, im interleaved. */
interface Spectra {
  readonly highest: number;
  /** `2 * (series * (highest + 1) + frequency)`. */
  readonly residual: Float64Array;
  /** One array a parameter. */
  readonly regressors: readonly Float64Array[];
  /** Share of the residual's power that the row term has taken, `series * (highest + 1) + frequency`, 0–1. */
  readonly taken: Float64Array;
}

/** Above this the smoothed tracks of a lifter have no power, Hz: the kernel of ± 0.15 s passes less than a tenth. */
const HIGHEST_HZ = 6;
/**
 * The noise at a frequency is taken as the mean over this much to either side, Hz. Repetitions put the movement's power
 * into few frequencies; without the mean the interval would rest on a handful of numbers. Noise with a correlation time of
 * 0.15 s has its corner at 1.1 Hz and hardly changes over so little.
 */
const SPECTRAL_HALF_WIDTH_HZ = 0.25;

/** Variance of Σ weight · regressor · residual by moving the residuals round the recording. */
function steadyScatter(work: Work): Scatter {
  const { series, p } = work;
  const n = series.count;
  const { highest, residual, regressors, taken } = spectra(work);
  const reach = Math.max(1, Math.round(SPECTRAL_HALF_WIDTH_HZ * n * series.stepS));
  const scatter = new Float64Array(p * p);
  // Share of each frequency of the residual in the whole, per parameter: tells the degrees of freedom.
  const shares = Array.from({ length: p }, () => new Float64Array(highest + reach + 1));
  const sums = new Float64Array(2 * p);
  const left = new Float64Array(p);
  const whole = new Float64Array(p);
  const shape = noiseShape(work, residual, taken, highest);
  for (let f = 1; f <= highest - reach; f++) {
    const from = Math.max(1, f - reach);
    const to = f + reach;
    for (let g = from; g <= to; g++) {
      crossInto(sums, work, residual, regressors, highest + 1, f, g);
      for (let j = 0; j < p; j++) {
        for (let k = 0; k < p; k++) {
          scatter[j * p + k] +=
            ((2 / (n * n)) * (shape[f] / shape[g]) * (sums[2 * j] * sums[2 * k] + sums[2 * j + 1] * sums[2 * k + 1])) /
            (to - from + 1);
        }
      }
    }
    for (let j = 0; j < p; j++) {
      let power = 0;
      for (let s = 0; s < series.keys.length; s++) {
        const at = s * (highest + 1);
        const own =
          (regressors[j][2 * (at + f)] ** 2 + regressors[j][2 * (at + f) + 1] ** 2) / (weightOf(work, s) || 1);
        power += own;
        for (let g = from; g <= to; g++) {
          whole[j] += own / (to - from + 1);
          left[j] += (own * (1 - taken[at + g])) / (to - from + 1);
        }
      }
      for (let g = from; g <= to; g++) shares[j][g] += power / (to - from + 1);
    }
  }
  // One complex number a frequency: two degrees of freedom each; the fitted parameters have taken theirs.
  const full = Float64Array.from(shares, (share) => {
    const whole = share.reduce((sum, value) => sum + value, 0);
    return (2 * whole * whole) / share.reduce((sum, value) => sum + value * value, 0);
  });
  const freedom = full.map((nu) => nu - p);
  for (let j = 0; j < p; j++) {
    for (let k = 0; k < p; k++) {
      // The row term took power at the very frequencies of the movement: back to what it was.
      scatter[j * p + k] *= Math.sqrt(
        (full[j] / freedom[j]) * (full[k] / freedom[k]) * (whole[j] / left[j]) * (whole[k] / left[k]),
      );
    }
  }
  return { scatter, freedom };
}

/** Noise is shaped up to here, Hz: the movement's own band and its neighbours. */
const SHAPED_HZ = 1.5;

/**
 * Fall of the noise with frequency, as exp(b f²), from all series together: taken off before neighbouring frequencies are
 * averaged, put back after (prewhitening; Blackman & Tukey 1958). Index = frequency of the circle.
 */
function noiseShape(work: Work, residual: Float64Array, taken: Float64Array, highest: number): Float64Array {
  const { series } = work;
  const perHz = series.count * series.stepS;
  const last = Math.min(highest, Math.round(SHAPED_HZ * perHz));
  let n = 0;
  let x1 = 0;
  let x2 = 0;
  let y1 = 0;
  let xy = 0;
  for (let f = 1; f <= last; f++) {
    let power = 0;
    let share = 0;
    for (let s = 0; s < series.keys.length; s++) {
      const at = s * (highest + 1) + f;
      power += (residual[2 * at] ** 2 + residual[2 * at + 1] ** 2) * weightOf(work, s);
      if (weightOf(work, s) > 0) share += 1 - taken[at];
    }
    if (!(power > 0) || !(share > 0)) continue;
    const x = (f / perHz) ** 2;
    const y = Math.log(power / share);
    n++;
    x1 += x;
    x2 += x * x;
    y1 += y;
    xy += x * y;
  }
  const slope = n > 2 ? (n * xy - x1 * y1) / (n * x2 - x1 * x1) : 0;
  // Noise that rises with frequency is no keypoint's: left as it is.
  const b = Math.min(0, slope);
  return Float64Array.from({ length: 2 * highest + 2 }, (_, f) =>
    Math.exp(b * Math.min((f / perHz) ** 2, SHAPED_HZ ** 2)),
  );
}

/** Σ over series of conj(regressor at f) · residual at g, per parameter. */
function crossInto(
  sums: Float64Array,
  work: Work,
  residual: Float64Array,
  regressors: readonly Float64Array[],
  frequencies: number,
  f: number,
  g: number,
): void {
  sums.fill(0);
  for (let s = 0; s < work.series.keys.length; s++) {
    const at = 2 * (s * frequencies + f);
    const r = 2 * (s * frequencies + g);
    for (let j = 0; j < work.p; j++) {
      const x = regressors[j];
      sums[2 * j] += x[at] * residual[r] + x[at + 1] * residual[r + 1];
      sums[2 * j + 1] += x[at] * residual[r + 1] - x[at + 1] * residual[r];
    }
  }
}

function spectra(work: Work): Spectra {
  const { series, p } = work;
  const n = series.count;
  const size = series.residual.length;
  const highest = Math.min(Math.floor((n - 1) / 2), Math.ceil(HIGHEST_HZ * n * series.stepS));
  const length = 2 * series.keys.length * (highest + 1);
  const residual = new Float64Array(length);
  const regressors = Array.from({ length: p }, () => new Float64Array(length));
  const gain = shareKnown(work);
  const cosine = Float64Array.from({ length: n }, (_, i) => Math.cos((2 * Math.PI * i) / n));
  const sine = Float64Array.from({ length: n }, (_, i) => Math.sin((2 * Math.PI * i) / n));
  const packed = new Float64Array(n);
  const row = new Float64Array(2 * (highest + 1));
  const taken = new Float64Array(series.keys.length * (highest + 1));
  for (let s = 0; s < series.keys.length; s++) {
    const weight = weightOf(work, s);
    if (weight === 0) continue;
    for (let column = 0; column < p; column++) {
      for (let i = 0; i < n; i++) {
        const at = s * n + i;
        packed[i] = work.use[at] ? (weight * work.regressor[column * size + at]) / work.rise[at] : 0;
      }
      transformInto(regressors[column], s * (highest + 1), packed, highest, cosine, sine);
    }
    for (let i = 0; i < n; i++) {
      const at = s * n + i;
      packed[i] = work.use[at] ? (gain[s] * work.residual[at]) / work.rise[at] : 0;
    }
    transformInto(residual, s * (highest + 1), packed, highest, cosine, sine);
    unitRowInto(packed, work, s);
    transformInto(row, 0, packed, highest, cosine, sine);
    for (let f = 1; f <= highest; f++) taken[s * (highest + 1) + f] = (row[2 * f] ** 2 + row[2 * f + 1] ** 2) / n;
  }
  return { highest, residual, regressors, taken };
}

/** Fourier sums at frequencies 1 … highest of the circle, to out[2 · (place + f)] and the next. */
function transformInto(
  out: Float64Array,
  place: number,
  values: Float64Array,
  highest: number,
  cosine: Float64Array,
  sine: Float64Array,
): void {
  const n = values.length;
  for (let f = 1; f <= highest; f++) {
    let re = 0;
    let im = 0;
    let phase = 0;
    for (let i = 0; i < n; i++) {
      re += values[i] * cosine[phase];
      im += values[i] * sine[phase];
      phase += f;
      if (phase >= n) phase -= n;
    }
    out[2 * (place + f)] = re;
    out[2 * (place + f) + 1] = im;
  }
}

/** The row of a series over the instants in use, about its mean, over the rise of the noise, length 1. */
function unitRowInto(out: Float64Array, { series, use, rise }: Work, s: number): void {
  const from = s * series.count;
  let n = 0;
  let mean = 0;
  for (let i = 0; i < series.count; i++) {
    if (!use[from + i]) continue;
    n++;
    mean += series.rowA[from + i];
  }
  mean /= n;
  let square = 0;
  for (let i = 0; i < series.count; i++) {
    out[i] = use[from + i] ? (series.rowA[from + i] - mean) / rise[from + i] : 0;
    square += out[i] * out[i];
  }
  for (let i = 0; i < series.count; i++) out[i] /= Math.sqrt(square) || 1;
}

/** Gaps are zeros in the residual: one over the root of the share that is there gives back the power of the rest. */
function shareKnown(work: Work): Float64Array {
  const { series } = work;
  return Float64Array.from(series.keys, (_, s) => {
    let used = 0;
    for (let at = s * series.count; at < (s + 1) * series.count; at++) used += work.use[at];
    return used > 0 ? Math.sqrt(series.count / used) : 0;
  });
}

/** The same by sums over blocks of time, all series together. */
function blockScatter(work: Work): Scatter {
  const { series, p } = work;
  const size = series.residual.length;
  const length = Math.round(GUARD_BLOCK_S / series.stepS);
  const blocks = Math.max(1, Math.floor(series.count / length));
  const sums = new Float64Array(blocks * p);
  const shares = new Float64Array(blocks * p);
  for (let s = 0; s < series.keys.length; s++) {
    const weight = weightOf(work, s);
    if (weight === 0) continue;
    for (let i = 0; i < series.count; i++) {
      const at = s * series.count + i;
      if (!work.use[at]) continue;
      const block = Math.min(blocks - 1, Math.floor(i / length));
      for (let j = 0; j < p; j++) {
        const x = (weight * work.regressor[j * size + at]) / (work.rise[at] * work.rise[at]);
        sums[block * p + j] += x * work.residual[at];
        shares[block * p + j] += x * work.regressor[j * size + at];
      }
    }
  }
  const scatter = new Float64Array(p * p);
  const freedom = new Float64Array(p);
  for (let j = 0; j < p; j++) {
    let whole = 0;
    let squares = 0;
    for (let block = 0; block < blocks; block++) {
      whole += shares[block * p + j];
      squares += shares[block * p + j] ** 2;
    }
    freedom[j] = (whole * whole) / squares - 1;
  }
  for (let block = 0; block < blocks; block++) {
    for (let j = 0; j < p; j++) {
      for (let k = 0; k < p; k++) {
        const grown = Math.sqrt(((freedom[j] + 1) / freedom[j]) * ((freedom[k] + 1) / freedom[k]));
        scatter[j * p + k] += sums[block * p + j] * sums[block * p + k] * grown;
      }
    }
  }
  return { scatter, freedom };
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

/** A column that the others explain to one part in this is not determined. */
const DEPENDENT = 1e-8;

/** Inverse by Gauss–Jordan on the scaled matrix, largest diagonal first; NaN in the rows of columns that depend on others. */
export function symmetricInverse(matrix: Float64Array, p: number): Float64Array {
  const scale = Float64Array.from({ length: p }, (_, j) => Math.sqrt(matrix[j * p + j]));
  const work = new Float64Array(p * p);
  for (let j = 0; j < p; j++) {
    for (let k = 0; k < p; k++)
      work[j * p + k] = scale[j] > 0 && scale[k] > 0 ? matrix[j * p + k] / (scale[j] * scale[k]) : 0;
  }
  const done = new Uint8Array(p);
  for (let step = 0; step < p; step++) {
    let pivot = -1;
    for (let j = 0; j < p; j++) if (!done[j] && (pivot < 0 || work[j * p + j] > work[pivot * p + pivot])) pivot = j;
    if (!(work[pivot * p + pivot] > DEPENDENT)) break;
    done[pivot] = 1;
    sweep(work, pivot, p);
  }
  // What hangs on a column that is not determined is not determined either.
  const free = Array.from(
    done,
    (one, j) => one === 1 && !done.some((other, k) => !other && Math.abs(work[j * p + k]) > 1e-6),
  );
  const inverse = new Float64Array(p * p);
  for (let j = 0; j < p; j++) {
    for (let k = 0; k < p; k++) {
      inverse[j * p + k] = free[j] && free[k] ? -work[j * p + k] / (scale[j] * scale[k]) : Number.NaN;
    }
  }
  return inverse;
}

/** Sweep operator (Goodnight 1979, Am. Stat. 33:149–158): after sweeping all, the matrix is minus its inverse. */
function sweep(a: Float64Array, pivot: number, p: number): void {
  const d = a[pivot * p + pivot];
  for (let j = 0; j < p; j++) {
    if (j === pivot) continue;
    const factor = a[j * p + pivot] / d;
    for (let k = 0; k < p; k++) if (k !== pivot) a[j * p + k] -= factor * a[pivot * p + k];
  }
  for (let j = 0; j < p; j++) {
    if (j === pivot) continue;
    a[j * p + pivot] /= d;
    a[pivot * p + j] /= d;
  }
  a[pivot * p + pivot] = -1 / d;
}
