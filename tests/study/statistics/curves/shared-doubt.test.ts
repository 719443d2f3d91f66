import { describe, expect, test } from '@jest/globals';
import { inverse, Matrix } from 'ml-matrix';
import { seededRandom } from '../../../../src/numerics/random.ts';
import { covariateCurves } from '../../../../src/study/statistics/curves/covariate-curves.ts';
import { groupCurves } from '../../../../src/study/statistics/curves/group-curves.ts';
import { pairedCurves } from '../../../../src/study/statistics/curves/paired-curves.ts';
import {
  effectsOfDifference,
  effectsOfMean,
  withSharedDoubt,
} from '../../../../src/study/statistics/curves/shared-doubt.ts';
import { expectClose } from '../../../expect-close.ts';
import { curvesOf, onePlace } from './made-curves.ts';

/** Slope on the first covariate, with the others and a constant, and its variance by the residuals: normal equations. */
function leastSquares(y: readonly number[], covariates: readonly (readonly number[])[]) {
  const X = new Matrix(y.map((_, i) => [...covariates.map((one) => one[i]), 1]));
  const inner = inverse(X.transpose().mmul(X));
  const Y = Matrix.columnVector([...y]);
  const b = inner.mmul(X.transpose()).mmul(Y);
  const left = Matrix.sub(Y, X.mmul(b)).to1DArray();
  const s2 = left.reduce((sum, e) => sum + e * e, 0) / (y.length - X.columns);
  return { slope: b.get(0, 0), variance: s2 * inner.get(0, 0) };
}

const values = [0.3, 0.5, 0.1, 0.4, 0.7, 0.2, 0.6, 0.45];
const test8 = pairedCurves(onePlace(values.map(() => 0)), onePlace(values));
const effects = (of: (i: number) => Record<string, number>) =>
  test8.athletes.map((athlete, i) => ({
    athlete,
    effects: new Map(Object.entries(of(i)).map(([key, e]) => [key, Float64Array.of(e)])),
  }));

