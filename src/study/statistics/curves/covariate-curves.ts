import {
  covariateConstant,
  covariateExplained,
  curveTestReasons,
  tooFewAthletes,
} from '../../../messages/curve-tests.ts';
import type { AthleteCurves } from './athlete-curves.ts';
import { type CurveTestOptions, curveTest, type PlaceFits, withDefaults } from './curve-test.ts';
import type { CurveTest } from './curve-test-result.ts';
import { largestOfResidualOrders, type PartialModel, partialModel, without } from './freedman-lane.ts';
import { largestOfLabelOrders } from './label-orders.ts';
import { statisticScale } from './largest-statistic.ts';
import { distinctOrders } from './orders.ts';
import { ROUNDING } from './paired-curves.ts';
import { fewest, smallestCovariate } from './reach.ts';
import { arrangementsOf } from './sign-flips.ts';

/** A number an athlete, by id: stature, limb ratio, load, years of training. */
export interface Covariate {
  readonly name: string;
  readonly of: ReadonlyMap<string, number>;
}

/**
 * How the curve goes with a covariate, other covariates allowed for: slope at each depth, largest |t| over the depths. Where the
 * covariate has nothing to do with the curve, its values may be dealt out to the athletes in any order; with others in the
 * model, residuals are exchanged (Freedman & Lane 1983, J. Bus. Econ. Stat. 1:292).
 *
 * t of the slope, n − 2 − others degrees of freedom. Beside other covariates only depths that every athlete reaches are tested.
 */
export function covariateCurves(
  curves: AthleteCurves,
  covariate: Covariate,
  others: readonly Covariate[] = [],
  options: CurveTestOptions = {},
): CurveTest {
  const { alpha, exactUpTo, draws, seed, band, leastAthletes } = withDefaults(options);
  const { places } = curves;
  const all = [covariate, ...others];
  const rows = curves.athletes.map((_, i) => i).filter((i) => all.every(({ of }) => knows(of, curves.athletes[i])));
  const athletes = rows.map((i) => curves.athletes[i]);
  const atLeast = 3 + others.length;
  if (athletes.length < atLeast) throw tooFewAthletes('covariate', athletes.length, atLeast);
  const x = Float64Array.from(athletes, (athlete) => covariate.of.get(athlete)!);
  if (x.every((value) => value === x[0])) throw covariateConstant(covariate.name, x[0], athletes.length);
  const beside = others.map(({ of }) => Float64Array.from(athletes, (athlete) => of.get(athlete)!));
  const model = partialModel(x, beside);
  if (model === null)
    throw covariateExplained(
      covariate.name,
      others.map(({ name }) => name),
    );
  const needed = Math.max(
    atLeast,
    fewest((n) => 1 / factorial(n), alpha),
  );
  const least = Math.max(
    atLeast,
    others.length > 0 ? athletes.length : (leastAthletes ?? Math.min(needed, athletes.length)),
  );
  const values = new Float64Array(rows.length * places.length);
  rows.forEach((i, row) => {
    values.set(curves.values.subarray(i * places.length, (i + 1) * places.length), row * places.length);
  });
  const found =
    others.length > 0 ? partialFits(values, x, model, places.length) : plainFits(values, x, places.length, least);
  const { fits, reduced, full, squares, left, known } = found;
  const scale = statisticScale(fits.freedom.map((nu, p) => (fits.tested[p] ? nu : 0)));
  const label = labelsOf(x);
  const orders = others.length > 0 ? factorial(athletes.length) : distinctOrders(label);
  const arrangements = arrangementsOf(orders, exactUpTo, draws, seed);
  const levels = levelsOf(x);
  const largest = (curve: Float64Array, of: Float64Array) =>
    others.length > 0
      ? largestOfResidualOrders(curve, of, model, scale, arrangements)
      : largestOfLabelOrders(curve, known, of, label, levels, scale, arrangements);
  return curveTest(
    {
      design: 'covariate',
      scale: curves.scale,
      alpha,
      name: curves,
      places,
      athletes,
      sizeOfA: 0,
      covariates: [x, ...beside],
      known: Uint8Array.from(known),
      leftOut: curves.athletes
        .filter((athlete) => !athletes.includes(athlete))
        .map((athlete) => ({
          athlete,
          reason: curveTestReasons.covariateUnknown(all.find(({ of }) => !knows(of, athlete))!.name),
        })),
      leastAthletes: least,
      athletesNeeded: needed,
      smallestP: others.length > 0 ? 1 / orders : smallestCovariate(x, orders),
    },
    fits,
    { arrangements, underNull: largest(reduced, squares), ofResiduals: band ? largest(full, left) : null },
    scale.weight,
  );
}

const knows = (of: ReadonlyMap<string, number>, athlete: string): boolean => Number.isFinite(of.get(athlete));

function factorial(n: number): number {
  let product = 1;
  for (let k = 2; k <= n; k++) product *= k;
  return product;
}

