import { coordinateSd, riceInterval } from '../numerics/rice.ts';
import { fromScale, ratioPerUnit, type Scale, toScale } from '../numerics/scale.ts';
import { normalQuantile, studentQuantile } from '../numerics/student.ts';
import { CAUSE_GROUPS, type Cause } from './causes/cause.ts';
import type { Outputs } from './outputs.ts';

/** Per output, in the order of Outputs; NaN where there is no value, or no interval; an sd of 0 has no interval. */
export interface Intervals {
  readonly sd: Float64Array;
  readonly lower: Float64Array;
  readonly upper: Float64Array;
  /** Part of each kind of doubt in the variance, `output * CAUSE_GROUPS.length + group`, 0–1; NaN where there is no variance. */
  readonly share: Float64Array;
  /** Number of draws that know the output, of `draws`; where too few do there is no interval. */
  readonly known: Float64Array;
  readonly draws: number;
}

/** An output that more than this share of the draws leaves unknown gets no interval. Common practice, no source. */
export const LARGEST_UNKNOWN_SHARE = 0.05;

const HALF = 0.975;

/**
 * Intervals of first order: value − bias ± t · √(sd² + s²/n), with sd² = Σ effect² + s², s² the variance of n noise draws.
 *
 * bias: mean of the noise draws less the value. Noise pushes largest and smallest values outward: what it does to the value
 * once more it has done to the measured one already; its own error is the s²/n. t: 97.5 % quantile of Student's distribution with the freedom of
 * Welch (1947) and Satterthwaite (1946), since the variance of the noise is itself estimated from n draws.
 * noise: `draw * outputs + output`; effects: `output * causes + cause`.
 *
 * The length of a vector on the floor is at least 0 and grows by errors of both coordinates: its interval is that of Rice's
 * distribution (`riceInterval`) with this standard deviation, without the bias.
 *
 * Of a ratio all this is done on its scale (`Outputs.scales`) and the ends are brought back. For hip / knee, whose scale is the
 * share hip / (hip + knee), that is the interval of Fieller (1954) as far as the share is linear: it ends at Infinity where the
 * interval of the knee moment holds 0.
 *
 * What no cause and no draw moves (a loss of speed that stands at its limit of 0) has `sd` 0 and no interval: how far it is from
 * the truth cannot be told by errors of one standard deviation.
 */
export function linearIntervals(
  outputs: Outputs,
  causes: readonly Cause[],
  effects: Float64Array,
  noise: Float64Array,
  noiseCount: number,
): Intervals {
  const { count, values, scales } = outputs;
  const result = emptyIntervals(count, noiseCount);
  const groupOf = causes.map(({ group }) => CAUSE_GROUPS.indexOf(group));
  const groups = CAUSE_GROUPS.length;
  const noiseGroup = CAUSE_GROUPS.indexOf('noise');
  const parts = new Float64Array(groups);
  const column = new Float64Array(noiseCount);
  for (let i = 0; i < count; i++) {
    if (Number.isNaN(values[i])) continue;
    const scale = scales?.[i] ?? null;
    const value = placeOf(scale, values[i]);
    parts.fill(0);
    for (let k = 0; k < causes.length; k++) {
      const effect = effects[i * causes.length + k];
      parts[groupOf[k]] += (scale === null ? effect : toScale(scale, values[i] + effect) - value) ** 2;
    }
    const found = columnInto(column, noise, i, count, noiseCount, scale);
    result.known[i] = found.known;
    if (found.known < (1 - LARGEST_UNKNOWN_SHARE) * noiseCount) continue;
    const planeLength = outputs.planeLengths?.has(i) ?? false;
    const drawnVariance = found.known > 1 ? found.variance : 0;
    const noiseVariance = planeLength ? coordinateSd(Math.sqrt(drawnVariance), value) ** 2 : drawnVariance;
    parts[noiseGroup] += noiseVariance;
    let variance = 0;
    for (let g = 0; g < groups; g++) variance += parts[g];
    if (Number.isNaN(variance)) continue;
    const freedom = noiseVariance > 0 ? (variance / noiseVariance) ** 2 * (found.known - 1) : Number.POSITIVE_INFINITY;
    const bias = found.known > 1 ? found.mean - value : 0;
    const half = quantileOf(freedom) * Math.sqrt(variance + noiseVariance / Math.max(1, found.known));
    result.sd[i] = Math.sqrt(variance) * (scale === null ? 1 : ratioPerUnit(scale, values[i]));
    if (variance === 0) continue;
    if (planeLength && half > 0) {
      const sd = half / NORMAL_HALF;
      const { lower, upper } = riceInterval(value / sd);
      [result.lower[i], result.upper[i]] = [lower * sd, upper * sd];
    } else {
      result.lower[i] = valueAt(scale, value - bias - half);
      result.upper[i] = valueAt(scale, value - bias + half);
    }
    for (let g = 0; g < groups; g++) result.share[i * groups + g] = parts[g] / variance;
  }
  return result;
}

