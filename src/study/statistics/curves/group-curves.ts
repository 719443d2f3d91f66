import { athleteInBothGroups, curveTestReasons, tooFewAthletes } from '../../../messages/curve-tests.ts';
import { type AthleteCurves, onOnePlaces } from './athlete-curves.ts';
import { type CurveTestOptions, curveTest, type PlaceFits, withDefaults } from './curve-test.ts';
import type { CurveTest } from './curve-test-result.ts';
import { largestOfLabelOrders } from './label-orders.ts';
import { statisticScale } from './largest-statistic.ts';
import { distinctOrders } from './orders.ts';
import { ROUNDING } from './paired-curves.ts';
import { fewest, smallestGroups } from './reach.ts';
import { arrangementsOf } from './sign-flips.ts';

/**
 * B − A of two independent groups of athletes, over the whole curve. Where nothing differs, any division of the athletes into
 * groups of these sizes is equally likely; whole curves change group. Largest |t| over the depths as in `pairedCurves`.
 *
 * t with the pooled variance, n − 2 degrees of freedom. Groups of unequal size and unequal spread are not exchangeable: then the
 * level is not kept (docs/method/curves-test.md).
 */
export function groupCurves(a: AthleteCurves, b: AthleteCurves, options: CurveTestOptions = {}): CurveTest {
  const { alpha, exactUpTo, draws, seed, band, leastAthletes } = withDefaults(options);
  const [inA, inB] = onOnePlaces(a, b);
  const both = inA.athletes.find((athlete) => inB.athletes.includes(athlete));
  if (both !== undefined) throw athleteInBothGroups(both);
  const { places } = inA;
  const [sizeA, sizeB] = [inA.athletes.length, inB.athletes.length];
  if (Math.min(sizeA, sizeB) < 2) throw tooFewAthletes('groups', Math.min(sizeA, sizeB), 2);
  const needed = fewest((n) => smallestGroups(n, n), alpha);
  const least: readonly [number, number] = [
    Math.max(2, leastAthletes ?? Math.min(needed, sizeA)),
    Math.max(2, leastAthletes ?? Math.min(needed, sizeB)),
  ];
  const values = new Float64Array([...inA.values, ...inB.values]);
  const label = Int32Array.from({ length: sizeA + sizeB }, (_, i) => (i < sizeA ? 0 : 1));
  const { fits, centred, residuals, known, squares, within } = groupFits(values, label, places.length, least);
  const scale = statisticScale(fits.freedom.map((nu, p) => (fits.tested[p] ? nu : 0)));
  const arrangements = arrangementsOf(distinctOrders(label), exactUpTo, draws, seed);
  const levels = Float64Array.of(0, 1);
  const largest = (rows: Float64Array, of: Float64Array) =>
    largestOfLabelOrders(rows, known, of, label, levels, scale, arrangements);
  return curveTest(
    {
      design: 'groups',
      scale: a.scale,
      alpha,
      name: a,
      places,
      athletes: [...inA.athletes, ...inB.athletes],
      sizeOfA: sizeA,
      covariates: [],
      known: Uint8Array.from(known),
      leftOut: [],
      leastAthletes: Math.max(...least),
      athletesNeeded: needed,
      smallestP: smallestGroups(sizeA, sizeB),
    },
    fits,
    { arrangements, underNull: largest(centred, squares), ofResiduals: band ? largest(residuals, within) : null },
    scale.weight,
  );
}

/** Observed fits, and the rows to rearrange: curves less the mean of all, and less the mean of their own group. */
function groupFits(values: Float64Array, label: Int32Array, count: number, least: readonly [number, number]) {
  const nan = () => new Float64Array(count).fill(Number.NaN);
  const reason = new Array<string>(count).fill('');
  const nOfGroups: readonly [Int32Array, Int32Array] = [new Int32Array(count), new Int32Array(count)];
  const fits = {
    n: new Int32Array(count),
    nOfGroups,
    estimate: nan(),
    standardError: nan(),
    freedom: new Float64Array(count),
    r2: new Float64Array(count),
    tested: new Uint8Array(count),
    reason,
    smallestP: nan(),
  } satisfies PlaceFits;
  const known = values.map((value) => (Number.isNaN(value) ? 0 : 1));
  const centred = new Float64Array(values.length);
  const residuals = new Float64Array(values.length);
  const squares = new Float64Array(count);
  const within = new Float64Array(count);
  for (let p = 0; p < count; p++) {
    const sum = [0, 0];
    let size = 0;
    for (let i = 0; i < label.length; i++) {
      const value = values[i * count + p];
      if (Number.isNaN(value)) continue;
      nOfGroups[label[i]][p]++;
      sum[label[i]] += value;
      size += value * value;
    }
    const [nA, nB] = [nOfGroups[0][p], nOfGroups[1][p]];
    const n = nA + nB;
    const means = [sum[0] / nA, sum[1] / nB];
    const mean = (sum[0] + sum[1]) / n;
    let [all, inside] = [0, 0];
    for (let i = 0; i < label.length; i++) {
      const at = i * count + p;
      if (known[at] === 0) continue;
      centred[at] = values[at] - mean;
      residuals[at] = values[at] - means[label[i]];
      all += centred[at] ** 2;
      inside += residuals[at] ** 2;
    }
    fits.n[p] = n;
    fits.estimate[p] = means[1] - means[0];
    fits.smallestP[p] = nA > 0 && nB > 0 ? smallestGroups(nA, nB) : Number.NaN;
    if (nA > 0 && nB > 0 && n > 2) {
      fits.freedom[p] = n - 2;
      fits.standardError[p] = Math.sqrt((inside / (n - 2)) * (1 / nA + 1 / nB));
    }
    const short = nA < least[0] ? [nA, least[0]] : nB < least[1] ? [nB, least[1]] : null;
    if (short) reason[p] = curveTestReasons.fewInGroup(short[0], short[1]);
    else if (!(all > ROUNDING ** 2 * size)) reason[p] = curveTestReasons.nothingDiffers();
    else {
      fits.tested[p] = 1;
      fits.r2[p] = Math.min(1, 1 - inside / all);
      squares[p] = all;
      within[p] = inside > ROUNDING ** 2 * size ? inside : 0;
    }
  }
  return { fits, centred, residuals, known, squares, within };
}
