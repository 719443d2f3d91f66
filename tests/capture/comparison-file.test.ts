import { describe, expect, test } from '@jest/globals';
import { loadStudy } from '../../src/capture/load-study.ts';
import { dataError, temporaryFolder, write } from './written-files.ts';

const folder = temporaryFolder();
const recording = (id: string, more = '') =>
  `kneeward: 1\nrecording: ${id}\nathlete: { id: A, mass_kg: 60 }\nlift: { kind: squat }\nload: { total_kg: 0 }\n` +
  `landmarks_3d: { file: points.csv, frame_rate_hz: 100, unit: m, axes: { forward: "+x", up: "+y" } }\n${more}`;
write(folder, 'one.yaml', recording('one', 'condition: { heel: raised, belt: true }\n'));
write(folder, 'two.yaml', recording('two', 'condition: { heel: flat }\n'));
const study = (text: string) =>
  write(folder, 'study.yaml', `kneeward: 1\nstudy: S1\nrecordings: [one.yaml, two.yaml]\n${text}`);

test('without the block a study compares nothing', () => expect(loadStudy(study('')).comparison).toBeUndefined());

test('the block with its defaults: usual outcomes, recordings as rows, free factors of all recordings', () => {
  const { comparison } = loadStudy(study('comparison: { predictors: [heel_height_mm] }\n'));
  expect(comparison).toEqual({
    outcomes: null,
    predictors: ['heel_height_mm'],
    interactions: [],
    slopes: [],
    factors: {},
    centre: {},
    rows: 'recordings',
    curves: null,
    conditions: ['belt', 'heel'],
    lines: { 'predictors[0]': 4 },
  });
});

test('the block in full, with the line of each name', () => {
  const { comparison, cards } = loadStudy(
    study(
      [
        'comparison:',
        '  outcomes:',
        '    - { measure: hip_share, at: parallel, side: both }',
        '    - measure: trunk_lean',
        '      at: parallel descent',
        '  predictors: [heel_height_mm, trunk_lean@parallel ascent, condition_belt]',
        '  interactions: [heel_height_mm:condition_belt, "heel_height_mm : trunk_lean@parallel ascent"]',
        '  slopes: [heel_height_mm]',
        '  factors:',
        '    condition_belt: { reference: false }',
        '  centre: { heel_height_mm: 15 }',
        '  curves:',
        '    - { quantity: hip_share, by: condition_heel, levels: [flat, raised] }',
        '    - quantity: trunk_lean',
        '      by: stature_m',
        '      design: covariate',
        '  rows: repetitions',
      ].join('\n'),
    ),
  );
  expect(comparison).toMatchObject({
    outcomes: [
      { measure: 'hip_share', at: 'parallel', side: 'both' },
      { measure: 'trunk_lean', at: 'parallel descent', side: null },
    ],
    interactions: ['heel_height_mm:condition_belt', 'heel_height_mm:trunk_lean@parallel ascent'],
    slopes: ['heel_height_mm'],
    factors: { condition_belt: { reference: 'false' } },
    centre: { heel_height_mm: 15 },
    rows: 'repetitions',
    curves: [
      { quantity: 'hip_share', by: 'condition_heel', levels: ['flat', 'raised'], design: null },
      { quantity: 'trunk_lean', by: 'stature_m', levels: null, design: 'covariate' },
    ],
    lines: {
      'curves[0].levels': 16,
      'curves[1].by': 18,
      'outcomes[0].measure': 6,
      'outcomes[1].at': 8,
      'predictors[2]': 9,
      'factors.condition_belt': 13,
    },
  });
  // Levels are looked up in what the recording files state.
  expect(cards?.map(({ condition }) => condition.heel)).toEqual(['raised', 'flat']);
});

describe('refused', () => {
  test.each([
    ['comparison: { outcomes: [{ measure: hip_share }] }', 'missing-field', 'comparison.predictors'],
    ['comparison: { predictors: [] }', 'wrong-type', 'comparison.predictors'],
    ['comparison: { predictors: [sex], outcome: [] }', 'unknown-field', 'comparison.outcome'],
    ['comparison: { predictors: [Heel Height] }', 'not-a-name', 'comparison.predictors[0]'],
    ['comparison: { predictors: [sex], interactions: [sex] }', 'not-a-name', 'comparison.interactions[0]'],
    ['comparison: { predictors: [sex], centre: { sex: middle } }', 'wrong-type', 'comparison.centre.sex'],
    [
      'comparison: { predictors: [sex], curves: [{ quantity: hip_share }] }',
      'missing-field',
      'comparison.curves[0].by',
    ],
    [
      'comparison: { predictors: [sex], curves: [{ quantity: x, by: sex, levels: [a] }] }',
      'wrong-type',
      'comparison.curves[0].levels',
    ],
    [
      'comparison: { predictors: [sex], curves: [{ quantity: x, by: sex, design: pared }] }',
      'not-a-choice',
      'comparison.curves[0].design',
    ],
    ['comparison: { predictors: [sex], rows: frames }', 'not-a-choice', 'comparison.rows'],
    [
      'comparison: { predictors: [sex], outcomes: [{ measure: x, side: lef }] }',
      'not-a-choice',
      'comparison.outcomes[0].side',
    ],
  ])('%s', (text, code, field) => {
    const error = dataError(() => loadStudy(study(`${text}\n`)));
    expect([error.code, error.facts.field, error.facts.line]).toEqual([code, field, 4]);
  });

  test('a misspelt field names the one that was meant', () => {
    const error = dataError(() => loadStudy(study('comparison: { predictors: [sex], interaction: [sex:week] }\n')));
    expect([error.code, error.facts.suggestion]).toEqual(['unknown-field', 'interactions']);
  });
});
