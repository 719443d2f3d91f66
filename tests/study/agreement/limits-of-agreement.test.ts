import { describe, expect, test } from '@jest/globals';
import { nonCentralStudentQuantile } from '../../../src/numerics/non-central-student.ts';
import { seededRandom } from '../../../src/numerics/random.ts';
import { limitsOfAgreement } from '../../../src/study/agreement/limits-of-agreement.ts';
import { expectClose } from '../../expect-close.ts';
import { reference } from '../../reference.ts';

describe('one difference a subject: Bland & Altman (1986), table I', () => {
  const table = reference<{ wright: number; mini: number }>('study-bland-altman-1986');
  const found = limitsOfAgreement(table.cases.map(({ wright, mini }) => [wright - mini]));
  const printed = table.printed as Record<string, number & number[]>;

  test('mean and standard deviation', () => {
    expectClose(found.bias.value, table.meanUnrounded as number, table.tolerance, 'mean');
    expectClose(found.sd, table.sdUnrounded as number, table.tolerance, 'SD');
    expectClose(found.bias.value, printed.mean, 0.05, 'mean, as printed');
    expectClose(found.sd, printed.sd, 0.05, 'SD, as printed');
    expect([found.lifters, found.differences]).toEqual([17, 17]);
  });

  test('interval of the bias as printed; limits as printed but for 1.96 in place of 2', () => {
    // Printed from mean −2.1 and SE 9.4, both rounded: up to 0.05 of each is carried over.
    expectClose(found.bias.lower, printed.biasInterval[0], 0.1, 'lower');
    expectClose(found.bias.upper, printed.biasInterval[1], 0.1, 'upper');
    expectClose(found.lowerLimit.value - 0.04 * found.sd, printed.limitsTwoSd[0], 0.1, 'lower limit');
    expectClose(found.upperLimit.value + 0.04 * found.sd, printed.limitsTwoSd[1], 0.1, 'upper limit');
  });

  test('the exact interval of a limit is wider to the outside and narrower to the inside than the printed approximation', () => {
    // Printed: limit ± t(16) √(3/17) SD about the limit of 2 SD. Exact about 1.96 SD: both ends lie further out (Carkeet 2015).
    expect(found.lowerLimit.lower).toBeLessThan(printed.lowerLimitInterval[0]);
    expect(found.lowerLimit.upper).toBeLessThan(printed.lowerLimitInterval[1]);
    const k = nonCentralStudentQuantile(0.975, 16, 1.96 * Math.sqrt(17)) / Math.sqrt(17);
    expectClose(found.upperLimit.upper, found.bias.value + k * found.sd, 0.02, 'exact outer end');
  });
});

test('several a subject: Bland & Altman (2007), section 3, to the digits quoted', () => {
  const table = reference<[number, number][]>('study-bland-altman-2007');
  const printed = table.printed as { bias: number; sd: number; lower: number; upper: number };
  const found = limitsOfAgreement(table.cases.map((subject) => subject.map(([a, b]) => a - b)));
  expectClose(found.bias.value, printed.bias, table.tolerance, 'bias');
  expectClose(found.sd, printed.sd, table.tolerance, 'SD');
  expectClose(found.lowerLimit.value, printed.lower, table.tolerance, 'lower limit');
  expectClose(found.upperLimit.value, printed.upper, table.tolerance, 'upper limit');
  expectClose(found.sdWithin ** 2 + found.sdBetween ** 2, found.sd ** 2, 1e-12, 'components add up');
  expect([found.lifters, found.differences]).toEqual([12, 60]);
});

describe('few values', () => {
  test('one difference: a bias and nothing else', () => {
    const found = limitsOfAgreement([[0.3]]);
    expect(found.bias.value).toBe(0.3);
    for (const value of [found.bias.lower, found.sd, found.lowerLimit.value, found.upperLimit.upper])
      expect(value).toBeNaN();
  });

  test('one lifter: the spread of the repetitions, no spread of lifters', () => {
    const found = limitsOfAgreement([[1, 2, 3]]);
    expectClose(found.sd, 1, 1e-12, 'SD');
    expectClose(found.sdWithin, 1, 1e-12, 'within');
    expect(found.sdBetween).toBeNaN();
    // t(2) at 97.5 %: 4.302653 in every printed table.
    expectClose(found.bias.upper, 2 + 4.302653 / Math.sqrt(3), 1e-6, 'interval of the bias');
  });

  test('no difference at all: limits on the bias, no division by zero', () => {
    const found = limitsOfAgreement([
      [0, 0],
      [0, 0],
    ]);
    expect([found.bias.value, found.sd, found.lowerLimit.lower, found.upperLimit.upper]).toEqual([0, 0, 0, 0]);
  });

  test('lifters no more apart than their repetitions: between is 0, the variance is that of all together', () => {
    const found = limitsOfAgreement([
      [1, -1],
      [-1, 1],
    ]);
    expect(found.sdBetween).toBe(0);
    expectClose(found.sd, Math.sqrt(4 / 3), 1e-12, 'SD');
  });
});

test('intervals hold the truth in 95 of 100: 8 lifters, 3 repetitions, between 2, within 1 (150 made studies)', () => {
  const random = seededRandom(26);
  const truth = { bias: 0.5, sd: Math.sqrt(5) };
  let [bias, upper, runs] = [0, 0, 0];
  for (; runs < 150; runs++) {
    const groups = Array.from({ length: 8 }, () => {
      const lifter = truth.bias + 2 * random.normal();
      return Array.from({ length: 3 }, () => lifter + random.normal());
    });
    const found = limitsOfAgreement(groups);
    if (found.bias.lower <= truth.bias && truth.bias <= found.bias.upper) bias++;
    const limit = truth.bias + 1.96 * truth.sd;
    if (found.upperLimit.lower <= limit && limit <= found.upperLimit.upper) upper++;
  }
  // Four standard errors of a share of 0.95 in 150 runs are 0.071; the limits rest on Satterthwaite's approximation.
  expectClose(bias / runs, 0.95, 0.071, 'bias');
  expectClose(upper / runs, 0.95, 0.071, 'upper limit');
});
