import { describe, expect, test } from '@jest/globals';
import { chiNodes, nonCentralStudentBelow } from '../../../src/numerics/non-central-student.ts';
import { type Random, seededRandom } from '../../../src/numerics/random.ts';
import { mean, standardDeviation } from '../../../src/numerics/statistics.ts';
import { noncentralityWith } from '../../../src/study/statistics/noncentrality.ts';
import {
  hedgesCorrection,
  independentDifference,
  independentFromSummary,
  pairedDifference,
  pairedFromSummary,
} from '../../../src/study/statistics/standardised-difference.ts';
import { expectClose } from '../../expect-close.ts';
import { reference } from '../../reference.ts';

const book = reference('study-borenstein-2009');
const program = reference('study-scipy-reliability') as unknown as {
  tolerance: number;
  noncentrality: { t: number; freedom: number; lower: number; upper: number }[];
  corrections: { freedom: number; j: number }[];
};

describe('Borenstein et al. (2009), chapter 4', () => {
  type Wanted = { d: number; g: number; variance: number };

  test('independent groups', () => {
    const wanted = book.independent as Wanted;
    const found = independentFromSummary({ mean: 100, sd: 4.5, n: 50 }, { mean: 103, sd: 5.5, n: 50 });
    expectClose(found.d, wanted.d, book.tolerance, 'd');
    expectClose(found.g.value, wanted.g, book.tolerance, 'g');
    expectClose(found.variance, wanted.variance, book.tolerance, 'V');
    expectClose(found.normal.upper, found.g.value + 1.959963984540054 * Math.sqrt(found.variance), 1e-12, 'normal');
    expect([found.nA, found.nB, found.missing, found.freedom, found.level]).toEqual([50, 50, 0, 98, 0.95]);
  });

  test('pairs, by the SD within', () => {
    const wanted = book.paired as Wanted;
    const found = pairedFromSummary(3, 5.5, 50, 0.7).ofValues;
    expectClose(found.d, wanted.d, book.tolerance, 'd');
    expectClose(found.g.value, wanted.g, book.tolerance, 'g');
    expectClose(found.variance, wanted.variance, book.tolerance, 'V');
    expect(found.g.lower).toBeNaN();
  });
});

describe('against SciPy', () => {
  test.each(program.corrections)('J at $freedom degrees of freedom', ({ freedom, j }) => {
    expectClose(hedgesCorrection(freedom), j, program.tolerance);
  });

  test.each(program.noncentrality)(
    'noncentrality of t = $t, $freedom degrees of freedom',
    ({ t, freedom, ...ends }) => {
      expectClose(noncentralityWith(0.975, freedom, t), ends.lower, program.tolerance, 'lower');
      expectClose(noncentralityWith(0.025, freedom, t), ends.upper, program.tolerance, 'upper');
    },
  );
});

/*
 * With 2 degrees of freedom s² = χ² / 2 is exponential, and P(T < t) = E[exp(−((Z + δ) / t)²)] over Z > −δ has a closed form but for less than
 * exp(−δ² / 2): t / √(t² + 2) · exp(−δ² / (t² + 2)).
 */
test.each([60, 100, 141, 142, 1000, 1e9])('a very large t = %s with 2 degrees of freedom: the closed form', (t) => {
  const below = (delta: number) => (t / Math.sqrt(t * t + 2)) * Math.exp(-(delta * delta) / (t * t + 2));
  // By nodes to rounding; by the series to what its docstring says.
  const tolerance = t <= 141 ? 1e-13 : 1e-7;
  for (const p of [0.025, 0.975]) {
    expectClose(below(noncentralityWith(p, 2, t)), p, tolerance, `p ${p}`);
    expectClose(below(-noncentralityWith(1 - p, 2, -t)), p, tolerance, `mirrored, p ${p}`);
  }
});

test.each([
  [1, 2e-4],
  [2, 1e-7],
  [5, 1e-7],
  [100, 1e-7],
  [2000, 1e-7],
])(
  '%s degrees of freedom: where the series takes over, the probability stays that of the nodes, to %s',
  (freedom, to) => {
    for (const far of [1.1, 5]) {
      const t = 100 * far * Math.sqrt(freedom);
      const nodes = chiNodes(freedom, 2 * t);
      for (const p of [0.025, 0.975])
        expectClose(nonCentralStudentBelow(nodes, t, noncentralityWith(p, freedom, t)), p, to, `t ${t}, ${p}`);
    }
  },
);

