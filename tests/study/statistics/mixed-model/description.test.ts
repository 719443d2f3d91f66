import { describe, expect, test } from '@jest/globals';
import { DataError } from '../../../../src/errors.ts';
import { checkDescription, type ModelDescription } from '../../../../src/study/statistics/mixed-model/description.ts';
import { mixedModel } from '../../../../src/study/statistics/mixed-model/fit.ts';
import type { ModelTable } from '../../../../src/study/statistics/mixed-model/model-rows.ts';
import { MODEL, madeStudy } from './made-study.ts';

const base = madeStudy(5);
const faultOf = (model: unknown, table: ModelTable = { ...base }): [string, DataError['facts']] => {
  try {
    mixedModel(table, model as ModelDescription);
  } catch (error) {
    if (error instanceof DataError) return [error.code, error.facts];
    throw error;
  }
  return ['no error', {}];
};
const with_ = (change: object) => ({ ...MODEL, ...change });

test('what is left out has its default', () => {
  expect(checkDescription({ response: 'y', fixed: ['a'], random: { group: 'g' } })).toMatchObject({
    random: { slopes: [], correlated: true },
    criterion: 'REML',
    factors: {},
    centre: {},
  });
});

describe('descriptions that are refused', () => {
  test.each([
    ['no response', { fixed: [], random: { group: 'g' } }, 'mixed-description'],
    ['an unknown field', with_({ fixd: [] }), 'mixed-description'],
    ['another criterion', with_({ criterion: 'PQL' }), 'mixed-description'],
    ['the response among the fixed', with_({ fixed: ['trunk_lean_deg'] }), 'mixed-description'],
    ['the group among the fixed', with_({ fixed: ['athlete_id'] }), 'mixed-description'],
    ['a square by an interaction', with_({ fixed: ['stance', 'stance:stance'] }), 'mixed-description'],
    ['a term twice', with_({ fixed: ['stance', 'heel_height_mm', 'stance'] }), 'mixed-term-twice'],
    [
      'an interaction twice',
      with_({ fixed: ['stance', 'heel_height_mm', 'stance:heel_height_mm', 'heel_height_mm:stance'] }),
      'mixed-term-twice',
    ],
    ['an interaction alone', with_({ fixed: ['stance', 'stance:heel_height_mm'] }), 'mixed-interaction-alone'],
    ['an unknown column', with_({ fixed: ['stanse'] }), 'mixed-no-column'],
    ['an unused factor', with_({ factors: { shoe: {} } }), 'mixed-column-unused'],
    ['a centred factor', with_({ centre: { stance: 'mean' } }), 'mixed-centred-factor'],
    ['an unknown reference', with_({ factors: { stance: { reference: 'sumo' } } }), 'mixed-no-reference-level'],
  ])('%s', (_, model, code) => {
    expect(faultOf(model)[0]).toBe(code);
  });

  test('a mistyped column is told the near one', () => {
    expect(faultOf(with_({ fixed: ['stanse'] }))[1]).toEqual({ column: 'stanse', meant: 'stance' });
  });
});

