import { curveTestReasons, tooFewArrangements } from '../../../messages/curve-tests.ts';
import { studentQuantile } from '../../../numerics/student.ts';
import type { CurveName, CurvePlace } from './athlete-curves.ts';
import type { CurveTest, CurveTestPoint } from './curve-test-result.ts';
import { NO_SPREAD, tOfZ, zOf } from './largest-statistic.ts';
import { rangesOf } from './ranges.ts';
import { type Arrangements, EXACT_UP_TO, RANDOM_DRAWS } from './sign-flips.ts';

export interface CurveTestOptions {
  /** Family-wise level: chance that any depth at all is called different where nothing differs. */
  readonly alpha?: number;
  /**
   * A depth is tested only where at least this many athletes are known (in each group). Left out: as many as a depth needs to be
   * significant by itself, or all where there are fewer.
   */
  readonly leastAthletes?: number;
  /** All rearrangements are gone through up to this number, and `draws` random ones beyond. */
  readonly exactUpTo?: number;
  readonly draws?: number;
  readonly seed?: number;
  /** false leaves out the simultaneous band, which takes half of the time. */
  readonly band?: boolean;
}

export const DEFAULT_OPTIONS = { alpha: 0.05, exactUpTo: EXACT_UP_TO, draws: RANDOM_DRAWS, seed: 0, band: true };

/** Per place, what a design makes of the observed curves. Arrays over places. */
export interface PlaceFits {
  readonly n: Int32Array;
  readonly nOfGroups: readonly [Int32Array, Int32Array] | null;
  readonly estimate: Float64Array;
  readonly standardError: Float64Array;
  /** 0 where there are too few athletes for a standard error. */
  readonly freedom: Float64Array;
  readonly r2: Float64Array;
  /** 1 where the place is tested; else `reason` says why not. */
  readonly tested: Uint8Array;
  readonly reason: readonly string[];
  readonly smallestP: Float64Array;
}

/** How far a rounding may let two equal statistics differ (relative): the observed arrangement must not miss itself. */
const SAME = 1e-9;

/** Position, from the largest, of the critical value among `count` largest statistics: a statistic beyond it has p ≤ alpha. */
const placeOfCritical = (alpha: number, count: number): number => Math.floor(alpha * count + 1e-9);

/** Options with defaults; refuses what can give no result. */
export function withDefaults(options: CurveTestOptions) {
  const chosen = { ...DEFAULT_OPTIONS, ...options };
  if (!(chosen.alpha > 0 && chosen.alpha < 1)) throw new RangeError(`alpha ${chosen.alpha} is not between 0 and 1`);
  if (placeOfCritical(chosen.alpha, chosen.draws + 1) < 1) throw tooFewArrangements(chosen.draws, chosen.alpha);
  return chosen;
}

export interface Rearranged {
  readonly arrangements: Arrangements;
  /** Largest z over the tested places in each rearrangement of the data under 'nothing differs'. */
  readonly underNull: Float64Array;
  /** The same of what the fit leaves over: the rearrangement for the band; null: no band is wanted. */
  readonly ofResiduals: Float64Array | null;
}

interface Frame
  extends Pick<
    CurveTest,
    | 'design'
    | 'scale'
    | 'alpha'
    | 'athletes'
    | 'sizeOfA'
    | 'covariates'
    | 'known'
    | 'leftOut'
    | 'leastAthletes'
    | 'athletesNeeded'
  > {
  readonly name: CurveName;
  readonly places: readonly CurvePlace[];
  readonly smallestP: number;
}

