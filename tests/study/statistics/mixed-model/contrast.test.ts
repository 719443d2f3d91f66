import { describe, expect, test } from '@jest/globals';
import { DataError } from '../../../../src/errors.ts';
import { contrast, withInterval } from '../../../../src/study/statistics/mixed-model/contrast.ts';
import { mixedModel } from '../../../../src/study/statistics/mixed-model/fit.ts';
import { denominatorFreedom, jointTest } from '../../../../src/study/statistics/mixed-model/joint-test.ts';
import { levelContrasts, marginalMeans } from '../../../../src/study/statistics/mixed-model/marginal-means.ts';
import { expectAllClose, expectClose } from '../../../expect-close.ts';
import { MODEL, madeStudy } from './made-study.ts';

const base = madeStudy(5);
const shoe = base.stance.map((_, i) => ['flat', 'lifted', 'wedge'][i % 3]);
const fit = mixedModel(
  { ...base, shoe },
  {
    ...MODEL,
    fixed: ['heel_height_mm', 'stance', 'shoe', 'heel_height_mm:stance'],
    centre: { heel_height_mm: 'mean' },
  },
);
const codeOf = (run: () => unknown): string => {
  try {
    run();
  } catch (error) {
    if (error instanceof DataError) return error.code;
    throw error;
  }
  return 'no error';
};

describe('contrast', () => {
  test('by name, by order, and the effect itself are one', () => {
    const effect = fit.fixedEffects[2];
    const named = contrast(fit, { 'stance[wide]': 1 }, effect.name);
    expect(named).toEqual(effect);
    expect(contrast(fit, [0, 0, 1, 0, 0, 0], effect.name)).toEqual(effect);
  });

  test('a multiple has the same t, freedom and p', () => {
    const one = contrast(fit, { heel_height_mm: 1, 'shoe[wedge]': -2 });
    const many = contrast(fit, { heel_height_mm: -5, 'shoe[wedge]': 10 });
    expectAllClose([many.estimate, many.se], [-5 * one.estimate, 5 * one.se], 1e-10, 'size');
    expectAllClose([many.t, many.freedom, many.p], [-one.t, one.freedom, one.p], 1e-9, 'test');
  });

  test('ends and p belong together: p is 0.05 where an end is 0', () => {
    const { se, freedom } = withInterval('', 1, 0.4, 7.3);
    const half = 1 - withInterval('', 1, se, freedom).lower;
    expectClose(withInterval('', half, se, freedom).p, 0.05, 1e-12, 'p');
  });

  test('unknown freedom gives neither interval nor p', () => {
    const { t, p, lower, freedom } = withInterval('', 1, 0.5, Number.NaN);
    expect([t, p, lower, freedom]).toEqual([2, Number.NaN, Number.NaN, Number.NaN]);
  });

  test.each([
    ['too few weights', () => contrast(fit, [1, 0])],
    ['an unknown name', () => contrast(fit, { stance: 1 })],
    ['no weight', () => contrast(fit, {})],
    ['a weight that is no number', () => contrast(fit, { heel_height_mm: Number.NaN })],
    ['a joint test of nothing', () => jointTest(fit, [])],
  ])('refused: %s', (_, run) => {
    expect(codeOf(run)).toBe('mixed-contrast');
  });
});