describe('tables that are refused', () => {
  const n = base.stance.length;
  const column = (value: (i: number) => unknown) => Array.from({ length: n }, (_, i) => value(i)) as number[];
  test.each<[string, object, object, string, object]>([
    ['columns of two lengths', { stance: ['wide'] }, {}, 'mixed-columns-uneven', { rows: 1, wanted: n }],
    [
      'a word among numbers',
      { heel_height_mm: column((i) => (i === 4 ? 'low' : i)) },
      {},
      'mixed-not-a-number',
      { column: 'heel_height_mm', row: 5, value: 'low' },
    ],
    [
      'an infinite response',
      { trunk_lean_deg: column((i) => (i === 2 ? Number.POSITIVE_INFINITY : i)) },
      {},
      'mixed-not-a-number',
      { row: 3 },
    ],
    ['numbers as text', { heel_height_mm: column(String) }, {}, 'mixed-numbers-as-text', {}],
    ['one level', { stance: column(() => 'wide') }, {}, 'mixed-one-level', { level: 'wide', rows: n }],
    ['a constant covariate', { heel_height_mm: column(() => 5) }, {}, 'mixed-constant-covariate', { value: 5 }],
    ['nothing in a column', { stance: column(() => null) }, {}, 'mixed-no-rows', { rows: n }],
    [
      'two names of one thing',
      { stance: column((i) => base.stance[i]), width: column((i) => (base.stance[i] === 'wide' ? 2 : 1)) },
      { fixed: ['stance', 'width'], random: { group: 'athlete_id' } },
      'mixed-rank-deficient',
      { columns: 'width', rank: 2, of: 3 },
    ],
    [
      'a combination that no row has',
      { shoe: column((i) => (base.stance[i] === 'wide' ? 'flat' : i % 2 ? 'flat' : 'lifted')) },
      { fixed: ['stance', 'shoe', 'stance:shoe'], random: { group: 'athlete_id' } },
      'mixed-rank-deficient',
      { empty: 'stance[wide]:shoe[lifted]' },
    ],
    [
      'a slope of what does not change within an athlete',
      { mass_kg: column((i) => 70 + base.athlete_id[i].charCodeAt(1)) },
      { fixed: ['mass_kg'], random: { group: 'athlete_id', slopes: ['mass_kg'] } },
      'mixed-slope-between-only',
      { column: 'mass_kg' },
    ],
    [
      'two slopes of one thing',
      { heel_height_cm: column((i) => base.heel_height_mm[i] / 10) },
      { random: { group: 'athlete_id', slopes: ['heel_height_mm', 'heel_height_cm'] } },
      'mixed-random-dependent',
      { columns: 'heel_height_cm' },
    ],
    [
      'one athlete',
      { athlete_id: column(() => 'A') },
      { random: { group: 'athlete_id' } },
      'mixed-too-few-groups',
      { groups: 1, least: 2 },
    ],
    [
      'an athlete a row',
      { athlete_id: column((i) => `A${i}`) },
      { random: { group: 'athlete_id' } },
      'mixed-too-many-random-effects',
      { rows: n, groups: n },
    ],
  ])('%s', (_, change, model, code, facts) => {
    const [found, said] = faultOf({ ...MODEL, ...model }, { ...base, ...change } as ModelTable);
    expect(found).toBe(code);
    expect(said).toMatchObject(facts);
  });

  test('as few rows as effects', () => {
    const few = { ...base };
    for (const name of ['trunk_lean_deg', 'heel_height_mm', 'stance', 'athlete_id'] as const)
      few[name] = base[name].slice(0, 3) as never;
    few.stance = ['wide', 'narrow', 'wide'];
    expect(faultOf(MODEL, few)).toEqual(['mixed-too-few-rows', { rows: 3, effects: 3 }]);
  });
});

test('a number listed as a factor is one; levels by size', () => {
  const fit = mixedModel(
    { ...base },
    with_({
      fixed: ['heel_height_mm'],
      factors: { heel_height_mm: { reference: '10' } },
      random: { group: 'athlete_id' },
    }) as ModelDescription,
  );
  expect(fit.factors[0].levels).toEqual(['10', '0', '5', '15', '20', '25']);
  expect(fit.fixedEffects.map(({ name }) => name)[1]).toBe('heel_height_mm[0]');
});

test('names of interactions of two factors and a covariate', () => {
  const shoe = base.stance.map((_, i) => ['flat', 'lifted', 'wedge'][i % 3]);
  const fit = mixedModel(
    { ...base, shoe },
    with_({
      fixed: ['shoe', 'stance', 'shoe:stance', 'heel_height_mm', 'heel_height_mm:stance'],
      centre: { heel_height_mm: 'mean' },
    }) as ModelDescription,
  );
  expect(fit.fixedEffects.map(({ name }) => name)).toEqual([
    '(intercept)',
    'shoe[lifted]',
    'shoe[wedge]',
    'stance[wide]',
    'shoe[lifted]:stance[wide]',
    'shoe[wedge]:stance[wide]',
    'heel_height_mm',
    'heel_height_mm:stance[wide]',
  ]);
  const heights = base.heel_height_mm;
  expect(fit.covariates[0].centre).toBeCloseTo(heights.reduce((a, b) => a + b) / heights.length, 12);
});