describe('errors that all athletes share', () => {
  test('alike in all: full size; interval and band widen as roots of sums of squares; p stays', () => {
    const [point] = withSharedDoubt(
      test8,
      effects(() => ({ rig: 0.1 })),
    ).points;
    expectClose(point.sharedVariance, 0.01, 1e-15, 'variance');
    expectClose(point.sharedShare, 0.01 / (0.01 + point.standardError ** 2), 1e-12, 'share');
    const half = point.estimate - point.lower;
    expectClose(point.widenedUpper - point.estimate, Math.hypot(half, 1.959963984540054 * 0.1), 1e-12, 'interval');
    // One unknown: the largest |error| over any depths is its own, 1.96; drawn, within 4 standard deviations of that quantile.
    const drawn =
      Math.sqrt((point.widenedBandUpper - point.estimate) ** 2 - (point.bandUpper - point.estimate) ** 2) / 0.1;
    expectClose(drawn, 1.96, 4 * 0.029, 'band');
    expect(point.adjustedP).toBe(test8.points[0].adjustedP);
  });

  test('of one athlete alone: in the spread already; opposite in halves: never below 0', () => {
    const own = withSharedDoubt(
      test8,
      effects((i) => ({ [`segments of ${i}`]: 0.1 })),
    );
    expectClose(own.points[0].sharedVariance, 0, 1e-18, 'own');
    expect(own.points[0].widenedLower).toBe(own.points[0].lower);
    const opposite = withSharedDoubt(
      test8,
      effects((i) => ({ lens: i % 2 === 0 ? 0.1 : -0.1 })),
    );
    expect(opposite.points[0].sharedVariance).toBe(0);
    expect(opposite.byKey.get('lens')![0]).toBeLessThan(0);
  });

  test('variance of a mean = what its spread says on average + the shared part (20,000 draws)', () => {
    const of = (i: number) => ({ detector: 0.1 + 0.03 * i, rig: i < 5 ? 0.2 : 0, own: 0 });
    const { points } = withSharedDoubt(test8, effects(of));
    const random = seededRandom(11);
    let [meanSquare, fromSpread] = [0, 0];
    const draws = 20_000;
    for (let d = 0; d < draws; d++) {
      const [detector, rig] = [random.normal(), random.normal()];
      const errors = values.map((_, i) => of(i).detector * detector + of(i).rig * rig + 0.1 * random.normal());
      const mean = errors.reduce((sum, e) => sum + e, 0) / 8;
      meanSquare += mean ** 2 / draws;
      fromSpread += errors.reduce((sum, e) => sum + (e - mean) ** 2, 0) / 7 / 8 / draws;
    }
    // A mean square of 20,000 normal numbers is known within 1 % (standard deviation): four of them.
    expectClose(fromSpread + points[0].sharedVariance, meanSquare, 0.04 * meanSquare, 'variance of the mean');
  });

  test('between two groups what both share cancels, and what one shares does not', () => {
    const groups = groupCurves(onePlace(values.slice(0, 4), 'A'), onePlace(values.slice(4), 'B'));
    const of = (e: (i: number) => number) =>
      groups.athletes.map((athlete, i) => ({ athlete, effects: new Map([['rig', Float64Array.of(e(i))]]) }));
    expectClose(
      withSharedDoubt(
        groups,
        of(() => 0.1),
      ).points[0].sharedVariance,
      0,
      1e-17,
      'both',
    );
    expectClose(
      withSharedDoubt(
        groups,
        of((i) => (i < 4 ? 0.1 : 0)),
      ).points[0].sharedVariance,
      0.01,
      1e-16,
      'one',
    );
  });

  const covariate = (name: string, of: (i: number) => number) => ({
    name,
    of: new Map(test8.athletes.map((athlete, i) => [athlete, of(i)])),
  });
  const femur = covariate('femur per trunk', (i) => 0.8 + 0.02 * ((3 * i) % 8));
  const stature = covariate('stature', (i) => 1.6 + 0.01 * ((5 * i + 2) % 7));

  test('of a slope: alike in all cancels, in step with the covariate is full size', () => {
    const slope = covariateCurves(onePlace(values), femur);
    const alike = withSharedDoubt(
      slope,
      effects(() => ({ rig: 0.1 })),
    );
    expectClose(alike.points[0].sharedVariance, 0, 1e-25, 'alike');
    const inStep = withSharedDoubt(
      slope,
      effects((i) => ({ scale: 0.3 * femur.of.get(test8.athletes[i])! })),
    );
    expectClose(inStep.points[0].sharedVariance, 0.09, 1e-14, 'in step');
    expect(inStep.points[0].adjustedP).toBe(slope.points[0].adjustedP);
  });

  test('variance of a slope = what its residuals say on average + the shared part, others allowed for (20,000 draws)', () => {
    const of = (i: number) => ({ detector: 0.1 + 0.03 * i, rig: i < 5 ? 0.2 : 0 });
    const random = seededRandom(12);
    for (const others of [[], [stature]]) {
      const { byKey } = withSharedDoubt(covariateCurves(onePlace(values), femur, others), effects(of));
      // Before it is cut off at 0: beside stature these errors mostly make athletes differ.
      const shared = [...byKey.values()].reduce((sum, [own]) => sum + own, 0);
      let [square, fromResiduals] = [0, 0];
      const draws = 20_000;
      for (let d = 0; d < draws; d++) {
        const [detector, rig] = [random.normal(), random.normal()];
        const errors = values.map((_, i) => of(i).detector * detector + of(i).rig * rig + 0.1 * random.normal());
        const { slope, variance } = leastSquares(
          errors,
          [femur, ...others].map((one) => [...one.of.values()]),
        );
        square += slope ** 2 / draws;
        fromResiduals += variance / draws;
      }
      // A mean square of 20,000 normal numbers is known within 1 % (standard deviation): four of them.
      expectClose(fromResiduals + shared, square, 0.04 * square, `${others.length} others`);
    }
  });

  test('a slope on 0 and 1 is the difference of two groups of equal size', () => {
    const of = (i: number) => ({ detector: 0.1 + 0.03 * ((3 * i) % 8), rig: i % 3 === 0 ? 0.2 : 0 });
    const groups = groupCurves(onePlace(values.slice(0, 4), 'A'), onePlace(values.slice(4), 'B'));
    const ofGroups = groups.athletes.map((athlete, i) => ({ ...effects(of)[i], athlete }));
    const slope = covariateCurves(
      onePlace(values),
      covariate('group', (i) => (i < 4 ? 0 : 1)),
    );
    expectClose(
      withSharedDoubt(slope, effects(of)).points[0].sharedVariance,
      withSharedDoubt(groups, ofGroups).points[0].sharedVariance,
      1e-15,
      'variance',
    );
  });

  test('only athletes known at a depth count', () => {
    const rows = values.map((value, i) => [value, i < 6 ? value : Number.NaN]);
    const found = pairedCurves(curvesOf(rows.map(() => [0, 0])), curvesOf(rows));
    const of = found.athletes.map((athlete, i) => ({
      athlete,
      effects: new Map([['rig', Float64Array.of(0.1, i < 6 ? 0.1 : 9)]]),
    }));
    expectClose(withSharedDoubt(found, of).points[1].sharedVariance, 0.01, 1e-15, 'variance');
  });

  test('effects on a difference subtract by key, on a mean they average', () => {
    const [a, b] = [
      new Map([['k', Float64Array.of(3)]]),
      new Map([
        ['k', Float64Array.of(5)],
        ['l', Float64Array.of(1)],
      ]),
    ];
    expect([...effectsOfDifference(a, b)].map(([key, [e]]) => [key, e])).toEqual([
      ['k', 2],
      ['l', 1],
    ]);
    expect([...effectsOfMean([a, b])].map(([key, [e]]) => [key, e])).toEqual([
      ['k', 4],
      ['l', 0.5],
    ]);
  });
});