/** Which of the different values, in ascending order, each athlete has. */
function labelsOf(x: Float64Array): Int32Array {
  const different = [...new Set(x)].sort((one, other) => one - other);
  return Int32Array.from(x, (value) => different.indexOf(value));
}

/** The different values, centred and of size about 1, so that a large constant costs no digits. */
function levelsOf(x: Float64Array): Float64Array {
  const different = [...new Set(x)].sort((one, other) => one - other);
  const mean = x.reduce((sum, value) => sum + value, 0) / x.length;
  const reach = different[different.length - 1] - different[0];
  return Float64Array.from(different, (value) => (value - mean) / reach);
}

interface Found {
  readonly fits: PlaceFits;
  /** Rows to rearrange: residuals without the covariate, and with it; their Σ of squares, 0 where not tested. */
  readonly reduced: Float64Array;
  readonly full: Float64Array;
  readonly squares: Float64Array;
  readonly left: Float64Array;
  readonly known: Float64Array;
}

function emptyFound(values: Float64Array, count: number) {
  const nan = () => new Float64Array(count).fill(Number.NaN);
  return {
    fits: {
      n: new Int32Array(count),
      nOfGroups: null,
      estimate: nan(),
      standardError: nan(),
      freedom: new Float64Array(count),
      r2: new Float64Array(count),
      tested: new Uint8Array(count),
      reason: new Array<string>(count).fill(''),
      smallestP: nan(),
    },
    reduced: new Float64Array(values.length),
    full: new Float64Array(values.length),
    squares: new Float64Array(count),
    left: new Float64Array(count),
    known: values.map((value) => (Number.isNaN(value) ? 0 : 1)),
  };
}

/** Constant and covariate alone, over the athletes known at each place. */
function plainFits(values: Float64Array, x: Float64Array, count: number, least: number): Found {
  const found = emptyFound(values, count);
  for (let p = 0; p < count; p++) {
    const rows = [...x.keys()].filter((i) => found.known[i * count + p] === 1);
    found.fits.n[p] = rows.length;
    const own = Float64Array.from(rows, (i) => x[i]);
    const model = rows.length >= 3 ? partialModel(own, []) : null;
    if (model === null) found.fits.reason[p] = curveTestReasons.fewAthletes(rows.length, Math.max(3, least));
    else {
      found.fits.smallestP[p] = smallestCovariate(own, distinctOrders(own));
      fitAt(found, values, p, count, rows, model, rows.length < least ? least : null);
    }
  }
  return found;
}

/** Beside other covariates, where every athlete is known. */
function partialFits(values: Float64Array, x: Float64Array, model: PartialModel, count: number): Found {
  const found = emptyFound(values, count);
  for (let p = 0; p < count; p++) {
    const rows = [...x.keys()].filter((i) => found.known[i * count + p] === 1);
    found.fits.n[p] = rows.length;
    if (rows.length < x.length) found.fits.reason[p] = curveTestReasons.notEveryAthlete(rows.length, x.length);
    else {
      found.fits.smallestP[p] = 1 / factorial(rows.length);
      fitAt(found, values, p, count, rows, model, null);
    }
  }
  return found;
}

/** Least squares at one place; fills its column of every array. */
function fitAt(
  { fits, reduced, full, squares, left }: ReturnType<typeof emptyFound>,
  values: Float64Array,
  p: number,
  count: number,
  rows: readonly number[],
  { basis, columns, rest }: PartialModel,
  missing: number | null,
): void {
  const y = Float64Array.from(rows, (i) => values[i * count + p]);
  const spanned = Array.from({ length: columns }, (_, k) =>
    Float64Array.from(rows, (_row, r) => basis[r * columns + k]),
  );
  const e = without(y, spanned);
  let [xx, xy, ee, size] = [0, 0, 0, 0];
  for (let r = 0; r < e.length; r++) {
    xx += rest[r] * rest[r];
    xy += rest[r] * e[r];
    ee += e[r] * e[r];
    size += y[r] * y[r];
  }
  const slope = xy / xx;
  let over = 0;
  for (let r = 0; r < e.length; r++) over += (e[r] - slope * rest[r]) ** 2;
  const freedom = rows.length - columns - 1;
  fits.estimate[p] = slope;
  if (freedom > 0) {
    fits.freedom[p] = freedom;
    fits.standardError[p] = Math.sqrt(over / freedom / xx);
  }
  if (missing !== null || freedom < 1)
    fits.reason[p] = curveTestReasons.fewAthletes(rows.length, missing ?? columns + 2);
  else if (!(ee > ROUNDING ** 2 * size)) fits.reason[p] = curveTestReasons.nothingDiffers();
  else {
    fits.tested[p] = 1;
    fits.r2[p] = Math.min(1, 1 - over / ee);
    squares[p] = ee;
    left[p] = over > ROUNDING ** 2 * size ? over : 0;
    rows.forEach((i, r) => {
      reduced[i * count + p] = e[r];
      full[i * count + p] = e[r] - slope * rest[r];
    });
  }
}
