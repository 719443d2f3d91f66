import { describe, expect, test } from '@jest/globals';
import { MEASURES } from '../../../src/lift/measures/index.ts';
import { sourceOfTexts } from '../../../src/study/tidy/table-source.ts';
import { tidyStudy } from '../../../src/study/tidy/tidy-study.ts';
import { LIMB_RATIOS, type WideChoices, wideMeasures } from '../../../src/study/tidy/wide-measures.ts';
import { recordsOf } from '../read-csv.ts';
import { makeTables } from './make-tables.ts';

const texts = makeTables();
const source = sourceOfTexts('demo', texts);
const tables = tidyStudy(source, ['measures', 'means', 'repetitions', 'recordings', 'athletes']);
const rowsOf = (file: string) => recordsOf(texts.get(file)!);
const numberOf = (cell: string | undefined) => (cell ? Number(cell) : Number.NaN);
const codeOf = (choices: WideChoices, of = tables): unknown => {
  try {
    wideMeasures(of, choices);
  } catch (error) {
    return (error as { code: string }).code;
  }
  return null;
};

const lean = { measure: 'trunk_lean', at: 'bottom' } as const;

describe('measures in wide form', () => {
  test('a row a full repetition: its value, and the covariates of recording and lifter', () => {
    const wide = wideMeasures(tables, {
      over: 'repetition',
      measures: [lean, { measure: 'femur_per_trunk' }],
      intervals: true,
    });
    expect(wide.columnNames()).toEqual([
      ...['recording_id', 'athlete_id', 'repetition', 'completeness'],
      ...['date', 'load_total_kg', 'effort_rpe', 'shoe_heel_height_m', 'sex', 'mass_kg', 'stature_m', 'condition_heel'],
      'athlete_reason',
      ...['trunk_lean_bottom_deg', 'trunk_lean_bottom_deg_lower', 'trunk_lean_bottom_deg_upper'],
      ...['femur_per_trunk', 'femur_per_trunk_lower', 'femur_per_trunk_upper'],
    ]);
    const full = rowsOf('repetitions.csv').filter(({ completeness }) => completeness === 'full');
    expect(full.length).toBe(3);
    expect(wide.numRows()).toBe(full.length);
    full.forEach(({ recording_id, athlete_id, repetition }, row) => {
      const value = (measure: string, at: string, of: string) =>
        rowsOf('measures.csv').find(
          (one) =>
            one.recording_id === recording_id && one.repetition === of && one.measure === measure && one.at === at,
        );
      const described = rowsOf('recordings.csv').find((one) => one.recording_id === recording_id)!;
      expect(wide.object(row)).toMatchObject({
        recording_id,
        athlete_id,
        repetition: Number(repetition),
        trunk_lean_bottom_deg: numberOf(value('trunk_lean', 'bottom', repetition)?.value),
        trunk_lean_bottom_deg_upper: numberOf(value('trunk_lean', 'bottom', repetition)?.upper),
        load_total_kg: Number(described.load_total_kg),
        shoe_heel_height_m: Number(described.shoe_heel_height_m),
        date: described.date === '' ? null : described.date,
        sex: 'female',
        mass_kg: 63,
        athlete_reason: null,
      });
    });
  });

  test('a measure of the whole set stands in every repetition', () => {
    const ofSet = rowsOf('measures.csv').filter(({ repetition, value }) => repetition === '0' && value !== '');
    expect(ofSet.length).toBeGreaterThan(0);
    const { measure, side, at } = ofSet[0];
    const choice = { measure, at, as: 'x', ...(side !== '' && { side: side as 'left' }) };
    const wide = wideMeasures(tables, { over: 'repetition', measures: [choice], covariates: [] });
    wide.objects().forEach((row, i) => {
      const { recording_id, x } = row as { recording_id: string; x: number };
      const wanted = ofSet.find(
        (one) => one.recording_id === recording_id && one.measure === measure && one.side === side && one.at === at,
      );
      expect([i, x]).toEqual([i, numberOf(wanted?.value)]);
    });
  });

  test('a row a recording: the mean of means.csv with n and missing', () => {
    const wide = wideMeasures(tables, {
      over: 'recording',
      measures: [lean, ...LIMB_RATIOS],
      covariates: ['load_total_kg'],
    });
    const means = rowsOf('means.csv').filter(({ measure, at }) => measure === 'trunk_lean' && at === 'bottom');
    expect(wide.array('recording_id')).toEqual(['0012', '2e3']);
    expect(wide.array('trunk_lean_bottom_deg')).toEqual(means.map(({ mean }) => Number(mean)));
    // 0012 has two full repetitions, 2e3 one full and one partial.
    expect(wide.array('trunk_lean_bottom_deg_n')).toEqual([2, 1]);
    expect(wide.array('trunk_lean_bottom_deg_missing')).toEqual([0, 0]);
    for (const { measure } of LIMB_RATIOS) expect(wide.columnNames()).toContain(`${measure}_missing`);
  });

  test('limb ratios are measures by name', () => {
    const names = MEASURES.map(({ name }) => name);
    for (const { measure } of LIMB_RATIOS) expect(names).toContain(measure);
  });

  test('a lifter described twice: what differs is unknown with a reason, the rest stays', () => {
    const [header, first] = texts.get('athletes.csv')!.trimEnd().split('\n');
    const heavier = first.replace(',63,', ',64,');
    const rest = texts.get('athletes.csv')!.trimEnd().split('\n').slice(2);
    const changed = new Map(texts).set('athletes.csv', `${[header, first, heavier, ...rest].join('\n')}\n`);
    const wide = wideMeasures(tidyStudy(sourceOfTexts('demo', changed)), { over: 'recording', measures: [lean] });
    expect(wide.get('mass_kg', 0)).toBeNaN();
    expect(wide.get('sex', 0)).toBe('female');
    expect(wide.get('athlete_reason', 0)).toMatch(/mass_kg.*2/);
    expect([wide.get('mass_kg', 1), wide.get('athlete_reason', 1)]).toEqual([63, null]);
  });

  test('choices that mean nothing, or several things, are refused', () => {
    const of = (choice: object, more: object = {}) =>
      codeOf({ over: 'repetition', measures: [choice as typeof lean], ...more });
    expect(of({ measure: 'trunk_leen' })).toBe('tidy-measure-unknown');
    expect(of({ measure: 'trunk_lean', at: 'sunday' })).toBe('tidy-measure-unknown');
    expect(of({ measure: 'trunk_lean' })).toBe('tidy-measure-several');
    expect(of(lean, { covariates: ['shoe_size'] })).toBe('tidy-covariate-unknown');
    expect(of({ ...lean, as: 'sex' })).toBe('tidy-column-name-twice');
    expect(codeOf({ over: 'recording', measures: [lean] }, tidyStudy(source, ['recordings', 'athletes']))).toBe(
      'tidy-table-missing',
    );
  });
});
