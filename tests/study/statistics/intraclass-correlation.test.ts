import { describe, expect, test } from '@jest/globals';
import type { DataError } from '../../../src/errors.ts';
import {
  type IntraclassCorrelations,
  intraclassCorrelations,
  oneWayIntraclass,
} from '../../../src/study/statistics/intraclass-correlation.ts';
import { expectClose } from '../../expect-close.ts';
import { reference } from '../../reference.ts';

type Form = 'icc11' | 'icc21' | 'icc31' | 'icc1k' | 'icc2k' | 'icc3k';
type Triple = readonly [number, number, number];
const FORMS: readonly Form[] = ['icc11', 'icc21', 'icc31', 'icc1k', 'icc2k', 'icc3k'];

const expectTriple = (found: IntraclassCorrelations, form: Form, wanted: Triple, tolerance: number) => {
  expectClose(found[form].value, wanted[0], tolerance, form);
  expectClose(found[form].lower, wanted[1], tolerance, `${form}, lower`);
  expectClose(found[form].upper, wanted[2], tolerance, `${form}, upper`);
};

const codeOf = (work: () => unknown) => {
  try {
    work();
  } catch (error) {
    return [(error as DataError).code, (error as DataError).facts];
  }
  return null;
};

describe('Shrout & Fleiss (1979)', () => {
  const table = reference<number[]>('study-shrout-fleiss-1979');
  const found = intraclassCorrelations(table.cases);
  const printed = table.printed as Record<Form, number>;
  const coefficients = table.coefficients as unknown as Record<Form, Triple>;

  test('mean squares, n, k, level', () => {
    const squares = table.meanSquares as Record<'between' | 'ofOccasions' | 'within' | 'residual', number>;
    for (const name of ['between', 'ofOccasions', 'within', 'residual'] as const)
      expectClose(found.meanSquares[name], squares[name], table.tolerance, name);
    const { subjects, occasions, leftOut, missing } = found.meanSquares;
    expect([subjects, occasions, leftOut, missing, found.level]).toEqual([6, 4, 0, 0, 0.95]);
  });

  test.each(FORMS)('%s as printed in table 4, with its interval', (form) => {
    expectClose(found[form].value, printed[form], 0.005, `${form}, printed`);
    expectTriple(found, form, coefficients[form], table.tolerance);
  });
});

describe('intervals after McGraw & Wong (1996), with the F quantiles of SciPy', () => {
  const { tolerance, agreement } = reference('study-scipy-reliability') as unknown as {
    tolerance: number;
    agreement: Record<Form, Triple> & { table: number[][] };
  };
  test.each(FORMS)('%s: the same numbers as by Shrout & Fleiss', (form) => {
    expectTriple(intraclassCorrelations(agreement.table), form, agreement[form], tolerance);
  });
});

