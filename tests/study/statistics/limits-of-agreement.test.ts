import { expect, test } from '@jest/globals';
import { seededRandom } from '../../../src/numerics/random.ts';
import { standardDeviation } from '../../../src/numerics/statistics.ts';
import { limitsOfAgreement, replicatedAgreement } from '../../../src/study/statistics/limits-of-agreement.ts';
import { expectClose } from '../../expect-close.ts';
import { reference } from '../../reference.ts';

const table = reference<[number, number, number, number]>('study-bland-altman-1986-replicates');
const subjects = table.cases.map(([w1, w2, m1, m2]) => ({ a: [w1, w2], b: [m1, m2] }));

test('replicates of a constant value: Bland & Altman (1986), corrected SD as printed', () => {
  const found = replicatedAgreement(subjects);
  const printed = table.printed as Record<'sdOfMeans' | 'repeatSdWright' | 'repeatSdMini' | 'corrected', number>;
  expectClose(found.sdOfMeans, printed.sdOfMeans, table.tolerance, 'SD of means');
  // Printed is the SD of the difference of two repeats, √2 of that of one.
  expectClose(found.sdWithinA * Math.SQRT2, printed.repeatSdWright, table.tolerance, 'Wright');
  expectClose(found.sdWithinB * Math.SQRT2, printed.repeatSdMini, table.tolerance, 'mini');
  expectClose(found.sd, printed.corrected, table.tolerance, 'corrected');
  expectClose(found.upperLimit.value, found.bias.value + 1.96 * found.sd, 1e-12, 'limit');
  expect([found.subjects, found.missing, found.leftOut, found.level]).toEqual([17, 0, 0, 0.95]);
});

test('one each: the plain limits; a subject without a value by one method is left out and counted', () => {
  const single = [...subjects.map(({ a, b }) => ({ a: [a[0]], b: [b[0]] })), { a: [400, Number.NaN], b: [] }];
  const found = replicatedAgreement(single);
  const plain = limitsOfAgreement(table.cases.map(([w, , m]) => [w - m]));
  expectClose(found.sd, plain.sd, 1e-12, 'SD');
  expectClose(found.sd, standardDeviation(table.cases.map(([w, , m]) => w - m)), 1e-12, 'SD by hand');
  expectClose(found.bias.lower, plain.bias.lower, 1e-9, 'bias');
  expect([found.subjects, found.missing, found.leftOut]).toEqual([17, 1, 1]);
  expect(found.sdWithinA).toBeNaN();
});

test('intervals hold the truth in 95 of 100: 15 subjects, 3 and 2 replicates (300 made studies)', () => {
  const random = seededRandom(99);
  const sd = Math.sqrt(1.5 ** 2 + 1 + 0.5 ** 2);
  let [bias, limit] = [0, 0];
  for (let run = 0; run < 300; run++) {
    const made = Array.from({ length: 15 }, () => {
      const truth = 100 + 10 * random.normal();
      const other = truth - 0.5 + 1.5 * random.normal();
      return {
        a: Array.from({ length: 3 }, () => truth + random.normal()),
        b: Array.from({ length: 2 }, () => other + 0.5 * random.normal()),
      };
    });
    const found = replicatedAgreement(made);
    if (found.bias.lower <= 0.5 && 0.5 <= found.bias.upper) bias++;
    if (found.lowerLimit.lower <= 0.5 - 1.96 * sd && 0.5 - 1.96 * sd <= found.lowerLimit.upper) limit++;
  }
  // Four standard errors of a share of 0.95 in 300 runs are 0.05; those of the limits are approximate.
  expectClose(bias / 300, 0.95, 0.05, 'bias');
  expectClose(limit / 300, 0.95, 0.05, 'limit');
});
