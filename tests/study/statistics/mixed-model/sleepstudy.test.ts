import { describe, expect, test } from '@jest/globals';
import { mixedModel } from '../../../../src/study/statistics/mixed-model/fit.ts';
import { expectClose } from '../../../expect-close.ts';
import { reference } from '../../../reference.ts';

const study = reference<{ subject: string; reactionMs: number[] }>('mixed-model-sleepstudy');
const table = {
  subject: study.cases.flatMap(({ subject, reactionMs }) => reactionMs.map(() => subject)),
  days: study.cases.flatMap(({ reactionMs }) => reactionMs.map((_, day) => day)),
  reaction_ms: study.cases.flatMap(({ reactionMs }) => reactionMs),
};
const fitted = (criterion: 'REML' | 'ML', slope: boolean) =>
  mixedModel(table, {
    response: 'reaction_ms',
    fixed: ['days'],
    random: { group: 'subject', slopes: slope ? ['days'] : [] },
    criterion,
  });

/** Half of the last printed digit. */
const printed = (actual: number, [value, digits]: [number, number], what: string) =>
  expectClose(actual, value, study.tolerance * 10 ** -digits, what);

test('Bates et al. (2015): every number of the printed REML fit', () => {
  const fit = fitted('REML', true);
  const p = study.printed as Record<string, [number, number]>;
  const [intercept, days] = fit.fixedEffects;
  printed(fit.deviance, p.remlCriterion, 'REML criterion');
  printed(intercept.estimate, p.intercept, 'intercept');
  printed(intercept.se, p.interceptSe, 'SE of the intercept');
  printed(days.estimate, p.days, 'days');
  printed(days.se, p.daysSe, 'SE of days');
  printed(fit.randomSds[0].sd, p.sdIntercept, 'SD of the intercept');
  printed(fit.randomSds[1].sd, p.sdDays, 'SD of days');
  printed(fit.residualSd, p.residual, 'residual SD');
  printed(fit.randomCorrelations[0].correlation, p.correlation, 'correlation');
  expect([fit.n, fit.groups.length, fit.missing, fit.singular, fit.converged]).toEqual([180, 18, 0, false, true]);
});

test('Satterthwaite: 17 degrees of freedom for both effects', () => {
  // Balanced and complete: an effect's variance is a mean square between 18 subjects, and 17 is exact.
  for (const { freedom, name } of fitted('REML', true).fixedEffects) expectClose(freedom, 17, 1e-7, name);
});

describe('against an independent program', () => {
  test.each(
    study.recomputed as {
      criterion: 'REML' | 'ML';
      slope: boolean;
      deviance: number;
      se: number[];
      sds: number[];
      correlation?: number;
      residual: number;
    }[],
  )('$criterion, random slope $slope', ({ criterion, slope, deviance, se, sds, correlation, residual }) => {
    const fit = fitted(criterion, slope);
    printed(fit.deviance, [deviance, 4], 'deviance');
    fit.fixedEffects.forEach((effect, j) => {
      printed(effect.se, [se[j], 5], `SE of ${effect.name}`);
    });
    // That program's own search ended within a few units of its fifth digit.
    fit.randomSds.forEach(({ sd, name }, j) => {
      expectClose(sd, sds[j], 2e-5, name);
    });
    printed(fit.residualSd, [residual, 5], 'residual SD');
    if (correlation !== undefined) printed(fit.randomCorrelations[0].correlation, [correlation, 4], 'correlation');
  });
});
