import { describe, expect, test } from '@jest/globals';
import type { ComparisonFile } from '../../../src/capture/comparison-file.ts';
import { checkedComparison, USUAL_OUTCOMES } from '../../../src/study/cohort/checked-comparison.ts';
import { dataError } from '../../capture/written-files.ts';
import { madeComparison, madeRecording } from './made-study.ts';

const checked = (block: ComparisonFile) => checkedComparison(madeComparison(block, ['heel', 'belt']));

test('no block, no comparison', () => expect(checkedComparison({ file: 'study.yaml' })).toBeNull());

test('the usual outcomes are measures at places where they are read', () => {
  const again = checked({
    outcomes: USUAL_OUTCOMES.map(({ measure, side, at }) => ({ measure, at, ...(side !== '' && { side }) })),
    predictors: ['sex'],
  });
  expect(again!.outcomes).toEqual(USUAL_OUTCOMES);
});

test('places and sides are filled in where there is one only; columns are snake_case', () => {
  const found = checked({
    outcomes: [{ measure: 'knee_over_toe', at: 'bottom' }, { measure: 'stance_per_hip_width' }],
    predictors: ['femur_per_trunk', 'toe_out', 'trunk_lean@parallel descent', 'condition_heel', 'week', 'load_kg'],
    interactions: ['load_kg:trunk_lean@parallel descent'],
    slopes: ['trunk_lean@parallel descent'],
    centre: { 'trunk_lean@parallel descent': 30 },
    factors: { condition_heel: { reference: 'flat' } },
  })!;
  expect(found.outcomes).toEqual([
    { measure: 'knee_over_toe', side: 'both', at: 'bottom' },
    { measure: 'stance_per_hip_width', side: '', at: 'start' },
  ]);
  expect(found.predictors.map(({ column }) => column)).toEqual([
    'femur_per_trunk',
    'toe_out',
    'trunk_lean_parallel_descent',
    'condition_heel',
    'week',
    'load_kg',
  ]);
  expect(found.predictors[0]).toMatchObject({ of: { at: 'set', side: '' }, ofBody: true });
  expect(found.predictors[1]).toMatchObject({ of: { at: 'start', side: 'both' }, ofBody: false });
  expect(found).toMatchObject({
    interactions: ['load_kg:trunk_lean_parallel_descent'],
    slopes: ['trunk_lean_parallel_descent'],
    centre: { trunk_lean_parallel_descent: 30 },
    factors: { condition_heel: { reference: 'flat' } },
  });
});

describe('names that are not known name file, line, field and what was meant', () => {
  const sex = ['sex'];
  const lean = [{ measure: 'trunk_lean', at: 'bottom' }];
  test.each<[string, ComparisonFile, string, string, string | undefined]>([
    [
      'measure',
      { outcomes: [{ measure: 'hip_shar' }], predictors: sex },
      'measure-unknown',
      'outcomes[0].measure',
      'hip_share',
    ],
    ['no place', { outcomes: [{ measure: 'hip_share' }], predictors: sex }, 'place-unknown', 'outcomes[0].at', ''],
    [
      'place',
      { outcomes: [{ measure: 'hip_share', at: 'paralel' }], predictors: sex },
      'place-unknown',
      'outcomes[0].at',
      'parallel',
    ],
    [
      'side',
      { outcomes: [{ measure: 'trunk_lean', at: 'bottom', side: 'left' }], predictors: sex },
      'side-unknown',
      'outcomes[0].side',
      undefined,
    ],
    [
      'which side',
      { outcomes: [{ measure: 'knee_abductor_moment_shared' }], predictors: sex },
      'side-unknown',
      'outcomes[0].side',
      undefined,
    ],
    ['outcome twice', { outcomes: [...lean, ...lean], predictors: sex }, 'twice', 'outcomes[1].measure', undefined],
    [
      'predictor',
      { outcomes: lean, predictors: ['sex', 'heel_hight_mm'] },
      'predictor-unknown',
      'predictors[1]',
      'heel_height_mm',
    ],
    [
      'measure as predictor',
      { outcomes: lean, predictors: ['femur_per_trnk'] },
      'predictor-unknown',
      'predictors[0]',
      'femur_per_trunk',
    ],
    [
      'factor of the recordings',
      { outcomes: lean, predictors: ['belt'] },
      'predictor-unknown',
      'predictors[0]',
      'condition_belt',
    ],
    [
      'condition',
      { outcomes: lean, predictors: ['condition_heal'] },
      'predictor-unknown',
      'predictors[0]',
      'condition_heel',
    ],
    [
      'place of a predictor',
      { outcomes: lean, predictors: ['hip_share@botom'] },
      'place-unknown',
      'predictors[0]',
      'bottom',
    ],
    ['predictor twice', { outcomes: lean, predictors: ['sex', 'sex'] }, 'twice', 'predictors[1]', undefined],
    [
      'explains itself',
      { outcomes: lean, predictors: ['trunk_lean@bottom'] },
      'outcome-as-predictor',
      'predictors[0]',
      undefined,
    ],
    [
      'interaction',
      { outcomes: lean, predictors: sex, interactions: ['sex:week'] },
      'not-a-predictor',
      'interactions[0]',
      '',
    ],
    [
      'slope',
      { outcomes: lean, predictors: ['load_kg'], slopes: ['load_k'] },
      'not-a-predictor',
      'slopes[0]',
      'load_kg',
    ],
    [
      'factor',
      { outcomes: lean, predictors: ['week'], factors: { week: {} } },
      'measured-factor',
      'factors.week',
      undefined,
    ],
    ['centre', { outcomes: lean, predictors: sex, centre: { sex: 0 } }, 'factor-centred', 'centre.sex', undefined],
  ])('%s', (_, block, code, field, suggestion) => {
    const error = dataError(() => checked(block));
    expect([error.code, error.facts.field, error.facts.suggestion]).toEqual([
      `comparison-${code}`,
      `comparison.${field}`,
      suggestion,
    ]);
    expect([error.facts.file, error.facts.line]).toEqual(['study.yaml', 7]);
  });
});