/** Joins observed fits with rearranged ones: adjusted p, critical value, band and ranges. */
export function curveTest(frame: Frame, fits: PlaceFits, rearranged: Rearranged, weight: Float64Array): CurveTest {
  const { alpha, athletes, places, name, ...rest } = frame;
  const { arrangements } = rearranged;
  const underNull = rearranged.underNull.sort();
  const count = underNull.length;
  const smallestP = arrangements.exact ? frame.smallestP : Math.max(frame.smallestP, 1 / count);
  // The band takes the wider of two critical values. A large effect makes all depths of the rearranged data rise and fall
  // together, which makes them look like one depth: residuals do not. And what the band leaves 0 out of, p must call different.
  const { ofResiduals } = rearranged;
  const critical = Math.max(
    criticalOf(underNull, alpha),
    ofResiduals ? criticalOf(ofResiduals.sort(), alpha) : Number.POSITIVE_INFINITY,
  );
  const points = places.map((place, i): CurveTestPoint => {
    const { estimate, standardError, freedom } = fits;
    const tested = fits.tested[i] === 1;
    const spread = standardError[i] > 0 && fits.r2[i] < 1 - NO_SPREAD;
    const z = zOf(fits.r2[i], weight[i]);
    const adjustedP = tested ? shareAtLeast(underNull, z) : Number.NaN;
    const alone = spread ? studentQuantile(1 - alpha / 2, freedom[i]) * standardError[i] : Number.NaN;
    const criticalT = tested ? tOfZ(critical, freedom[i]) : Number.NaN;
    const band = spread && Number.isFinite(criticalT) ? criticalT * standardError[i] : Number.NaN;
    return {
      ...place,
      n: fits.n[i],
      missing: athletes.length - fits.n[i],
      nOfGroups: fits.nOfGroups && [fits.nOfGroups[0][i], fits.nOfGroups[1][i]],
      estimate: estimate[i],
      standardError: standardError[i],
      freedom: freedom[i] > 0 ? freedom[i] : Number.NaN,
      t: spread ? estimate[i] / standardError[i] : Number.NaN,
      adjustedP,
      smallestP: fits.smallestP[i],
      lower: estimate[i] - alone,
      upper: estimate[i] + alone,
      criticalT: Number.isFinite(criticalT) ? criticalT : Number.NaN,
      bandLower: estimate[i] - band,
      bandUpper: estimate[i] + band,
      verdict: !tested ? 'not tested' : adjustedP <= alpha ? 'different' : 'cannot tell',
      reason: reasonOf(fits, i, spread, alpha),
    };
  });
  return {
    ...rest,
    quantity: name.quantity,
    side: name.side,
    grid: name.grid,
    alpha,
    athletes,
    points,
    ranges: rangesOf(points),
    arrangements,
    attainableLevel: placeOfCritical(alpha, count) / count,
    smallestP,
    canBeSignificant: smallestP <= alpha * (1 + SAME),
    p: smallestOf(points),
  };
}

function smallestOf(points: readonly CurveTestPoint[]): number {
  const tested = points.filter(({ verdict }) => verdict !== 'not tested').map(({ adjustedP }) => adjustedP);
  return tested.length === 0 ? Number.NaN : Math.min(...tested);
}

function reasonOf(fits: PlaceFits, i: number, spread: boolean, alpha: number): string {
  if (fits.reason[i] !== '') return fits.reason[i];
  if (!spread) return curveTestReasons.noSpread();
  return fits.smallestP[i] > alpha * (1 + SAME) ? curveTestReasons.cannotAtDepth(fits.smallestP[i]) : '';
}

/** Share of ascending values that are at least z: the observed arrangement is one of them, so p is never 0 (Phipson & Smyth 2010). */
export function shareAtLeast(ascending: Float64Array, z: number): number {
  const from = z * (1 - SAME);
  let low = 0;
  let high = ascending.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (ascending[middle] >= from) high = middle;
    else low = middle + 1;
  }
  return (ascending.length - low) / ascending.length;
}

/** The value that a statistic must pass for p ≤ alpha; Infinity where none can. */
export function criticalOf(ascending: Float64Array, alpha: number): number {
  const k = placeOfCritical(alpha, ascending.length);
  return k < 1 ? Number.POSITIVE_INFINITY : ascending[ascending.length - 1 - k];
}
