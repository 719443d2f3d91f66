import { symmetricInverse } from './symmetric-inverse.ts';
import { type Work, weightOf } from './timing-least-squares.ts';

/** Variance of the right-hand side of a regression, and how well it is known. */
export interface Scatter {
  readonly scatter: Float64Array;
  readonly freedom: Float64Array;
}

/** Fourier sums over the instants in use, re and im interleaved, `2 * (series * (highest + 1) + frequency)`. */
interface Spectra {
  readonly highest: number;
  /** Of the residual over the rise of its noise. */
  readonly residual: Float64Array;
  /** Of weight · regressor over the rise of the noise, one array a parameter. */
  readonly regressors: readonly Float64Array[];
  /** Power of the two terms taken out (constant and row, as unit vectors), `2 * (series * (highest + 1) + frequency) + term`. */
  readonly terms: Float64Array;
}

/** Above this the smoothed tracks of a lifter have no power, Hz: the kernel of ± 0.15 s passes less than a tenth. */
const HIGHEST_HZ = 6;
/**
 * The noise at a frequency is taken as the mean over this much to either side, Hz. Repetitions put the movement's power
 * into few frequencies; without the mean the interval would rest on a handful of numbers. Noise with a correlation time of
 * 0.15 s has its corner at 1.1 Hz and changes little over that.
 */
const SPECTRAL_HALF_WIDTH_HZ = 0.25;

/**
 * Variance of Σ weight · regressor · residual by moving the residuals round the recording, times what the fit and the
 * mean over frequencies take from it (`expectedShare`).
 */
export function steadyScatter(work: Work): Scatter {
  const { series, p } = work;
  const n = series.count;
  const found = spectra(work);
  const { highest, residual, regressors } = found;
  const reach = Math.max(1, Math.round(SPECTRAL_HALF_WIDTH_HZ * n * series.stepS));
  const shape = noiseShape(work, found);
  const scatter = new Float64Array(p * p);
  const sums = new Float64Array(2 * p);
  for (let f = 1; f <= highest - reach; f++) {
    const from = Math.max(1, f - reach);
    const to = f + reach;
    for (let g = from; g <= to; g++) {
      crossInto(sums, work, regressors, residual, highest + 1, f, g);
      const factor = ((2 / (n * n)) * (shape[f] / shape[g])) / (to - from + 1);
      for (let j = 0; j < p; j++) {
        for (let k = 0; k < p; k++) {
          scatter[j * p + k] += factor * (sums[2 * j] * sums[2 * k] + sums[2 * j + 1] * sums[2 * k + 1]);
        }
      }
    }
  }
  const { share, freedom } = expectedShare(work, found, shape, reach);
  for (let j = 0; j < p; j++) for (let k = 0; k < p; k++) scatter[j * p + k] /= Math.sqrt(share[j] * share[k]);
  return { scatter, freedom };
}

/**
 * For noise of the given shape S(f), independent between series: mean of the found scatter over the true one, and its
 * degrees of freedom (2 mean² / variance), per parameter.
 *
 * With B the unit terms taken out of a series, E|R(g)|² = n S(g) − Σ |B(g)|² (2 S(g) − mean of S over |B|²); with X the
 * regressors and N the normal matrix, the fit takes 2 S(g) aᴴ N⁻¹ a − aᴴ N⁻¹ V N⁻¹ a more, where a_k = Σ X_j(f)* Φ_k(g) and
 * V = the true scatter.
 */
function expectedShare(
  work: Work,
  found: Spectra,
  shape: Float64Array,
  reach: number,
): { share: Float64Array; freedom: Float64Array } {
  const { series, p, normal } = work;
  const n = series.count;
  const { highest, regressors, terms } = found;
  const frequencies = highest + 1;
  // Φ = regressor without the series' weight.
  const plain = regressors.map((x) => {
    const own = x.slice();
    for (let s = 0; s < series.keys.length; s++) {
      const weight = weightOf(work, s) || 1;
      for (let i = 2 * s * frequencies; i < 2 * (s + 1) * frequencies; i++) own[i] /= weight;
    }
    return own;
  });
  const mean = meansOverTerms(work, found, shape);
  const truth = new Float64Array(p * p);
  const sums = new Float64Array(2 * p);
  for (let f = 1; f <= highest - reach; f++) {
    for (let j = 0; j < p; j++) {
      crossInto(sums, work, plain, regressors[j], frequencies, f, f);
      for (let k = 0; k < p; k++) truth[j * p + k] += (2 / n) * shape[f] * sums[2 * k];
    }
  }
  const inverse = symmetricInverse(normal, p);
  const spread = sandwich(inverse, truth, p);
  const expected = new Float64Array(p);
  const parts = Array.from({ length: p }, () => new Float64Array(highest + reach + 1));
  for (let f = 1; f <= highest - reach; f++) {
    const from = Math.max(1, f - reach);
    const to = f + reach;
    for (let g = from; g <= to; g++) {
      const factor = ((2 / (n * n)) * (shape[f] / shape[g])) / (to - from + 1);
      for (let j = 0; j < p; j++) {
        let power = 0;
        let whole = 0;
        for (let s = 0; s < series.keys.length; s++) {
          const at = s * frequencies;
          const x =
            regressors[j][2 * (at + f)] * plain[j][2 * (at + f)] +
            regressors[j][2 * (at + f) + 1] * plain[j][2 * (at + f) + 1];
          let own = n * shape[g];
          whole += x * own;
          for (let t = 0; t < 2; t++) own -= terms[2 * (at + g) + t] * (2 * shape[g] - mean[2 * s + t]);
          power += x * own;
        }
        crossInto(sums, work, plain, regressors[j], frequencies, g, f);
        for (let k = 0; k < p; k++) {
          for (let m = 0; m < p; m++) {
            const product = sums[2 * k] * sums[2 * m] + sums[2 * k + 1] * sums[2 * m + 1];
            power -= product * (2 * shape[g] * inverse[k * p + m] - spread[k * p + m]);
          }
        }
        expected[j] += factor * power;
        parts[j][g] += factor * whole;
      }
    }
  }
  const share = expected.map((value, j) => value / truth[j * p + j]);
  // One complex number a frequency: two degrees of freedom each; the fitted parameters have taken theirs.
  const freedom = Float64Array.from(parts, (part) => {
    const sum = part.reduce((total, value) => total + value, 0);
    return (2 * sum * sum) / part.reduce((total, value) => total + value * value, 0) - p;
  });
  return { share, freedom };
}

