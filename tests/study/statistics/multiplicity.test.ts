import { describe, expect, test } from '@jest/globals';
import { standTogether } from '../../../src/lift/across-set/several-measures.ts';
import { seededRandom } from '../../../src/numerics/random.ts';
import { ADJUSTMENTS, type Adjustment, adjustedProbabilities } from '../../../src/study/statistics/multiplicity.ts';
import { expectAllClose, expectClose } from '../../expect-close.ts';
import { reference } from '../../reference.ts';

test('Benjamini & Hochberg (1995), section 3.2: as many rejected as in the paper', () => {
  const { cases, rejected } = reference<number>('study-benjamini-hochberg-1995') as unknown as {
    cases: number[];
    rejected: Partial<Record<Adjustment, number>>;
  };
  for (const [method, count] of Object.entries(rejected)) {
    const found = adjustedProbabilities(cases, method as Adjustment);
    expect([method, found.probabilities.filter((p) => p <= 0.05).length]).toEqual([method, count]);
  }
  // The fourth stands as 0.0095 ≤ 4 / 15 · 0.05; adjusted 15 · 0.0095 / 4.
  expectClose(adjustedProbabilities(cases, 'benjamini-hochberg').probabilities[3], 0.035625, 1e-12);
});

describe('against statsmodels', () => {
  const { cases, tolerance } = reference<{ p: number[] } & Record<Adjustment, number[]>>('study-scipy-reliability');
  test.each(ADJUSTMENTS)('%s', (method) => {
    for (const { p, ...wanted } of cases)
      expectAllClose(adjustedProbabilities(p, method).probabilities, wanted[method], tolerance, method);
  });
});

test('monotone, never below the probability itself, in order of power', () => {
  const random = seededRandom(8);
  for (let run = 0; run < 50; run++) {
    const p = Array.from({ length: 1 + random.integer(12) }, () => random.uniform() ** 3);
    const order = p.map((_, i) => i).sort((a, b) => p[a] - p[b]);
    const found = ADJUSTMENTS.map((method) => adjustedProbabilities(p, method).probabilities);
    for (const adjusted of found) {
      for (let k = 1; k < order.length; k++) expect(adjusted[order[k]]).toBeGreaterThanOrEqual(adjusted[order[k - 1]]);
      for (let i = 0; i < p.length; i++) expect(adjusted[i]).toBeGreaterThanOrEqual(p[i]);
    }
    for (let i = 0; i < p.length; i++)
      for (let m = 1; m < found.length; m++) expect(found[m][i]).toBeLessThanOrEqual(found[m - 1][i] + 1e-15);
  }
});

test('Holm stands where the rule for several measures of a set does', () => {
  const random = seededRandom(9);
  for (let run = 0; run < 100; run++) {
    const p = Array.from({ length: 6 }, () => random.uniform() ** 4);
    expect(adjustedProbabilities(p, 'holm').probabilities.map((q) => q < 0.05)).toEqual(standTogether(p));
  }
});

test('NaN takes no part and is counted; what is no probability is refused; none is none', () => {
  const found = adjustedProbabilities([0.01, Number.NaN, 0.2], 'bonferroni');
  expect(found.probabilities).toEqual([0.02, Number.NaN, 0.4]);
  expect([found.n, found.missing]).toEqual([2, 1]);
  expect(adjustedProbabilities([], 'holm').probabilities).toEqual([]);
  expect(() => adjustedProbabilities([0.1, 1.2], 'holm')).toThrow(
    expect.objectContaining({ code: 'multiplicity-probability', facts: { place: 1, value: 1.2 } }),
  );
});
