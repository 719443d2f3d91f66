import { describe, expect, test } from '@jest/globals';
import { seededRandom } from '../../../src/numerics/random.ts';
import { meanSquares, oneWayMeanSquares } from '../../../src/study/statistics/mean-squares.ts';
import {
  measurementError,
  oneWayMeasurementError,
  ratioError,
} from '../../../src/study/statistics/measurement-error.ts';
import { expectClose } from '../../expect-close.ts';
import { reference } from '../../reference.ts';

describe('Bland & Altman (1996): 20 children, four times each', () => {
  const table = reference<number[]>('study-bland-altman-1996');
  const squares = meanSquares(table.cases);
  const printed = table.printed as { withinSd: number; repeatability: number };
  const wanted = table.meanSquares as { between: number; within: number };
  const found = measurementError(squares, 'one-way');

  test('mean squares of the printed analysis of variance', () => {
    expectClose(squares.within, wanted.within, table.tolerance, 'within');
    expectClose(squares.between, wanted.between, table.betweenTolerance as number, 'between');
  });

  test('within-subject SD 21.5 and repeatability 60 l/min, as printed', () => {
    expectClose(found.sem.value, printed.withinSd, 0.05, 'SD');
    expectClose(found.mdc.value, printed.repeatability, 0.6, 'repeatability, printed from 2.77 · 21.5');
    expect([found.freedom, found.subjects, found.missing, found.level]).toEqual([60, 20, 0, 0.95]);
  });

  test('unequal numbers: the same where they are equal', () => {
    expectClose(oneWayMeasurementError(oneWayMeanSquares(table.cases)).sem.upper, found.sem.upper, 1e-12);
  });
});

test('Shrout & Fleiss (1979): by residual, and by agreement, which is the mean square within', () => {
  const table = reference<number[]>('study-shrout-fleiss-1979');
  const squares = meanSquares(table.cases);
  expectClose(measurementError(squares).sem.value, table.semConsistency as number, table.tolerance, 'consistency');
  expectClose(measurementError(squares).mdc.value, table.mdcConsistency as number, table.tolerance, 'detectable');
  const agreement = measurementError(squares, 'agreement');
  expectClose(agreement.sem.value, table.semAgreement as number, table.tolerance, 'agreement');
  expectClose(agreement.sem.value, Math.sqrt(squares.within), 1e-12, 'within');
  // Four judges differ much: their 3 degrees of freedom rule, far fewer than the 18 of the one-way form.
  expect(agreement.freedom).toBeGreaterThan(3);
  expect(agreement.freedom).toBeLessThan(5);
});

test('χ² interval against SciPy; a mean of four halves all of it', () => {
  const { tolerance, agreement } = reference('study-scipy-reliability') as unknown as {
    tolerance: number;
    agreement: { table: number[][]; semResidual: [number, number, number] };
  };
  const squares = meanSquares(agreement.table);
  const one = measurementError(squares);
  const four = measurementError(squares, 'consistency', 4);
  (['value', 'lower', 'upper'] as const).forEach((end, i) => {
    expectClose(one.sem[end], agreement.semResidual[i], tolerance, end);
    expectClose(four.sem[end], agreement.semResidual[i] / 2, tolerance, `mean of four, ${end}`);
    expectClose(one.mdc[end], 1.96 * Math.SQRT2 * one.sem[end], 1e-12, `change, ${end}`);
  });
  expect(() => measurementError(squares, 'consistency', 0)).toThrow(
    expect.objectContaining({ code: 'reliability-means-of' }),
  );
});

describe('ratios', () => {
  test('a made error of 5 % comes back as a coefficient of variation of 5 %, whatever the size', () => {
    const random = seededRandom(3);
    const s = Math.sqrt(Math.log1p(0.05 ** 2));
    const table = Array.from({ length: 400 }, (_, i) => {
      const size = Math.exp(i / 40);
      return Array.from({ length: 3 }, () => size * Math.exp(s * random.normal()));
    });
    const found = ratioError(table);
    // 798 degrees of freedom: s is known within 2.5 %, four times that.
    expectClose(found.cv.value, 0.05, 0.05 * 0.1, 'CV');
    expect(found.cv.lower).toBeLessThan(found.cv.value);
    expectClose(found.mdcFactor.value, Math.exp(1.96 * Math.SQRT2 * found.error.sem.value), 1e-12, 'factor');
  });

  test('0 has no logarithm', () => {
    expect(() =>
      ratioError([
        [1, 2],
        [0, 3],
      ]),
    ).toThrow(expect.objectContaining({ code: 'reliability-not-positive', facts: { row: 2, column: 1, value: 0 } }));
  });
});