/** Mean of the noise's shape over the power of each term of each series, `2 * series + term`. */
function meansOverTerms(work: Work, { highest, terms }: Spectra, shape: Float64Array): Float64Array {
  const means = new Float64Array(2 * work.series.keys.length);
  for (let s = 0; s < work.series.keys.length; s++) {
    for (let t = 0; t < 2; t++) {
      let sum = 0;
      let whole = 0;
      for (let f = 1; f <= highest; f++) {
        const power = terms[2 * (s * (highest + 1) + f) + t];
        sum += power * shape[f];
        whole += power;
      }
      means[2 * s + t] = whole > 0 ? sum / whole : 0;
    }
  }
  return means;
}

/** A B A of symmetric p × p matrices. */
function sandwich(a: Float64Array, b: Float64Array, p: number): Float64Array {
  const out = new Float64Array(p * p);
  for (let i = 0; i < p; i++) {
    for (let j = 0; j < p; j++) {
      for (let k = 0; k < p; k++) {
        for (let l = 0; l < p; l++) out[i * p + j] += a[i * p + k] * b[k * p + l] * a[l * p + j];
      }
    }
  }
  return out;
}

/** Noise is shaped up to here, Hz: the movement's own band and its neighbours. */
const SHAPED_HZ = 2;

/**
 * The noise's power by frequency, as exp(a + b f + c f²), from all series together; level is of no account. Taken off
 * before neighbouring frequencies are averaged, put back after (prewhitening; Blackman & Tukey 1958).
 */
function noiseShape(work: Work, { residual, terms, highest }: Spectra): Float64Array {
  const { series } = work;
  const perHz = series.count * series.stepS;
  const last = Math.min(highest, Math.round(SHAPED_HZ * perHz));
  const normal = new Float64Array(9);
  const right = new Float64Array(3);
  for (let f = 1; f <= last; f++) {
    let power = 0;
    let share = 0;
    for (let s = 0; s < series.keys.length; s++) {
      const weight = weightOf(work, s);
      if (weight === 0) continue;
      const at = 2 * (s * (highest + 1) + f);
      power += (residual[at] ** 2 + residual[at + 1] ** 2) * weight;
      share += Math.max(0, 1 - (terms[at] + terms[at + 1]) / series.count);
    }
    if (!(power > 0) || !(share > 0)) continue;
    const row = [1, f / perHz, (f / perHz) ** 2];
    for (let i = 0; i < 3; i++) {
      // What is left of a frequency that the terms took tells less of it.
      right[i] += share * row[i] * Math.log(power / share);
      for (let j = 0; j < 3; j++) normal[3 * i + j] += share * row[i] * row[j];
    }
  }
  const inverse = symmetricInverse(normal, 3);
  const [, b, c] = [0, 1, 2].map(
    (i) => inverse[3 * i] * right[0] + inverse[3 * i + 1] * right[1] + inverse[3 * i + 2] * right[2],
  );
  if (!Number.isFinite(b + c)) return new Float64Array(2 * highest + 2).fill(1);
  return Float64Array.from({ length: 2 * highest + 2 }, (_, f) => {
    const hz = Math.min(f / perHz, SHAPED_HZ);
    return Math.exp(b * hz + c * hz * hz);
  });
}

/** Σ over series of conj(regressor at f) · (residual at g), per parameter. */
function crossInto(
  sums: Float64Array,
  work: Work,
  regressors: readonly Float64Array[],
  residual: Float64Array,
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
  const unit = new Float64Array(2 * (highest + 1));
  const terms = new Float64Array(length);
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
    for (let t = 0; t < 2; t++) {
      unitTermInto(packed, work, s, t);
      transformInto(unit, 0, packed, highest, cosine, sine);
      for (let f = 1; f <= highest; f++)
        terms[2 * (s * (highest + 1) + f) + t] = unit[2 * f] ** 2 + unit[2 * f + 1] ** 2;
    }
  }
  return { highest, residual, regressors, terms };
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

/** Term 0, the constant, or 1, the row about its (weighted) mean: over the rise of the noise, where in use, length 1. */
function unitTermInto(out: Float64Array, { series, use, rise }: Work, s: number, term: number): void {
  const from = s * series.count;
  let weights = 0;
  let mean = 0;
  for (let i = 0; i < series.count; i++) {
    if (!use[from + i]) continue;
    weights += 1 / rise[from + i] ** 2;
    mean += series.rowA[from + i] / rise[from + i] ** 2;
  }
  mean /= weights;
  let square = 0;
  for (let i = 0; i < series.count; i++) {
    out[i] = use[from + i] ? (term === 0 ? 1 : series.rowA[from + i] - mean) / rise[from + i] : 0;
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
