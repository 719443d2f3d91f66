import { describe, expect, test } from '@jest/globals';
import { contrast } from '../../../../src/study/statistics/mixed-model/contrast.ts';
import type { ModelDescription } from '../../../../src/study/statistics/mixed-model/description.ts';
import { mixedModel } from '../../../../src/study/statistics/mixed-model/fit.ts';
import { jointTest } from '../../../../src/study/statistics/mixed-model/joint-test.ts';
import { likelihoodRatio } from '../../../../src/study/statistics/mixed-model/likelihood-ratio.ts';
import { marginalMeans } from '../../../../src/study/statistics/mixed-model/marginal-means.ts';
import { expectAllClose, expectClose } from '../../../expect-close.ts';
import { reference } from '../../../reference.ts';

interface Found {
  criterion: 'REML' | 'ML';
  deviance: number;
  aic: number;
  bic: number;
  effects: { name: string[]; estimate: number[]; se: number[]; freedom: number[]; t: number[]; p: number[] };
  sds: number[] | number;
  correlations: number[] | number;
  residual: number;
  singular: boolean;
  modes: number[][];
  fitted: number[];
  contrasts: { weights: number[]; estimate: number; se: number; freedom: number; t: number; p: number }[];
  joint: { weights: number[][]; f: number; freedom1: number; freedom2: number; p: number }[];
  means: {
    factor: string;
    at: Record<string, number> | null;
    level: string[];
    mean: number[];
    se: number[];
    freedom: number[];
    lower: number[];
    upper: number[];
  }[];
}

interface Case {
  name: string;
  data: string;
  fixed: string[];
  slopes: string[];
  correlated: boolean;
  found: Found;
}

const table = reference<Case>('mixed-model-lme4');
const data = table.data as Record<string, Record<string, (number | string)[]>>;
const tolerance = table.tolerance as unknown as Record<'deviance' | 'effect' | 'variance' | 'freedom', number>;
const list = (values: number[] | number): number[] => (Array.isArray(values) ? values : [values]);

const fitOf = (from: string, fixed: string[], slopes: string[], criterion: 'REML' | 'ML', correlated = true) => {
  const model: ModelDescription = {
    response: 'trunk_lean_deg',
    fixed,
    random: { group: 'athlete_id', slopes, correlated },
    criterion,
  };
  return mixedModel(data[from], model);
};

describe.each(table.cases)('$name: against lme4 and lmerTest', ({ data: from, fixed, slopes, correlated, found }) => {
  const fit = fitOf(from, fixed, slopes, found.criterion, correlated);

  test('criterion, AIC and BIC; never above lme4', () => {
    expectClose(fit.deviance, found.deviance, tolerance.deviance, 'deviance');
    expectClose(fit.aic, found.aic, tolerance.deviance, 'AIC');
    expectClose(fit.bic, found.bic, tolerance.deviance, 'BIC');
    expect(fit.deviance).toBeLessThan(found.deviance + 1e-9);
    expect([fit.singular, fit.converged]).toEqual([found.singular, true]);
  });

  test('fixed effects, SE, freedom and p', () => {
    fit.fixedEffects.forEach((effect, j) => {
      const { estimate, se, freedom, t, p } = found.effects;
      expectClose(effect.estimate, estimate[j], tolerance.effect * se[j], `${effect.name} estimate`);
      expectClose(effect.se / se[j], 1, tolerance.variance, `${effect.name} SE`);
      expectClose(effect.freedom / freedom[j], 1, tolerance.freedom, `${effect.name} freedom`);
      expectClose(effect.t, t[j], 3 * tolerance.variance * Math.max(1, Math.abs(t[j])), `${effect.name} t`);
      // A relative change of t and freedom moves ln p by up to t² of it.
      expectClose(Math.log(effect.p / p[j]), 0, tolerance.freedom * (1 + t[j] ** 2), `${effect.name} ln p`);
    });
  });

  test('spread, conditional modes and fitted values', () => {
    const sds = list(found.sds);
    fit.randomSds.forEach(({ name, sd }, i) => {
      expectClose(sd, sds[i], tolerance.variance * Math.max(sds[i], 0.1), `SD of ${name}`);
    });
    if (correlated)
      expectAllClose(
        fit.randomCorrelations.map((c) => c.correlation),
        list(found.correlations),
        5 * tolerance.variance,
        'correlations',
      );
    expectClose(fit.residualSd / found.residual, 1, tolerance.variance, 'residual SD');
    const scale = fit.residualSd;
    fit.groups.forEach(({ group, modes }, g) => {
      expectAllClose(modes, found.modes[g], 2 * tolerance.variance * scale, `modes of ${group}`);
    });
    expectAllClose(fit.fitted, found.fitted, 2 * tolerance.variance * scale, 'fitted');
  });

  if (found.contrasts.length > 0) {
    test('contrasts', () => {
      for (const { weights, estimate, se, freedom, p } of found.contrasts) {
        const own = contrast(fit, weights);
        expectClose(own.estimate, estimate, tolerance.effect * se, 'estimate');
        expectClose(own.se / se, 1, tolerance.variance, 'SE');
        expectClose(own.freedom / freedom, 1, tolerance.freedom, 'freedom');
        expectClose(Math.log(own.p / p), 0, tolerance.freedom * (1 + own.t ** 2), 'ln p');
      }
    });

    test('several contrasts at once', () => {
      for (const { weights, f, freedom1, freedom2, p } of found.joint) {
        const own = jointTest(fit, weights);
        expectClose(own.f / f, 1, 3 * tolerance.variance, 'F');
        expect(own.freedom1).toBe(freedom1);
        expectClose(own.freedom2 / freedom2, 1, tolerance.freedom, 'denominator');
        expectClose(Math.log(own.p / p), 0, tolerance.freedom * (1 + freedom1 * f), 'ln p');
      }
    });

    test('marginal means against emmeans', () => {
      for (const { factor, at, level, mean, se, freedom, lower, upper } of found.means) {
        const own = marginalMeans(fit, [factor], at ?? {});
        expect(own.map((m) => m.levels[factor])).toEqual(level);
        own.forEach((m, i) => {
          expectClose(m.estimate, mean[i], tolerance.effect * se[i], `${m.name} mean`);
          expectClose(m.se / se[i], 1, tolerance.variance, `${m.name} SE`);
          expectClose(m.freedom / freedom[i], 1, tolerance.freedom, `${m.name} freedom`);
          expectClose(m.lower, lower[i], 10 * tolerance.variance * se[i], `${m.name} lower`);
          expectClose(m.upper, upper[i], 10 * tolerance.variance * se[i], `${m.name} upper`);
        });
      }
    });
  }
});

describe('likelihood-ratio tests against anova of lme4', () => {
  const ratios = table.ratios as Record<
    string,
    { small: string[]; smallSlopes: string[]; statistic: number; freedom: number; p: number }
  >;
  const large = fitOf('plain', table.cases[1].fixed, ['heel_height_mm'], 'ML');

  test.each(Object.entries(ratios))('%s', (_, { small, smallSlopes, statistic, freedom, p }) => {
    const found = likelihoodRatio(fitOf('plain', small, smallSlopes, 'ML'), large);
    expectClose(found.statistic, statistic, 2 * tolerance.deviance, 'statistic');
    expect(found.freedom).toBe(freedom);
    expectClose(found.p / p, 1, 1e-6, 'p');
  });
});
