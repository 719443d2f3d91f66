import { hashSeed, seededRandom } from '../../../numerics/random.ts';
import { quantile } from '../../../numerics/statistics.ts';
import { normalQuantile } from '../../../numerics/student.ts';
import type { CurveTest, CurveTestPoint } from './curve-test-result.ts';
import { orthonormalColumns, partialModel, without } from './freedman-lane.ts';

/**
 * What one standard deviation of each unknown of the measurement does to an athlete's curve (paired: to the athlete's B − A), by the
 * unknown's key; one number a place of the test, on its scale. Athletes whose unknowns have one key share the unknown.
 */
export interface AthleteEffects {
  readonly athlete: string;
  readonly effects: ReadonlyMap<string, Float64Array>;
}

export interface WidenedPoint extends CurveTestPoint {
  /** Variance of the estimate by spread between athletes, and beside it by errors that athletes share. */
  readonly ownVariance: number;
  readonly sharedVariance: number;
  /** Part of the shared errors in both together, 0–1. */
  readonly sharedShare: number;
  /** Interval and band with the shared errors in. */
  readonly widenedLower: number;
  readonly widenedUpper: number;
  readonly widenedBandLower: number;
  readonly widenedBandUpper: number;
}

export interface WidenedCurveTest extends Omit<CurveTest, 'points'> {
  readonly points: readonly WidenedPoint[];
  /** Per key, what it adds to the shared variance at each place; negative where it makes athletes differ and so is in the spread twice over. */
  readonly byKey: ReadonlyMap<string, Float64Array>;
}

/**
 * Adds to a test of a mean difference, or of a slope, the doubt that all athletes share.
 *
 * An error that moves every athlete's difference alike (a detector's offset that acts unlike in two conditions, a wrong vertical of one rig)
 * is in the mean at full size and in no spread between athletes, and no rearrangement shows it. With e_k,i the effect of one standard deviation of the unknown k
 * on athlete i, the variance of a mean is what the spread s²/n says on average plus the mean covariance of two different athletes:
 *
 *   Σ_k Σ_{i≠j} e_k,i e_k,j / (n (n − 1))
 *
 * (an unknown of one athlete alone adds nothing: it is in the spread). Of two groups: that of A, that of B, less twice the mean covariance
 * between the groups, so that what both share cancels. A slope is Σ c_i y_i with Σ c_i = 0: what is alike in all athletes cancels, what goes with the
 * covariate does not. It has (Σ c_i e_k,i)², less what the residuals hold of it on average, Σ c² · e_kᵀ M e_k / freedom (M: less what constant and
 * covariates explain). Below 0, where shared errors only make athletes differ, 0 is taken.
 * Shared errors are taken as normal and of known size. Interval and band widen as half² = (own half)² + c² · shared, with c the normal
 * quantile for the interval, and for the band the quantile of the largest |shared error| by its size over the depths (drawn): 1.96 for one
 * unknown, more for many.
 *
 * p and verdict stay as they are: they say whether the numbers differ, the widened band whether the lifters do.
 */
export function withSharedDoubt(test: CurveTest, athletes: readonly AthleteEffects[]): WidenedCurveTest {
  const of = new Map(athletes.map(({ athlete, effects }) => [athlete, effects]));
  const keys = [...new Set(athletes.flatMap(({ effects }) => [...effects.keys()]))].sort();
  const sharers = test.points.map((_, p) => sharerAt(test, p));
  const at = (key: string, p: number) => sharers[p]((row) => of.get(test.athletes[row])?.get(key)?.[p] ?? 0);
  const found = keys.map((key) => test.points.map((_, p) => at(key, p)));
  const byKey = new Map(keys.map((key, k) => [key, Float64Array.from(found[k], ({ variance }) => variance)]));
  const meanEffects = found.map((own) => Float64Array.from(own, ({ effect }) => effect));
  const overAll = largestShared(meanEffects, test.points.length, test.alpha);
  const points = test.points.map((point, p) => {
    let shared = 0;
    for (const own of byKey.values()) shared += own[p];
    return widened(point, Math.max(0, shared), test.alpha, overAll);
  });
  return { ...test, points, byKey };
}

/** What an unknown does to the estimate, and the variance that it adds beyond the spread; from its effect on each athlete. */
type Sharer = (effectOn: (row: number) => number) => { readonly effect: number; readonly variance: number };

function sharerAt(test: CurveTest, p: number): Sharer {
  const known = (row: number) => test.known[row * test.points.length + p] === 1;
  if (test.design === 'covariate') return slopeSharer(test.covariates, [...test.athletes.keys()].filter(known));
  const groups = groupsOf(test).map((group) => group.filter(known));
  return (effectOn) => {
    const effects = groups.map((group) => group.map(effectOn));
    const means = effects.map((own) => sums(own).sum / own.length);
    return { effect: means.length === 2 ? means[1] - means[0] : means[0], variance: sharedBy(effects) };
  };
}