describe('what is known of the coefficients', () => {
  test('subjects alike but for error: −1 / (k − 1) and intervals, not unknown', () => {
    const { icc11, icc31, icc3k } = intraclassCorrelations([
      [1, 3],
      [3, 1],
      [2, 2],
    ]);
    for (const { value, upper } of [icc11, icc31]) {
      expectClose(value, -1, 1e-12, 'k = 2');
      expectClose(upper, -1, 1e-12, 'upper');
    }
    // The mean of k has no such value: its formula divides by 0.
    expect(icc3k.value).toBeNaN();
  });

  test('a coefficient of the mean is never above 1', () => {
    const { icc21, icc2k } = intraclassCorrelations([
      [1, 3.1],
      [3, 1],
      [2, 2.2],
    ]);
    expect(icc21.value).toBeLessThan(-1);
    expect(icc2k.value).toBeNaN();
  });

  test('a shift alone between occasions: ends by the limit of a residual that goes to 0', () => {
    const shifted = (tilt: number) =>
      intraclassCorrelations([
        [1, 2 - tilt],
        [2, 3],
        [4, 5 + tilt],
      ]).icc21;
    const [exact, near] = [shifted(0), shifted(1e-7)];
    for (const end of ['value', 'lower', 'upper'] as const) expectClose(exact[end], near[end], 1e-4, end);
  });

  const table = [
    [1, 2, 4],
    [3, 3, 7],
    [6, 8, 9],
    [2, 5, 6],
  ];
  const shift = (by: readonly number[], times = 1) => table.map((row) => row.map((v, j) => times * v + by[j]));

  test('a shift and a change of unit common to all change nothing; a shift of one occasion leaves consistency alone', () => {
    const before = intraclassCorrelations(table);
    const after = intraclassCorrelations(shift([7, 7, 7], 3));
    for (const form of FORMS)
      expectTriple(after, form, [before[form].value, before[form].lower, before[form].upper], 1e-12);
    const apart = intraclassCorrelations(shift([0, 0, 20]));
    expectClose(apart.icc31.value, before.icc31.value, 1e-12, 'consistency');
    expect(apart.icc21.value).toBeLessThan(0.5 * before.icc21.value);
  });

  test('no error at all: 1, not 0 / 0', () => {
    const found = intraclassCorrelations([
      [1, 1],
      [2, 2],
      [5, 5],
    ]);
    expect([found.icc11.value, found.icc11.lower, found.icc31.upper]).toEqual([1, 1, 1]);
  });

  test('an estimate below 0 keeps an interval', () => {
    const found = intraclassCorrelations([
      [1, 5],
      [5, 1.5],
      [2, 4],
      [4, 2.2],
    ]);
    expect(found.icc21.value).toBeLessThan(0);
    expect(found.icc21.lower).toBeLessThan(found.icc21.value);
    expect(found.icc21.upper).toBeGreaterThan(found.icc21.value);
  });
});

describe('gaps', () => {
  const gap = [
    [1, 2, 4],
    [3, Number.NaN, 7],
    [6, 8, 9],
    [2, 5, 6],
  ];
  test('refused, with the place and what would be left', () => {
    expect(codeOf(() => intraclassCorrelations(gap))).toEqual([
      'reliability-incomplete',
      { row: 2, column: 2, missing: 1, leftAfter: 3 },
    ]);
    expect(codeOf(() => intraclassCorrelations([[1, 2], [3]]))?.[0]).toBe('reliability-ragged');
    expect(codeOf(() => intraclassCorrelations([[1, 2]]))?.[0]).toBe('reliability-too-small');
    expect(codeOf(() => intraclassCorrelations([]))?.[0]).toBe('reliability-too-small');
  });

  test('left out on request, and counted', () => {
    const found = intraclassCorrelations(gap, 'leave out');
    const { subjects, leftOut, missing } = found.meanSquares;
    expect([subjects, leftOut, missing]).toEqual([3, 1, 1]);
    expectClose(found.icc31.value, intraclassCorrelations([gap[0], gap[2], gap[3]]).icc31.value, 1e-15);
  });

  test('one-way, unequal numbers: mean group size (7 − (9 + 4 + 1 + 1) / 7) / 3 by hand, said not to be exact', () => {
    const found = oneWayIntraclass([[1, 2, 3], [5, 7, Number.NaN], [], [9], [4]]);
    expect([found.meanSquares.subjects, found.meanSquares.values, found.meanSquares.missing]).toEqual([4, 7, 1]);
    expectClose(found.meanSquares.groupSize, (7 - 15 / 7) / 3, 1e-12, 'group size');
    expect(found.exact).toBe(false);
    expect(codeOf(() => oneWayIntraclass([[1], [2], [3]]))?.[0]).toBe('reliability-groups-too-small');
  });

  test('one-way, equal numbers: ICC(1,1)', () => {
    const complete = [gap[0], gap[2], gap[3]];
    const found = oneWayIntraclass(complete);
    const { icc11 } = intraclassCorrelations(complete);
    expect(found.exact).toBe(true);
    expectClose(found.icc1.value, icc11.value, 1e-12);
    expectClose(found.icc1.lower, icc11.lower, 1e-12);
  });
});
