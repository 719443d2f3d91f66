import { describe, expect, test } from '@jest/globals';
import chiSquareQuantile from '@stdlib/stats-base-dists-chisquare-quantile';
import { DataError } from '../../../../src/errors.ts';
import type { ModelDescription } from '../../../../src/study/statistics/mixed-model/description.ts';
import { mixedModel } from '../../../../src/study/statistics/mixed-model/fit.ts';
import { chiSquareTail, likelihoodRatio } from '../../../../src/study/statistics/mixed-model/likelihood-ratio.ts';
import { expectClose } from '../../../expect-close.ts';
import { MODEL, madeStudy } from './made-study.ts';

describe('chiSquareTail', () => {
  test.each([1, 2, 3, 4, 5, 8, 15])('%d degrees of freedom, against the quantiles of @stdlib', (freedom) => {
    // Quantiles there are good to about 1e-12 of themselves.
    for (const p of [0.9, 0.5, 0.05, 0.01, 1e-4])
      expectClose(chiSquareTail(chiSquareQuantile(1 - p, freedom), freedom) / p, 1, 1e-9, `p ${p}`);
  });

  test('none of it lies above 0 for no degree of freedom', () => {
    expect([chiSquareTail(0, 0), chiSquareTail(1, 0), chiSquareTail(0, 3)]).toEqual([1, 0, 1]);
  });
});

const base = madeStudy(5);
const ml = (change: Partial<ModelDescription>, table: object = base) =>
  mixedModel(table as never, { ...MODEL, criterion: 'ML', ...change });
const intercept = { group: 'athlete_id' };
const slope = { group: 'athlete_id', slopes: ['heel_height_mm'] };
const whyNot = (run: () => unknown): string => {
  try {
    run();
  } catch (error) {
    if (error instanceof DataError) return `${error.code}: ${error.facts.why}`;
    throw error;
  }
  return 'no error';
};

test('one spread more: half-and-half mixture beside the plain χ²', () => {
  const found = likelihoodRatio(ml({ random: intercept }), ml({ random: slope }));
  expect([found.freedom, found.variances]).toEqual([2, true]);
  expectClose(found.p, Math.exp(-found.statistic / 2), 1e-12, 'χ² of 2');
  expectClose(found.pMixture, (found.p + chiSquareTail(found.statistic, 1)) / 2, 1e-15, 'mixture');
  const apart = likelihoodRatio(ml({ random: intercept }), ml({ random: { ...slope, correlated: false } }));
  expect(apart.freedom).toBe(1);
  expectClose(apart.pMixture, apart.p / 2, 1e-15, 'mixture with the one at 0');
});

test('correlation alone: no edge, plain χ² of 1; by REML too, the fixed effects being the same', () => {
  for (const criterion of ['ML', 'REML'] as const) {
    const found = likelihoodRatio(
      ml({ criterion, random: { ...slope, correlated: false } }),
      ml({ criterion, random: slope }),
    );
    expect([found.freedom, found.pMixture]).toEqual([1, Number.NaN]);
    expect(found.statistic).toBeGreaterThan(0);
  }
});

test('the same fixed effects under another reference level are nested', () => {
  const found = likelihoodRatio(
    ml({ fixed: ['stance'], factors: { stance: { reference: 'wide' } }, random: intercept }),
    ml({ fixed: ['heel_height_mm', 'stance'], random: intercept }),
  );
  expect(found.freedom).toBe(1);
});

describe('fits that cannot be compared', () => {
  const small = () => ml({ fixed: ['stance'] });
  test.each<[string, () => unknown, RegExp]>([
    [
      'REML of other fixed effects',
      () => likelihoodRatio(ml({ criterion: 'REML', fixed: ['stance'] }), ml({ criterion: 'REML' })),
      /different fixed/,
    ],
    ['one by REML', () => likelihoodRatio(small(), ml({ criterion: 'REML' })), /REML/],
    ['the larger first', () => likelihoodRatio(ml({}), small()), /no parameter more|not among/],
    ['the same twice', () => likelihoodRatio(ml({}), ml({})), /no parameter more/],
    [
      'fixed effects not nested',
      () =>
        likelihoodRatio(
          small(),
          ml({ fixed: ['heel_height_mm'], random: { group: 'athlete_id', slopes: ['heel_height_mm'] } }),
        ),
      /fixed effects/,
    ],
    [
      'random effects not nested',
      () => likelihoodRatio(ml({ fixed: ['stance'], random: { group: 'athlete_id', slopes: ['stance'] } }), ml({})),
      /random effects/,
    ],
    [
      'other responses',
      () => likelihoodRatio(small(), ml({}, { ...base, trunk_lean_deg: base.trunk_lean_deg.map((y) => y + 1) })),
      /responses/,
    ],
    [
      'other rows',
      () =>
        likelihoodRatio(
          small(),
          ml({}, { ...base, heel_height_mm: base.heel_height_mm.map((h, i) => (i === 0 ? null : h)) }),
        ),
      /rows/,
    ],
  ])('%s', (_, run, why) => {
    const said = whyNot(run);
    expect(said).toMatch(/^mixed-not-comparable/);
    expect(said).toMatch(why);
  });
});
