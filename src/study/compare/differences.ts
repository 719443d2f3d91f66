import { normalQuantile, studentQuantile } from '../../numerics/student.ts';
import { CAUSE_GROUPS, type CauseGroup } from '../../uncertainty/causes/cause.ts';
import { LARGEST_UNKNOWN_SHARE, quantileOfSorted } from '../../uncertainty/intervals.ts';
import type { DoubtOfMeans } from '../doubt-of-means.ts';

/** Differences B − A of `count` numbers, with all that their doubt is made of. NaN where there is no interval. */
export interface Differences {
  readonly count: number;
  readonly value: Float64Array;
  /** Standard deviation of the difference's error, and 95 % interval. */
  readonly sd: Float64Array;
  readonly lower: Float64Array;
  readonly upper: Float64Array;
  /** Middle of an interval that is drawn symmetric: the value less the bias of the noise, or of the draws. */
  readonly middle: Float64Array;
  /** Standard deviation about the middle, the bias's own error in it; and the freedom with which it is known. */
  readonly spread: Float64Array;
  readonly freedom: Float64Array;
  /** Variance of the difference, and of A and B together if they shared nothing; both of first order. */
  readonly variance: Float64Array;
  readonly apart: Float64Array;
  /** By kind of doubt, `number * CAUSE_GROUPS.length + group`: the same two, kind by kind. */
  readonly varianceOf: Float64Array;
  readonly apartOf: Float64Array;
  /** Effect of one standard deviation of each unknown on the difference, `unknown * count + number`. */
  readonly effects: Float64Array;
  readonly unknowns: number;
  /** Deviations of the noise from its mean, one table (`draw * count + number`) an independent source of noise. */
  readonly noise: readonly { readonly rows: Float64Array; readonly draws: number }[];
  /** The differences in the joint draws, `draw * count + number`; null in linear mode. */
  readonly drawn: Float64Array | null;
  readonly draws: number;
}

/** One side of the differences: values, own 95 % intervals (only whether there is one), doubt. */
export interface DifferenceSide {
  readonly values: Float64Array;
  readonly lower: Float64Array;
  readonly doubt: DoubtOfMeans;
  /** Id of what was filmed: sides of one source share their noise. */
  readonly source: string;
}

const HALF = 0.975;
const GROUPS = CAUSE_GROUPS.length;
const NOISE = CAUSE_GROUPS.indexOf('noise');

/**
 * B − A, number by number. An unknown with one key is one and the same in both, so its effects subtract before they are
 * squared; the noise of one recording is subtracted inside each draw, that of two adds up. Intervals as for a single number
 * (`linearIntervals`, `drawnIntervals`): first order with Student's quantile at the freedom of Welch (1947) and Satterthwaite
 * (1946), or the basic interval of joint draws where both sides have as many.
 *
 * Exchanging A and B turns the signs and nothing else, to the last digit: sums run in the order of the keys and sources.
 */
export function differencesOf(a: DifferenceSide, b: DifferenceSide): Differences {
  const count = a.values.length;
  const result = emptyDifferences(count);
  for (let i = 0; i < count; i++) result.value[i] = b.values[i] - a.values[i];
  const effects = addCauses(result, a.doubt, b.doubt);
  const noise = noiseOf(a, b);
  const known = new Uint8Array(count);
  for (let i = 0; i < count; i++) known[i] = Number.isFinite(a.lower[i]) && Number.isFinite(b.lower[i]) ? 1 : 0;
  addNoise(result, a, b, noise);
  firstOrder(result, noise, known);
  const drawn = drawnDifferences(a.doubt, b.doubt);
  if (drawn) fromDraws(result, drawn, a.doubt.draws, known);
  return {
    ...result,
    count,
    effects,
    unknowns: effects.length / Math.max(1, count),
    noise,
    drawn,
    draws: drawn ? a.doubt.draws : 0,
  };
}

