import { describe, expect, test } from '@jest/globals';
import * as fc from 'fast-check';
import { DataError } from '../../../../src/errors.ts';
import { mean, standardDeviation } from '../../../../src/numerics/statistics.ts';
import { mixedModel } from '../../../../src/study/statistics/mixed-model/fit.ts';
import type { MixedFit } from '../../../../src/study/statistics/mixed-model/mixed-fit.ts';
import { expectAllClose, expectClose } from '../../../expect-close.ts';
import { type MadeStudy, MODEL, madeStudy, TRUTH } from './made-study.ts';

const codeOf = (run: () => unknown): string => {
  try {
    run();
  } catch (error) {
    if (error instanceof DataError) return error.code;
    throw error;
  }
  return 'no error';
};

describe('closed forms of balanced designs', () => {
  test('one-way: REML gives the components of the analysis of variance (Searle, Casella & McCulloch 1992, ch. 3)', () => {
    const groups = [
      [5.1, 6.0, 5.5, 4.9],
      [7.2, 8.1, 7.7, 7.9],
      [6.0, 6.4, 5.2, 6.9],
      [9.0, 8.2, 8.8, 9.5],
      [4.0, 5.2, 4.1, 4.4],
    ];
    const [m, r] = [5, 4];
    const means = groups.map(mean);
    const between = r * standardDeviation(means) ** 2;
    const within = groups.reduce((sum, g) => sum + standardDeviation(g) ** 2, 0) / m;
    const fit = mixedModel(
      { y: groups.flat(), g: groups.flatMap((g, i) => g.map(() => `g${i}`)) },
      { response: 'y', fixed: [], random: { group: 'g' } },
    );
    expectClose(fit.residualSd ** 2, within, 1e-9, 'within');
    expectClose(fit.randomSds[0].sd ** 2, (between - within) / r, 1e-9, 'between');
    const [{ estimate, se, freedom }] = fit.fixedEffects;
    expectClose(estimate, mean(groups.flat()), 1e-12, 'mean');
    expectClose(se, Math.sqrt(between / (m * r)), 1e-10, 'SE');
    expectClose(freedom, m - 1, 1e-7, 'freedom');
    // Shrinkage of a group's mean: r σ_b² / (r σ_b² + σ²) = 1 − within / between.
    fit.groups.forEach(({ modes }, i) => {
      expectClose(modes[0], (1 - within / between) * (means[i] - estimate), 1e-9, `mode ${i}`);
    });
  });

  test('one row a condition: the contrast is the paired t-test', () => {
    const narrow = [41.2, 38.5, 45.1, 50.3, 36.9, 44.4, 47.0];
    const wide = [44.0, 40.9, 46.2, 55.8, 39.0, 49.1, 48.3];
    const differences = wide.map((w, i) => w - narrow[i]);
    const fit = mixedModel(
      {
        y: [...narrow, ...wide],
        stance: [...narrow.map(() => 'narrow'), ...wide.map(() => 'wide')],
        g: [...narrow, ...wide].map((_, i) => `g${i % 7}`),
      },
      { response: 'y', fixed: ['stance'], random: { group: 'g' } },
    );
    const [, effect] = fit.fixedEffects;
    const se = standardDeviation(differences) / Math.sqrt(7);
    expectClose(effect.estimate, mean(differences), 1e-10, 'difference');
    expectClose(effect.se, se, 1e-9, 'SE');
    expectClose(effect.freedom, 6, 1e-7, 'freedom');
    // t(6) at 97.5 %: 2.446912 in every printed table.
    expectClose(effect.upper, mean(differences) + 2.446912 * se, 1e-6, 'upper end');
  });
});

