import { curveTestReasons, tooFewAthletes } from '../../../messages/curve-tests.ts';
import { type AthleteCurves, onOnePlaces } from './athlete-curves.ts';
import { type CurveTestOptions, curveTest, type PlaceFits, withDefaults } from './curve-test.ts';
import type { CurveTest } from './curve-test-result.ts';
import { statisticScale } from './largest-statistic.ts';
import { fewest, smallestPaired } from './reach.ts';
import { arrangementsOf, largestOfFlips } from './sign-flips.ts';

/** A difference below this share of the size of what is subtracted is rounding. */
export const ROUNDING = 1e-12;

/**
 * B − A within athletes, over the whole curve. Where nothing differs, A and B may be exchanged within any athlete, which turns the sign of
 * the athlete's whole difference curve: every pattern of signs is then equally likely (Fisher 1935, The Design of Experiments,
 * § 21). Largest |t| over the depths: Westfall & Young 1993; Nichols & Holmes 2002, Hum. Brain Mapp. 15:1.
 *
 * t = mean / (s / √n) over the athletes known at the depth, n − 1 degrees of freedom.
 */
export function pairedCurves(a: AthleteCurves, b: AthleteCurves, options: CurveTestOptions = {}): CurveTest {
  const { alpha, exactUpTo, draws, seed, band, leastAthletes } = withDefaults(options);
  const [inA, inB] = onOnePlaces(a, b);
  const { places } = inA;
  const { athletes, difference, floor } = differencesOf(inA, inB);
  if (athletes.length < 2) throw tooFewAthletes('paired', athletes.length, 2);
  const needed = fewest(smallestPaired, alpha);
  const least = Math.max(2, leastAthletes ?? Math.min(needed, athletes.length));
  const x = difference.map((value) => (Number.isNaN(value) ? 0 : value));
  const fits = pairedFits(difference, athletes.length, places.length, least, floor);
  const scale = statisticScale(fits.freedom.map((nu, p) => (fits.tested[p] ? nu : 0)));
  const arrangements = arrangementsOf(2 ** athletes.length, exactUpTo, draws, seed);
  const largest = (rows: Float64Array) =>
    largestOfFlips(rows, athletes.length, inverseOf(rows, fits, athletes.length), scale, arrangements);
  const residuals = x.map((value, at) =>
    Number.isNaN(difference[at]) ? 0 : value - fits.estimate[at % places.length],
  );
  return curveTest(
    {
      design: 'paired',
      scale: a.scale,
      alpha,
      name: a,
      places,
      athletes,
      sizeOfA: 0,
      covariates: [],
      known: Uint8Array.from(difference, (value) => (Number.isNaN(value) ? 0 : 1)),
      leftOut: [
        ...leftOut(inA.athletes, inB.athletes, 'A'),
        ...leftOut(inB.athletes, inA.athletes, 'B'),
        ...noSharedPlace(inA, inB, athletes),
      ],
      leastAthletes: least,
      athletesNeeded: needed,
      smallestP: smallestPaired(athletes.length),
    },
    fits,
    { arrangements, underNull: largest(x), ofResiduals: band ? largest(residuals) : null },
    scale.weight,
  );
}

/** Athletes who have both curves somewhere, and B − A, `athlete * places + place`; floor: below it a Σ of squares is rounding. */
function differencesOf(a: AthleteCurves, b: AthleteCurves) {
  const count = a.places.length;
  const athletes: string[] = [];
  const rows: Float64Array[] = [];
  const floor = new Float64Array(count);
  a.athletes.forEach((athlete, i) => {
    const j = b.athletes.indexOf(athlete);
    if (j < 0) return;
    const row = Float64Array.from({ length: count }, (_, p) => b.values[j * count + p] - a.values[i * count + p]);
    if (row.every(Number.isNaN)) return;
    athletes.push(athlete);
    rows.push(row);
    for (let p = 0; p < count; p++) {
      if (Number.isNaN(row[p])) continue;
      floor[p] += ROUNDING ** 2 * (a.values[i * count + p] ** 2 + b.values[j * count + p] ** 2);
    }
  });
  const difference = new Float64Array(athletes.length * count);
  rows.forEach((row, i) => {
    difference.set(row, i * count);
  });
  return { athletes, difference, floor };
}

const leftOut = (own: readonly string[], other: readonly string[], side: 'A' | 'B') =>
  own
    .filter((athlete) => !other.includes(athlete))
    .map((athlete) => ({ athlete, reason: curveTestReasons.onlyIn(side) }));

const noSharedPlace = (a: AthleteCurves, b: AthleteCurves, taking: readonly string[]) =>
  a.athletes
    .filter((athlete) => b.athletes.includes(athlete) && !taking.includes(athlete))
    .map((athlete) => ({ athlete, reason: curveTestReasons.noSharedDepth() }));

function pairedFits(
  difference: Float64Array,
  athletes: number,
  count: number,
  least: number,
  floor: Float64Array,
): PlaceFits {
  const empty = () => new Float64Array(count).fill(Number.NaN);
  const reason = new Array<string>(count).fill('');
  const fits = {
    n: new Int32Array(count),
    nOfGroups: null,
    estimate: empty(),
    standardError: empty(),
    freedom: new Float64Array(count),
    r2: new Float64Array(count),
    tested: new Uint8Array(count),
    reason,
    smallestP: empty(),
  };
  for (let p = 0; p < count; p++) {
    let n = 0;
    let sum = 0;
    let squares = 0;
    for (let i = 0; i < athletes; i++) {
      const value = difference[i * count + p];
      if (Number.isNaN(value)) continue;
      n++;
      sum += value;
      squares += value * value;
    }
    const mean = sum / n;
    let spread = 0;
    for (let i = 0; i < athletes; i++) {
      const value = difference[i * count + p];
      if (!Number.isNaN(value)) spread += (value - mean) ** 2;
    }
    fits.n[p] = n;
    fits.estimate[p] = mean;
    fits.smallestP[p] = n > 0 ? smallestPaired(n) : Number.NaN;
    if (n >= 2) {
      fits.freedom[p] = n - 1;
      fits.standardError[p] = Math.sqrt(spread / (n - 1) / n);
    }
    if (n < least) reason[p] = curveTestReasons.fewAthletes(n, least);
    else if (!(squares > floor[p])) reason[p] = curveTestReasons.nothingDiffers();
    else {
      fits.tested[p] = 1;
      fits.r2[p] = (sum * sum) / (n * squares);
    }
  }
  return fits;
}

/** 1 / (n Σx²) per tested place. */
function inverseOf(x: Float64Array, { n, tested }: PlaceFits, athletes: number): Float64Array {
  const count = n.length;
  return Float64Array.from(n, (own, p) => {
    let squares = 0;
    for (let i = 0; i < athletes; i++) squares += x[i * count + p] ** 2;
    return tested[p] && squares > 0 ? 1 / (own * squares) : 0;
  });
}