function emptyDifferences(count: number) {
  const unknown = () => new Float64Array(count).fill(Number.NaN);
  return {
    value: unknown(),
    sd: unknown(),
    lower: unknown(),
    upper: unknown(),
    middle: unknown(),
    spread: unknown(),
    freedom: unknown(),
    variance: new Float64Array(count),
    apart: new Float64Array(count),
    varianceOf: new Float64Array(count * GROUPS),
    apartOf: new Float64Array(count * GROUPS),
  };
}

type Working = ReturnType<typeof emptyDifferences>;

/** Adds the causes to the variances; returns their effects on the differences. */
function addCauses(result: Working, a: DoubtOfMeans, b: DoubtOfMeans): Float64Array {
  const { count } = a;
  const keys = [...new Set([...a.effects.keys(), ...b.effects.keys()])].sort();
  const effects = new Float64Array(keys.length * count);
  keys.forEach((key, k) => {
    const [inA, inB] = [a.effects.get(key), b.effects.get(key)];
    const group = CAUSE_GROUPS.indexOf((inA ?? inB)!.group as CauseGroup);
    for (let i = 0; i < count; i++) {
      const [ea, eb] = [inA?.of[i] ?? 0, inB?.of[i] ?? 0];
      const effect = eb - ea;
      effects[k * count + i] = effect;
      result.variance[i] += effect * effect;
      result.apart[i] += ea * ea + eb * eb;
      result.varianceOf[i * GROUPS + group] += effect * effect;
      result.apartOf[i * GROUPS + group] += ea * ea + eb * eb;
    }
  });
  return effects;
}

interface NoiseTable {
  readonly rows: Float64Array;
  readonly draws: number;
  /** Per number: mean over the draws (turned so that it belongs to B − A), variance (n − 1), draws that know it. */
  readonly mean: Float64Array;
  readonly variance: Float64Array;
  readonly known: Float64Array;
}

/** The independent sources of noise of the differences, in the order of the sources' ids. */
function noiseOf(a: DifferenceSide, b: DifferenceSide): NoiseTable[] {
  const { count } = a.doubt;
  if (a.source === b.source && a.doubt.noiseDraws === b.doubt.noiseDraws) {
    const { noise: inA } = a.doubt;
    const rows = b.doubt.noise.map((value, i) => value - inA[i]);
    return [noiseTable(rows, a.doubt.noiseDraws, count)];
  }
  const turned = a.doubt.noise.map((value) => -value);
  const tables = [
    { source: a.source, table: noiseTable(turned, a.doubt.noiseDraws, count) },
    { source: b.source, table: noiseTable(b.doubt.noise, b.doubt.noiseDraws, count) },
  ];
  return tables.sort((one, other) => (one.source < other.source ? -1 : 1)).map(({ table }) => table);
}

/** Centred rows: an unknown draw becomes 0, as good as the mean. */
function noiseTable(from: Float64Array, draws: number, count: number): NoiseTable {
  const rows = Float64Array.from(from);
  const mean = new Float64Array(count);
  const variance = new Float64Array(count);
  const known = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    let n = 0;
    let sum = 0;
    for (let d = 0; d < draws; d++) {
      const value = rows[d * count + i];
      if (Number.isNaN(value)) continue;
      n++;
      sum += value;
    }
    mean[i] = n > 0 ? sum / n : 0;
    let squares = 0;
    for (let d = 0; d < draws; d++) {
      const off = rows[d * count + i] - mean[i];
      rows[d * count + i] = Number.isNaN(off) ? 0 : off;
      if (!Number.isNaN(off)) squares += off * off;
    }
    known[i] = n;
    variance[i] = n > 1 ? squares / (n - 1) : 0;
  }
  return { rows, draws, mean, variance, known };
}

/** Adds the noise to the variances. */
function addNoise(result: Working, a: DifferenceSide, b: DifferenceSide, noise: readonly NoiseTable[]): void {
  const { count } = a.doubt;
  const own =
    noise.length > 1
      ? noise
      : [noiseTable(a.doubt.noise, a.doubt.noiseDraws, count), noiseTable(b.doubt.noise, b.doubt.noiseDraws, count)];
  for (let i = 0; i < count; i++) {
    let variance = 0;
    for (const table of noise) variance += table.variance[i];
    const apart = own[0].variance[i] + own[1].variance[i];
    result.variance[i] += variance;
    result.apart[i] += apart;
    result.varianceOf[i * GROUPS + NOISE] += variance;
    result.apartOf[i * GROUPS + NOISE] += apart;
  }
}