describe('what the fit must not hang on', () => {
  const base = madeStudy(5);
  const fit = mixedModel(base, MODEL);
  const same = (other: MixedFit, scale = 1) => {
    expectClose(other.residualSd / scale, fit.residualSd, 1e-7, 'residual SD');
    expectAllClose(
      other.randomSds.map(({ sd }) => sd / scale),
      fit.randomSds.map(({ sd }) => sd),
      1e-6,
      'SDs',
    );
    expectAllClose(
      other.fixedEffects.flatMap(({ estimate, se, lower }) => [estimate / scale, se / scale, lower / scale]),
      fit.fixedEffects.flatMap(({ estimate, se, lower }) => [estimate, se, lower]),
      1e-6,
      'fixed effects',
    );
    expectAllClose(
      other.fixedEffects.map(({ freedom }) => freedom),
      fit.fixedEffects.map(({ freedom }) => freedom),
      1e-4,
      'freedom',
    );
  };

  test('the order of the rows', () => {
    const n = base.stance.length;
    fc.assert(
      fc.property(fc.shuffledSubarray([...Array(n).keys()], { minLength: n, maxLength: n }), (order) => {
        const shuffled = Object.fromEntries(
          Object.entries(base).map(([name, column]) => [name, order.map((i) => column[i])]),
        ) as unknown as MadeStudy;
        const other = mixedModel(shuffled, MODEL);
        same(other);
        expectClose(other.deviance, fit.deviance, 1e-9, 'deviance');
        expectAllClose(
          other.fitted,
          order.map((i) => fit.fitted[i]),
          1e-5,
          'fitted',
        );
      }),
      { numRuns: 10, seed: 1 },
    );
  });

  test('the unit of the response, from 1e-6 to 1e6', () => {
    for (const scale of [1e-6, 0.01, 1000, 1e6]) {
      const other = mixedModel({ ...base, trunk_lean_deg: base.trunk_lean_deg.map((y) => y * scale) }, MODEL);
      same(other, scale);
      const rows = fit.n - fit.fixedEffects.length;
      expectClose(other.deviance, fit.deviance + 2 * rows * Math.log(scale), 1e-8, 'deviance');
    }
  });

  test('the names of the groups', () => {
    same(mixedModel({ ...base, athlete_id: base.athlete_id.map((id) => `${9 - Number(id.slice(1))}`) }, MODEL));
  });

  test('unit and origin of a covariate with a random slope', () => {
    const moved = mixedModel({ ...base, heel_height_mm: base.heel_height_mm.map((h) => 1000 + h / 10) }, MODEL);
    expectClose(moved.residualSd, fit.residualSd, 1e-7, 'residual SD');
    expectClose(moved.fixedEffects[1].estimate, 10 * fit.fixedEffects[1].estimate, 1e-6, 'slope');
    expectClose(moved.fixedEffects[1].freedom, fit.fixedEffects[1].freedom, 1e-4, 'freedom of the slope');
    expectAllClose(moved.fitted, fit.fitted, 1e-5, 'fitted');
    const back = mixedModel(
      { ...base, heel_height_mm: base.heel_height_mm.map((h) => 1000 + h / 10) },
      { ...MODEL, centre: { heel_height_mm: 1000 } },
    );
    expectClose(back.randomSds[0].sd, fit.randomSds[0].sd, 1e-6, 'SD at the old origin');
    expectClose(back.fixedEffects[0].estimate, fit.fixedEffects[0].estimate, 1e-6, 'intercept at the old origin');
  });

  test('which level is the reference', () => {
    const other = mixedModel(base, { ...MODEL, factors: { stance: { reference: 'wide' } } });
    expect(other.factors).toEqual([{ name: 'stance', levels: ['wide', 'narrow'] }]);
    expectClose(other.fixedEffects[2].estimate, -fit.fixedEffects[2].estimate, 1e-8, 'contrast');
    expectClose(other.fixedEffects[2].p / fit.fixedEffects[2].p, 1, 1e-6, 'p');
  });
});