describe('curves across depth', () => {
  const curves = (...some: NonNullable<ComparisonFile['curves']>) => checked({ predictors: ['sex'], curves: some });
  const cards = [0, 0.015].map((heelHeightM, i) => ({
    ...madeRecording(`r${i}`, 'A', { heelHeightM, condition: { heel: i === 0 ? 'flat' : 'raised' } }, []).recording,
  }));
  const withCards = (by: string, levels: [string | number, string | number]) =>
    checkedComparison({
      ...madeComparison({ predictors: ['sex'], curves: [{ quantity: 'hip_share', by, levels }] }, ['heel', 'belt']),
      cards,
    });

  test('left out: the usual one, which the data will tell; else names, sides and levels as text', () => {
    expect(checked({ predictors: ['sex'] })!.curves).toBeNull();
    expect(curves()!.curves).toEqual([]);
    expect(
      curves(
        { quantity: 'hip_share', by: 'heel_height_mm', levels: [0, 15] },
        { quantity: 'trunk_lean', by: 'trunk_lean@parallel', design: 'covariate' },
      )!.curves,
    ).toMatchObject([
      { quantity: 'hip_share', side: 'both', by: { column: 'heel_height_mm' }, levels: ['0', '15'], design: null },
      { quantity: 'trunk_lean', side: '', by: { column: 'trunk_lean_parallel' }, levels: null, design: 'covariate' },
    ]);
  });

  test.each<[string, () => unknown, string, object]>([
    [
      'quantity',
      () => curves({ quantity: 'hip_shares', by: 'sex' }),
      'comparison-curve-unknown',
      { field: 'comparison.curves[0].quantity', suggestion: 'hip_share' },
    ],
    [
      'by',
      () => curves({ quantity: 'hip_share', by: 'heel_hight_mm' }),
      'comparison-predictor-unknown',
      { field: 'comparison.curves[0].by', suggestion: 'heel_height_mm' },
    ],
    [
      'twice',
      () =>
        curves({ quantity: 'hip_share', by: 'load_kg' }, { quantity: 'hip_share', by: 'load_kg', levels: [20, 40] }),
      'comparison-twice',
      { field: 'comparison.curves[1].quantity' },
    ],
    [
      'levels of a measured number',
      () => curves({ quantity: 'hip_share', by: 'femur_per_trunk', levels: [1, 2] }),
      'comparison-measured-factor',
      { field: 'comparison.curves[0].levels' },
    ],
    [
      'a level against itself',
      () => curves({ quantity: 'hip_share', by: 'load_kg', levels: [20, 20] }),
      'comparison-curve-levels-alike',
      {},
    ],
    [
      'levels along a covariate',
      () => curves({ quantity: 'hip_share', by: 'load_kg', levels: [20, 40], design: 'covariate' }),
      'comparison-curve-levels-of-covariate',
      {},
    ],
    [
      'words as a covariate',
      () => curves({ quantity: 'hip_share', by: 'sex', design: 'covariate' }),
      'comparison-curve-words-as-covariate',
      { field: 'comparison.curves[0].design' },
    ],
    [
      'a level that no recording states',
      () => withCards('condition_heel', ['flat', 'rased']),
      'comparison-curve-level-unknown',
      { file: 'study.yaml', line: 7, suggestion: 'raised' },
    ],
    [
      'a height that no recording states',
      () => withCards('heel_height_mm', [0, 16]),
      'comparison-curve-level-unknown',
      { by: 'heel_height_mm', name: '16' },
    ],
  ])('refused: %s', (_, run, code, facts) => {
    const error = dataError(run);
    expect(error.code).toBe(code);
    expect(error.facts).toMatchObject(facts);
  });

  test('levels that recordings state pass', () => {
    expect(withCards('heel_height_mm', [15, 0])!.curves![0].levels).toEqual(['15', '0']);
    expect(withCards('condition_heel', ['flat', 'raised'])).not.toBeNull();
  });
});
