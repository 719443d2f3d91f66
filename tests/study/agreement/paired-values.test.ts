import { describe, expect, test } from '@jest/globals';
import type { LiftRecord } from '../../../src/lift/lift-record.ts';
import {
  AGREEMENT_COLUMNS,
  agreementRows,
  agreementTable,
  DIFFERENCE_COLUMNS,
  differencesTable,
} from '../../../src/study/agreement/agreement-tables.ts';
import { pairRepetitions } from '../../../src/study/agreement/pair-repetitions.ts';
import { pairedValues, unpairedValues } from '../../../src/study/agreement/paired-values.ts';
import { csvOf } from '../../../src/study/csv.ts';
import { TABLES } from '../../../src/study/dictionary.ts';
import type { LiftUncertainty } from '../../../src/uncertainty/lift-uncertainty.ts';
import { expectClose } from '../../expect-close.ts';
import { makeRecord } from '../make-record.ts';

const record = makeRecord({ repetitions: 3 });
/** The same lift read otherwise: the lean 2° more, 2.1° and so on with the repetition; everything else equal. */
const other: LiftRecord = {
  ...record,
  recordingId: 'other',
  measures: record.measures.map((m) =>
    m.measure === 'trunk_lean' ? { ...m, value: m.value + 2 + 0.1 * m.repetition } : m,
  ),
};
const repetitions = pairRepetitions(record, other);
const values = pairedValues({ record: other, uncertainty: null }, { record, uncertainty: null }, repetitions);
const rows = agreementRows(values);
const rowOf = (name: string, at: string) =>
  rows.find(({ what }) => what.kind === 'measure' && what.name === name && what.at === at)!;

test('a known disagreement comes out: bias 2.2°, SD 0.1°, limits 2.2 ± 1.96 · 0.1', () => {
  const { agreement, meanA, meanB } = rowOf('trunk_lean', 'parallel');
  expectClose(agreement.bias.value, 2.2, 1e-12, 'bias');
  expectClose(agreement.sd, 0.1, 1e-12, 'SD');
  expectClose(agreement.upperLimit.value, 2.2 + 1.96 * 0.1, 1e-12, 'upper limit');
  expectClose(meanA - meanB, 2.2, 1e-12, 'means');
  expect([agreement.lifters, agreement.differences]).toEqual([1, 3]);
});

test('what agrees agrees exactly, and unknown numbers have no row', () => {
  expect(rowOf('hip_share', 'bottom').agreement.bias.value).toBe(0);
  expect(values.every(({ a, b }) => Number.isFinite(a) && Number.isFinite(b))).toBe(true);
  expect(
    rows.some(({ what }) => what.kind === 'curve' && what.name === 'hip_share' && what.grid === 'thigh_elevation_deg'),
  ).toBe(true);
});

test('numbers that not both know are counted, and why is told; so are differences without a stated interval', () => {
  const hole: LiftRecord = {
    ...other,
    measures: other.measures
      .filter(({ measure, repetition }) => !(measure === 'hip_share' && repetition === 2))
      .map((m) =>
        m.measure === 'trunk_lean' && m.at === 'parallel' && m.repetition === 1
          ? { ...m, value: Number.NaN, reason: 'needs left_heel' }
          : m,
      ),
  };
  const same = pairRepetitions(record, hole);
  const found = agreementRows(
    pairedValues({ record, uncertainty: null }, { record: hole, uncertainty: null }, same),
    unpairedValues(record, hole, same),
  );
  const of = (name: string) => found.find(({ what }) => what.name === name && what.at === 'parallel')!;
  const lean = of('trunk_lean');
  expect([lean.agreement.differences, lean.missing]).toEqual([2, 1]);
  expect(lean.reason).toBe('needs left_heel: 1; difference without an interval in one of the two: 2');
  const share = found.find(({ what }) => what.kind === 'measure' && what.name === 'hip_share' && what.at === 'bottom')!;
  expect([share.agreement.differences, share.missing]).toEqual([2, 1]);
  expect(share.reason).toMatch(/^the other recording does not know this measure: 1; /);
});

test('tables: the columns of the dictionary, in order; no NaN in them', () => {
  for (const [file, columns] of [
    ['agreement.csv', AGREEMENT_COLUMNS],
    ['differences.csv', DIFFERENCE_COLUMNS],
  ] as const)
    expect(TABLES.find((table) => table.file === file)!.columns.map(({ column }) => column)).toEqual([...columns]);
  for (const text of [csvOf(agreementTable(rows)), csvOf(differencesTable(values))])
    expect(text).not.toMatch(/NaN|undefined|null/);
  expect(differencesTable(values).numRows()).toBe(values.filter(({ what }) => what.kind === 'measure').length);
});

describe('the stated doubt of a difference', () => {
  const count = record.measures.length;
  /** Every measure with these effects of causes, and an interval of ± 1 about the value plus a shift. */
  const stated = (of: LiftRecord, causes: Readonly<Record<string, number>>, shift = 0): LiftUncertainty => {
    const keys = Object.keys(causes);
    const known = of.measures.map(({ value }) => value);
    return {
      record: of,
      causes: keys.map((key) => ({ key, group: 'segments', label: key })),
      effects: Float64Array.from({ length: count * keys.length }, (_, i) => causes[keys[i % keys.length]]),
      noise: new Float64Array(0),
      noiseDraws: 0,
      outputs: { count, values: Float64Array.from(known) },
      intervals: {
        lower: Float64Array.from(known, (value) => value + shift - 1),
        upper: Float64Array.from(known, (value) => value + shift + 1),
      },
    } as unknown as LiftUncertainty;
  };
  const compare = (ofA: Readonly<Record<string, number>>, ofB: Readonly<Record<string, number>>, shift = 0) => {
    const bare = (one: LiftRecord) => ({ ...one, curves: [] });
    const [a, b] = [bare(other), bare(record)];
    const found = pairedValues(
      { record: a, uncertainty: stated(a, ofA, shift) },
      { record: b, uncertainty: stated(b, ofB) },
      repetitions,
    );
    return found.find(
      ({ what, repetitionA }) => what.name === 'trunk_lean' && what.at === 'parallel' && repetitionA === 1,
    )!;
  };

  test('what both share cancels, what is of one alone adds up in squares', () => {
    expectClose(
      compare({ 'athlete/007/x': 2, 'recording/other/clock': 3 }, { 'athlete/007/x': 2, 'rig/7/y': 4 }).statedSd,
      5,
      1e-12,
      'SD',
    );
  });

  test('the load is the same bar in both; a clock, or no rig, is not', () => {
    const { recordingId } = record;
    expectClose(
      compare({ 'recording/other/load': 2 }, { [`recording/${recordingId}/load`]: 2 }).statedSd,
      0,
      1e-12,
      'load',
    );
    expectClose(
      compare({ 'recording/other/clock': 3 }, { [`recording/${recordingId}/clock`]: 4 }).statedSd,
      5,
      1e-12,
      'clocks',
    );
    expectClose(compare({ 'rig/none/vertical': 3 }, { 'rig/none/vertical': 4 }).statedSd, 5, 1e-12, 'no rig');
  });

  test('covered where the interval of the difference holds 0: 2.1° by 1.96 · 1.08 but not by 1.96 · 1.06', () => {
    expect(compare({ 'rig/7/y': 1.08 }, {}).covered).toBe(true);
    expect(compare({ 'rig/7/y': 1.06 }, {}).covered).toBe(false);
    // An interval that is not centred on its value is judged by its own middle.
    expect(compare({ 'rig/7/y': 1.06 }, {}, -0.2).covered).toBe(true);
  });
});