describe('at the edge', () => {
  test('groups less apart than chance: SD 0, said so, and ordinary least squares', () => {
    const base = madeStudy(3, { ...TRUTH, effects: [42, 0, 0], sdIntercept: 0, sdSlope: 0 });
    const ids = [...new Set(base.athlete_id)];
    const means = new Map(ids.map((id) => [id, mean(base.trunk_lean_deg.filter((_, i) => base.athlete_id[i] === id))]));
    const flat = { ...base, trunk_lean_deg: base.trunk_lean_deg.map((y, i) => y - means.get(base.athlete_id[i])!) };
    const fit = mixedModel(flat, { ...MODEL, random: { group: 'athlete_id' } });
    expect(fit.singular).toBe(true);
    expect(fit.randomSds[0].sd).toBe(0);
    expect(fit.notes.map(({ code }) => code)).toEqual(['singular']);
    for (const { freedom } of fit.fixedEffects) expectClose(freedom, fit.n - 3, 1e-6, 'freedom of least squares');
    for (const { modes } of fit.groups) expect(modes).toEqual([0]);
  });

  test('a slope that is the same multiple of the intercept: correlation ±1', () => {
    // Of made studies with this truth about two in three come out at the edge; this one does.
    const base = madeStudy(8, { ...TRUTH, correlation: 1 });
    for (const sign of [1, -1]) {
      const fit = mixedModel({ ...base, heel_height_mm: base.heel_height_mm.map((h) => sign * h) }, MODEL);
      expect([fit.singular, fit.converged]).toEqual([true, true]);
      expectClose(fit.randomCorrelations[0].correlation, sign, 1e-9, 'correlation');
      for (const { freedom } of fit.fixedEffects) expect(freedom).toBeGreaterThan(1);
    }
  });

  test('no spread of slopes: its SD 0', () => {
    const fit = mixedModel(madeStudy(8, { ...TRUTH, sdSlope: 0 }), {
      ...MODEL,
      random: { group: 'athlete_id', slopes: ['heel_height_mm'], correlated: false },
    });
    expect(fit.singular).toBe(true);
    expect(fit.randomSds[1].sd).toBe(0);
    expect(fit.randomCorrelations[0].correlation).toBe(0);
  });
});

test('rows without a value are dropped, counted and named; fitted values stay at their rows', () => {
  const base = madeStudy(5);
  const heights: (number | null)[] = base.heel_height_mm.slice();
  const leans = base.trunk_lean_deg.slice();
  heights[3] = null;
  heights[7] = null;
  leans[7] = Number.NaN;
  const fit = mixedModel({ ...base, heel_height_mm: heights, trunk_lean_deg: leans }, MODEL);
  const kept = base.stance.map((_, i) => i).filter((i) => i !== 3 && i !== 7);
  const whole = mixedModel(
    Object.fromEntries(Object.entries(base).map(([name, column]) => [name, kept.map((i) => column[i])])),
    MODEL,
  );
  expect([fit.n, fit.tableRows, fit.missing]).toEqual([base.stance.length - 2, base.stance.length, 2]);
  expect(fit.dropped.map(({ column, rows }) => [column, rows])).toEqual([
    ['heel_height_mm', 1],
    ['trunk_lean_deg', 1],
  ]);
  expect(fit.fitted[3]).toBeNaN();
  expectAllClose(
    kept.map((i) => fit.fitted[i]),
    whole.fitted,
    1e-12,
    'fitted',
  );
});

test('few groups are said', () => {
  const fit = mixedModel(madeStudy(2, { ...TRUTH, athletes: 4 }), MODEL);
  expect(fit.notes.map(({ code }) => code)).toContain('few-groups');
});

test('a response that the model describes exactly is refused', () => {
  const base = madeStudy(5);
  const exact = base.heel_height_mm.map((h) => 40 + 0.3 * h);
  expect(codeOf(() => mixedModel({ ...base, trunk_lean_deg: exact }, MODEL))).toBe('mixed-no-residual');
  const copied = base.athlete_id.map((id, i) => 40 + Number(id.slice(1)) ** 2 + 0.3 * base.heel_height_mm[i]);
  expect(codeOf(() => mixedModel({ ...base, trunk_lean_deg: copied }, MODEL))).toBe('mixed-no-residual');
  expect(codeOf(() => mixedModel({ ...base, trunk_lean_deg: exact.map(() => 7) }, MODEL))).toBe('mixed-no-residual');
});
