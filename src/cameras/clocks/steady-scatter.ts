import type { Work } from './timing-least-squares.ts';
import { weightOf } from './timing-least-squares.ts';

/** Variance of the right-hand side of a regression, and how well it is known. */
export interface Scatter {
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
export function steadyScatter(work: Work): Scatter {
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