const placeOf = (scale: Scale | null, value: number) => (scale === null ? value : toScale(scale, value));
const valueAt = (scale: Scale | null, place: number) => (scale === null ? place : fromScale(scale, place));

/** Freedoms above this are as good as none: Student's quantile differs from the normal one by less than 0.03 %. */
const AS_GOOD_AS_NORMAL = 5000;
const NORMAL_HALF = normalQuantile(HALF);

/** Student's 97.5 % quantile by whole freedoms, computed once each. */
const quantiles = new Map<number, number>();

function quantileOf(freedom: number): number {
  if (!(freedom < AS_GOOD_AS_NORMAL)) return NORMAL_HALF;
  const whole = Math.max(1, Math.floor(freedom));
  const found = quantiles.get(whole) ?? studentQuantile(HALF, whole);
  quantiles.set(whole, found);
  return found;
}

/**
 * Intervals from joint draws: [2 v − q(97.5 %), 2 v − q(2.5 %)], v the value and q quantiles of the draws. Draws start from the
 * measured value, so what they say is how far a measurement lies from the truth; turned over it says where the truth lies from
 * the measurement (the basic bootstrap interval, Davison & Hinkley 1997, eq. 5.6). Quantiles by (N + 1) p, their type 6.
 * The shares are those of first order. drawn: `draw * outputs + output`.
 */
export function drawnIntervals(outputs: Outputs, drawn: Float64Array, draws: number, linear: Intervals): Intervals {
  const { count, values, scales } = outputs;
  const result = { ...emptyIntervals(count, draws), share: linear.share };
  const column = new Float64Array(draws);
  for (let i = 0; i < count; i++) {
    if (Number.isNaN(values[i])) continue;
    const scale = scales?.[i] ?? null;
    const { known, variance } = columnInto(column, drawn, i, count, draws, scale);
    result.known[i] = known;
    if (known < (1 - LARGEST_UNKNOWN_SHARE) * draws) continue;
    const sorted = column.subarray(0, known).sort();
    const twice = 2 * placeOf(scale, values[i]);
    result.sd[i] = Math.sqrt(variance) * (scale === null ? 1 : ratioPerUnit(scale, values[i]));
    if (variance === 0) continue;
    if (outputs.planeLengths?.has(i)) {
      const sd = coordinateSd(Math.sqrt(variance), values[i]);
      const { lower, upper } = riceInterval(values[i] / sd);
      [result.lower[i], result.upper[i]] = [lower * sd, upper * sd];
      continue;
    }
    result.lower[i] = valueAt(scale, twice - quantileOfSorted(sorted, HALF));
    result.upper[i] = valueAt(scale, twice - quantileOfSorted(sorted, 1 - HALF));
  }
  return result;
}

/** Quantile at the place (n + 1) p of sorted values (type 6 of Hyndman & Fan 1996), held at the ends. */
export function quantileOfSorted(sorted: Float64Array, p: number): number {
  const place = (sorted.length + 1) * p - 1;
  const below = Math.min(sorted.length - 1, Math.max(0, Math.floor(place)));
  const above = Math.min(sorted.length - 1, below + 1);
  const share = Math.min(1, Math.max(0, place - below));
  return sorted[below] + share * (sorted[above] - sorted[below]);
}

function emptyIntervals(count: number, draws: number) {
  const unknown = (length: number) => new Float64Array(length).fill(Number.NaN);
  return {
    sd: unknown(count),
    lower: unknown(count),
    upper: unknown(count),
    share: unknown(count * CAUSE_GROUPS.length),
    known: new Float64Array(count),
    draws,
  };
}

/** The known values of one output, on its scale, to `column`, with their mean and variance. */
function columnInto(
  column: Float64Array,
  rows: Float64Array,
  output: number,
  width: number,
  count: number,
  scale: Scale | null,
): { known: number; mean: number; variance: number } {
  let known = 0;
  let sum = 0;
  for (let d = 0; d < count; d++) {
    const value = placeOf(scale, rows[d * width + output]);
    if (Number.isNaN(value)) continue;
    column[known++] = value;
    sum += value;
  }
  const mean = sum / known;
  let squares = 0;
  for (let d = 0; d < known; d++) squares += (column[d] - mean) ** 2;
  return { known, mean, variance: known > 1 ? squares / (known - 1) : Number.NaN };
}