/** Least squares of the known athletes on constant, covariate and those allowed for. */
function slopeSharer(covariates: readonly Float64Array[], rows: readonly number[]): Sharer {
  const [x, ...others] = covariates.map((one) => Float64Array.from(rows, (row) => one[row]));
  const model = rows.length < 3 ? null : partialModel(x, others);
  const freedom = model ? rows.length - model.columns - 1 : 0;
  if (model === null || freedom < 1) return () => ({ effect: Number.NaN, variance: Number.NaN });
  const size = model.rest.reduce((sum, value) => sum + value * value, 0);
  const explained = [
    ...orthonormalColumns([new Float64Array(rows.length).fill(1), ...others]),
    model.rest.map((value) => value / Math.sqrt(size)),
  ];
  return (effectOn) => {
    const effects = Float64Array.from(rows, effectOn);
    const effect = effects.reduce((sum, e, r) => sum + model.rest[r] * e, 0) / size;
    const left = without(effects, explained).reduce((sum, e) => sum + e * e, 0);
    return { effect, variance: effect * effect - left / freedom / size };
  };
}

/** One group of pairs, or the two groups: A before B, as `groupCurves` lines them up. */
function groupsOf({ design, athletes, sizeOfA }: CurveTest): readonly (readonly number[])[] {
  const rows = [...athletes.keys()];
  return design === 'groups' ? [rows.slice(0, sizeOfA), rows.slice(sizeOfA)] : [rows];
}

/** Mean covariance of two different athletes within the groups, less twice that between them, from one unknown. */
function sharedBy(groups: readonly (readonly number[])[]): number {
  let shared = 0;
  for (const effects of groups) {
    const n = effects.length;
    if (n < 2) return Number.NaN;
    const { sum, squares } = sums(effects);
    shared += (sum * sum - squares) / (n * (n - 1));
  }
  if (groups.length === 2) {
    const [a, b] = groups;
    shared -= (2 * sums(a).sum * sums(b).sum) / (a.length * b.length);
  }
  return shared;
}

function sums(effects: readonly number[]): { readonly sum: number; readonly squares: number } {
  let sum = 0;
  let squares = 0;
  for (const effect of effects) {
    sum += effect;
    squares += effect * effect;
  }
  return { sum, squares };
}

/** Draws of the shared errors for the band: their 95 % quantile is then known within about 1 %. */
const DRAWS = 4000;

/** The 1 − alpha quantile of the largest |shared error| / its standard deviation over the places, errors normal. */
function largestShared(effects: readonly Float64Array[], places: number, alpha: number): number {
  const sd = Float64Array.from({ length: places }, (_, p) => Math.sqrt(effects.reduce((sum, e) => sum + e[p] ** 2, 0)));
  const random = seededRandom(hashSeed('shared doubt of curves', effects.length));
  const largest = new Float64Array(DRAWS);
  for (let d = 0; d < DRAWS; d++) {
    const z = effects.map(() => random.normal());
    for (let p = 0; p < places; p++) {
      if (!(sd[p] > 0)) continue;
      let error = 0;
      for (let k = 0; k < z.length; k++) error += z[k] * effects[k][p];
      largest[d] = Math.max(largest[d], Math.abs(error) / sd[p]);
    }
  }
  return Math.max(normalQuantile(1 - alpha / 2), quantile(largest, 1 - alpha));
}

function widened(point: CurveTestPoint, sharedVariance: number, alpha: number, overAll: number): WidenedPoint {
  const { estimate, standardError, lower, bandLower } = point;
  const ownVariance = standardError ** 2;
  const alone = normalQuantile(1 - alpha / 2);
  const half = Math.hypot(estimate - lower, alone * Math.sqrt(sharedVariance));
  const bandHalf = Math.hypot(estimate - bandLower, overAll * Math.sqrt(sharedVariance));
  return {
    ...point,
    ownVariance,
    sharedVariance,
    sharedShare: sharedVariance / (ownVariance + sharedVariance),
    widenedLower: estimate - half,
    widenedUpper: estimate + half,
    widenedBandLower: estimate - bandHalf,
    widenedBandUpper: estimate + bandHalf,
  };
}

type Effects = ReadonlyMap<string, Float64Array>;

/** Effects on B − A, key by key: a shared unknown subtracts before anything is squared. */
export function effectsOfDifference(a: Effects, b: Effects): Effects {
  const keys = [...new Set([...a.keys(), ...b.keys()])].sort();
  return new Map(
    keys.map((key) => {
      const [inA, inB] = [a.get(key), b.get(key)];
      return [key, Float64Array.from((inA ?? inB)!, (_, p) => (inB?.[p] ?? 0) - (inA?.[p] ?? 0))];
    }),
  );
}

/** Effects on the mean of several recordings of an athlete, key by key. */
export function effectsOfMean(recordings: readonly Effects[]): Effects {
  const keys = [...new Set(recordings.flatMap((effects) => [...effects.keys()]))].sort();
  return new Map(
    keys.map((key) => {
      const known = recordings.find((effects) => effects.has(key))!.get(key)!;
      return [
        key,
        Float64Array.from(
          known,
          (_, p) => recordings.reduce((sum, effects) => sum + (effects.get(key)?.[p] ?? 0), 0) / recordings.length,
        ),
      ];
    }),
  );
}