describe('joint test', () => {
  test('of one contrast is its t-test', () => {
    const one = contrast(fit, { 'shoe[wedge]': 1 });
    const joint = jointTest(fit, [{ 'shoe[wedge]': 1 }]);
    expectClose(joint.f, one.t ** 2, 1e-9, 'F');
    expectClose(joint.freedom2, one.freedom, 1e-9, 'freedom');
    expectClose(joint.p, one.p, 1e-12, 'p');
  });

  test('does not hang on which contrasts span the hypothesis', () => {
    const a = jointTest(fit, [{ 'shoe[lifted]': 1 }, { 'shoe[wedge]': 1 }]);
    const b = jointTest(fit, [{ 'shoe[lifted]': 1, 'shoe[wedge]': -1 }, { 'shoe[wedge]': 2 }]);
    expectClose(b.f / a.f, 1, 1e-9, 'F');
  });

  test('dependent contrasts are refused', () => {
    const both = { 'shoe[lifted]': 1, 'shoe[wedge]': 1 };
    expect(codeOf(() => jointTest(fit, [{ 'shoe[lifted]': 1 }, { 'shoe[wedge]': 1 }, both]))).toBe(
      'mixed-contrasts-dependent',
    );
  });

  test('freedom of the denominator: equal ν stay, 2 is the least (Fai & Cornelius 1996)', () => {
    expectClose(denominatorFreedom([9, 9, 9]), 9, 1e-12, 'equal');
    expect(denominatorFreedom([30, 1.5])).toBe(2);
    // E = 10/8 + 20/18 = 2.3611; 2 E / (E − 2).
    expectClose(denominatorFreedom([10, 20]), (2 * (10 / 8 + 20 / 18)) / (10 / 8 + 20 / 18 - 2), 1e-12, 'two');
    expect(denominatorFreedom([10, Number.NaN])).toBeNaN();
  });
});

describe('marginal means', () => {
  test('differences of means are the contrasts of levels', () => {
    const means = marginalMeans(fit, ['shoe']);
    const pairs = levelContrasts(fit, 'shoe');
    expect(pairs.map(({ first, second }) => `${second}-${first}`)).toEqual([
      'lifted-flat',
      'wedge-flat',
      'wedge-lifted',
    ]);
    expectClose(pairs[2].estimate, means[2].estimate - means[1].estimate, 1e-10, 'wedge − lifted');
    expectClose(pairs[0].se, fit.fixedEffects[3].se, 1e-10, 'SE of a treatment effect');
  });

  test('a covariate is held at its value in the table, centred or not', () => {
    const plain = mixedModel(
      { ...base, shoe },
      { ...MODEL, fixed: ['heel_height_mm', 'stance', 'shoe', 'heel_height_mm:stance'] },
    );
    const at = { heel_height_mm: 20, shoe: 'wedge' };
    marginalMeans(fit, ['stance'], at).forEach((mean, i) => {
      const other = marginalMeans(plain, ['stance'], at)[i];
      expectAllClose([mean.estimate, mean.se], [other.estimate, other.se], 1e-6, mean.name);
    });
    const [narrow] = marginalMeans(fit, ['stance'], { heel_height_mm: 20, shoe: 'flat' });
    const b = fit.fixedEffects.map(({ estimate }) => estimate);
    expectClose(narrow.estimate, b[0] + b[1] * (20 - fit.covariates[0].mean), 1e-9, 'by hand');
  });

  test('of two factors: a grid; of none: one mean', () => {
    expect(marginalMeans(fit, ['stance', 'shoe']).map(({ levels }) => levels)).toHaveLength(6);
    const [overall] = marginalMeans(fit, []);
    const grid = marginalMeans(fit, ['stance', 'shoe']);
    expectClose(overall.estimate, grid.reduce((sum, m) => sum + m.estimate, 0) / 6, 1e-9, 'overall');
  });

  test.each([
    ['no factor of the model', () => marginalMeans(fit, ['sex']), 'mixed-not-in-fixed'],
    ['a covariate as a factor', () => levelContrasts(fit, 'heel_height_mm'), 'mixed-not-in-fixed'],
    ['held: not in the model', () => marginalMeans(fit, ['shoe'], { mass_kg: 80 }), 'mixed-not-in-fixed'],
    [
      'held: a word for a covariate',
      () => marginalMeans(fit, ['shoe'], { heel_height_mm: 'high' }),
      'mixed-not-in-fixed',
    ],
    ['held: an unknown level', () => marginalMeans(fit, ['shoe'], { stance: 'sumo' }), 'mixed-no-level'],
  ])('refused: %s', (_, run, code) => {
    expect(codeOf(run)).toBe(code);
  });
});