test('the exact interval is that of the noncentrality over √(n₁ n₂ / (n₁ + n₂)), or √n for pairs', () => {
  const [groups, , , , , pairs] = program.noncentrality;
  const found = independentFromSummary({ mean: 0, sd: 1, n: 50 }, { mean: groups.t / 5, sd: 1, n: 50 });
  expectClose(found.g.lower, groups.lower / 5, program.tolerance, 'groups, lower');
  expectClose(found.g.upper, groups.upper / 5, program.tolerance, 'groups, upper');
  const root = Math.sqrt(pairs.freedom + 1);
  const paired = pairedFromSummary(pairs.t / root, 1, pairs.freedom + 1, 0.5).ofDifferences;
  expectClose(paired.g.lower, pairs.lower / root, program.tolerance, 'pairs, lower');
  expectClose(paired.g.upper, pairs.upper / root, program.tolerance, 'pairs, upper');
});

describe('properties', () => {
  const a = [1, 4, 2, 6, 3];
  const b = [5, 4, 8, 9, 5.5];

  test('exchanging groups turns the sign of g and its interval', () => {
    const [there, back] = [independentDifference(a, b), independentDifference(b, a)];
    expectClose(there.g.value, -back.g.value, 1e-12);
    expectClose(there.g.lower, -back.g.upper, 1e-9);
  });

  test('missing pairs are left out and counted', () => {
    const found = pairedDifference([...a, Number.NaN, 3], [...b, 2, Number.NaN]);
    expect([found.ofDifferences.nA, found.ofDifferences.missing]).toEqual([5, 2]);
    expectClose(found.ofDifferences.d, pairedDifference(a, b).ofDifferences.d, 1e-15);
    // d by the differences = d within · √(1 / (2 (1 − r))).
    expectClose(found.ofDifferences.d, found.ofValues.d / Math.sqrt(2 * (1 - found.r)), 1e-12);
  });

  test('refused: too few, no spread, unequal', () => {
    const refused = (work: () => unknown, code: string) => expect(work).toThrow(expect.objectContaining({ code }));
    refused(() => independentDifference([1], [2, 3]), 'standardised-too-few');
    refused(() => independentDifference([1, 1], [2, 2]), 'standardised-no-spread');
    refused(() => pairedDifference([1, 2], [2, 3, 4]), 'standardised-pairs-unequal');
    refused(() => pairedDifference([1, 2, 3], [2, 3, 4]), 'standardised-no-spread');
    // Equal but for rounding: 0.1 + 0.2 is not 0.3.
    refused(() => pairedDifference([0.1, 0.2, 0.3], [1.1, 1.2, 1.3]), 'standardised-no-spread');
    refused(() => independentDifference([0.1, 0.1, 0.1], [0.3, 0.3, 0.3, 0.1 + 0.2]), 'standardised-no-spread');
    refused(() => hedgesCorrection(1.5), 'standardised-too-few');
  });

  const group = (random: Random, n: number, centre: number) =>
    Array.from({ length: n }, () => centre + random.normal());

  test('J d is unbiased: true difference 1, 5 and 6 values (3000 made studies)', () => {
    const random = seededRandom(4);
    const runs = 3000;
    const found = Array.from({ length: runs }, () => {
      const [a, b] = [group(random, 5, 0), group(random, 6, 1)];
      const pooled = Math.sqrt((4 * standardDeviation(a) ** 2 + 5 * standardDeviation(b) ** 2) / 9);
      return (mean(b) - mean(a)) / pooled;
    });
    // d itself lies 9 % too far out, more than the bound of four standard errors.
    const bound = (4 * standardDeviation(found)) / Math.sqrt(runs);
    expectClose(hedgesCorrection(9) * mean(found), 1, bound, 'J d');
    expect(mean(found) - 1).toBeGreaterThan(bound);
  });
});