/** Intervals of first order: middle ± t · √(variance + error of the bias). */
function firstOrder(result: Working, noise: readonly NoiseTable[], known: Uint8Array): void {
  const { value, variance } = result;
  for (let i = 0; i < value.length; i++) {
    if (known[i] === 0 || !Number.isFinite(variance[i])) continue;
    let bias = 0;
    let biasVariance = 0;
    let overFreedom = 0;
    for (const table of noise) {
      const n = table.known[i];
      if (n < 2) continue;
      bias += table.mean[i];
      biasVariance += table.variance[i] / n;
      overFreedom += table.variance[i] ** 2 / (n - 1);
    }
    // The mean of the noise draws holds the value itself: what is beyond it is the bias.
    if (noise.length > 0 && noise[0].known[i] >= 2) bias -= value[i];
    result.freedom[i] = overFreedom > 0 ? variance[i] ** 2 / overFreedom : Number.POSITIVE_INFINITY;
    result.middle[i] = value[i] - bias;
    result.spread[i] = Math.sqrt(variance[i] + biasVariance);
    result.sd[i] = Math.sqrt(variance[i]);
    const half = criticalValue(HALF, result.freedom[i]) * result.spread[i];
    result.lower[i] = result.middle[i] - half;
    result.upper[i] = result.middle[i] + half;
  }
}

/** Differences draw by draw: in a joint draw an unknown of one key has one value in both. */
function drawnDifferences(a: DoubtOfMeans, b: DoubtOfMeans): Float64Array | null {
  if (a.drawn === null || b.drawn === null || a.draws !== b.draws) return null;
  const { drawn } = a;
  return b.drawn.map((value, i) => value - drawn[i]);
}

/** Intervals from the joint draws, over those of first order. */
function fromDraws(result: Working, drawn: Float64Array, draws: number, known: Uint8Array): void {
  const count = result.value.length;
  const column = new Float64Array(draws);
  for (let i = 0; i < count; i++) {
    let n = 0;
    let sum = 0;
    for (let d = 0; d < draws; d++) {
      const value = drawn[d * count + i];
      if (Number.isNaN(value)) continue;
      column[n++] = value;
      sum += value;
    }
    const enough = known[i] === 1 && n >= (1 - LARGEST_UNKNOWN_SHARE) * draws;
    const mean = sum / n;
    let squares = 0;
    for (let d = 0; d < n; d++) squares += (column[d] - mean) ** 2;
    const value = enough ? result.value[i] : Number.NaN;
    const sorted = column.subarray(0, n).sort();
    result.sd[i] = enough ? Math.sqrt(squares / (n - 1)) : Number.NaN;
    result.spread[i] = result.sd[i];
    result.freedom[i] = Number.POSITIVE_INFINITY;
    result.middle[i] = 2 * value - mean;
    result.lower[i] = enough ? 2 * value - quantileOfSorted(sorted, HALF) : Number.NaN;
    result.upper[i] = enough ? 2 * value - quantileOfSorted(sorted, 1 - HALF) : Number.NaN;
  }
}

/** Freedoms above this are as good as none: Student's quantile differs from the normal one by less than 0.03 %. */
const AS_GOOD_AS_NORMAL = 5000;

const quantiles = new Map<string, number>();

/** Student's quantile at the whole freedom below; each computed once. */
export function criticalValue(p: number, freedom: number): number {
  if (!(freedom < AS_GOOD_AS_NORMAL)) return normalQuantile(p);
  const whole = Math.max(1, Math.floor(freedom));
  const name = `${p} ${whole}`;
  const found = quantiles.get(name) ?? studentQuantile(p, whole);
  quantiles.set(name, found);
  return found;
}
