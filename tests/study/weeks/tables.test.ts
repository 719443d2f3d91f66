import { describe, expect, test } from '@jest/globals';
import type { LoadedRecording } from '../../../src/study/across-loads.ts';
import { csvOf } from '../../../src/study/csv.ts';
import { setMeansOf } from '../../../src/study/set-means.ts';
import { weekChangesEntry, weeks } from '../../../src/study/weeks/dictionary.ts';
import { sessionMeasuresOf } from '../../../src/study/weeks/from-recordings.ts';
import { nameOfMeasure } from '../../../src/study/weeks/session-measure.ts';
import { WEEK_CHANGE_COLUMNS, WEEK_COLUMNS, weekChangesTable, weeksTable } from '../../../src/study/weeks/tables.ts';
import { weekChanges } from '../../../src/study/weeks/week-changes.ts';
import { expectClose } from '../../expect-close.ts';
import { makeRecord, makeRecording } from '../make-record.ts';
import { makeUncertainty } from '../make-uncertainty.ts';
import { recordsOf } from '../read-csv.ts';
import { dayAfter, madeSession } from './made-sessions.ts';

describe('tables', () => {
  test.each([
    [weeks, WEEK_COLUMNS],
    [weekChangesEntry, WEEK_CHANGE_COLUMNS],
  ])('$file: columns and dictionary agree, in order; every definition is a sentence', ({ columns }, wanted) => {
    expect(columns.map(({ column }) => column)).toEqual([...wanted]);
    for (const { column, definition, type, unit } of columns) {
      expect(column).toMatch(/^[a-z][a-z0-9_]*$/);
      expect(definition).toMatch(/^\S.*\.$/);
      if (type === 'number') expect(unit).not.toBe('');
    }
  });

  const rows = [0.6, 0.7].map((value, s) =>
    madeSession({ date: dayAfter(2 * s), value, noiseFreedom: 1e9, missing: s, effects: new Map([['athlete', 0.3]]) }),
  );
  const days = { dayToDay: new Map([[nameOfMeasure(rows[0]), { sd: 0.02, freedom: Number.POSITIVE_INFINITY }]]) };

  test('weeks.csv: value with the doubt that is its own, band about the first session', () => {
    const [first, second] = recordsOf(csvOf(weeksTable(weekChanges(rows, days))));
    expect([first.week, second.week, first.baseline, second.baseline]).toEqual(['0', '2', 'true', 'false']);
    expect([second.n, second.missing, second.mdc_basis, first.mdc_upper]).toEqual(['3', '1', 'days stated', '']);
    expectClose(Number(second.upper) - 0.7, 1.959964 * 0.01, 1e-6, 'the athlete cancels');
    const mdc = 1.959964 * Math.SQRT2 * Math.sqrt(0.01 ** 2 + 0.02 ** 2);
    expectClose(Number(second.mdc_upper), 0.6 + mdc, 1e-6, 'band, upper');
    expectClose(Number(second.mdc_lower), 0.6 - mdc, 1e-6, 'band, lower');
  });

  test('week-changes.csv: the comparison, its verdict and what it rests on', () => {
    const [row] = recordsOf(csvOf(weekChangesTable(weekChanges(rows, days))));
    expect([row.comparison, row.date, row.against_date, row.sessions, row.scale]).toEqual([
      'last less first',
      '2026-01-19',
      '2026-01-05',
      '2',
      'difference',
    ]);
    expectClose(Number(row.change), 0.1, 1e-6);
    expect([row.verdict, row.family, row.day_to_day_sd, row.day_to_day_basis]).toEqual([
      'changed',
      '1',
      '0.02',
      'stated',
    ]);
  });

  test('a ratio stands as a ratio, its band by a factor', () => {
    const ratio = rows.map((row) => ({ ...row, measure: 'hip_knee_ratio', value: 2 * row.value, effects: new Map() }));
    const changes = weekChanges(ratio);
    const [row] = recordsOf(csvOf(weekChangesTable(changes)));
    expect(row.scale).toBe('ratio');
    expectClose(Number(row.change), 0.7 / 0.6, 1e-6);
    expectClose(Number(row.change_upper) / Number(row.change), Number(row.change) / Number(row.change_lower), 1e-5);
    const second = recordsOf(csvOf(weeksTable(changes)))[1];
    expectClose(Number(second.mdc_upper) / 1.2, 1.2 / Number(second.mdc_lower), 1e-5);
    expectClose(Number(second.mdc_upper) / 1.2, Number(row.mdc), 1e-5);
  });

  test('one session, and what is left out, are rows with a reason', () => {
    const changes = weekChanges([rows[0], { ...rows[1], date: null }]);
    expect(recordsOf(csvOf(weekChangesTable(changes))).map(({ verdict }) => verdict)).toEqual(['one session only']);
    const table = recordsOf(csvOf(weeksTable(changes)));
    expect(table.map(({ date, reason }) => [date, reason !== ''])).toEqual([
      ['2026-01-05', true],
      ['', true],
    ]);
    expect(csvOf(weekChangesTable(weekChanges([]))).trimEnd()).toBe(WEEK_CHANGE_COLUMNS.join(','));
  });
});

describe('from recordings', () => {
  const loaded = (id: string, date: string, leanPlus: number) => {
    const record = makeRecord({ recordingId: id });
    const changed = {
      ...record,
      measures: record.measures.map((m) => (m.measure === 'trunk_lean' ? { ...m, value: m.value + leanPlus } : m)),
    };
    return {
      recording: { ...makeRecording({ recordingId: id }), date },
      record: changed,
      means: setMeansOf(makeUncertainty(changed, { noise: 0.002 })),
    };
  };
  const recordings = [loaded('a', '2026-03-04', 0), loaded('b', '2026-03-11', 0), loaded('c', '2026-03-18', 12)];
  const rows = sessionMeasuresOf(recordings);

  test('date, load and doubt come along; limb ratios do not', () => {
    const lean = rows.filter(({ measure, at }) => measure === 'trunk_lean' && at === 'largest');
    expect(lean.map(({ date, loadKg, repetitions, missing }) => [date, loadKg, repetitions, missing])).toEqual([
      ['2026-03-04', 80, 3, 0],
      ['2026-03-11', 80, 3, 0],
      ['2026-03-18', 80, 3, 0],
    ]);
    const values = recordings[0].record.measures
      .filter(({ measure, at }) => measure === 'trunk_lean' && at === 'largest')
      .map(({ value }) => value);
    const mean = values.reduce((sum, value) => sum + value, 0) / 3;
    expectClose(
      lean[0].scatterSquares,
      values.reduce((sum, value) => sum + (value - mean) ** 2, 0),
      1e-9,
    );
    expect(lean[0].effects.size).toBeGreaterThan(0);
    expect(rows.some(({ measure }) => measure === 'femur_per_trunk')).toBe(false);
  });

  test('sessions on another heel are another task', () => {
    const low = { ...recordings[1], recording: { ...recordings[1].recording, shoes: { heelHeightM: 0 } } };
    const compared = (second: LoadedRecording) =>
      weekChanges(sessionMeasuresOf([recordings[0], second])).series.flatMap(({ comparisons }) => comparisons).length;
    expect(rows[0].condition).toBe('heel raised, shoe heel 20 mm');
    expect(compared(recordings[1])).toBeGreaterThan(0);
    expect(compared(low)).toBe(0);
  });

  test('a ratio is the mean of its repetitions on its scale, the hip share, as in means.csv', () => {
    const ratio = rows.find(({ measure, at }) => measure === 'hip_knee_ratio' && at === 'bottom')!;
    const values = recordings[0].record.measures
      .filter((m) => m.measure === ratio.measure && m.at === ratio.at && m.side === ratio.side)
      .map(({ value }) => value);
    const share = values.reduce((sum, r) => sum + r / (1 + r), 0) / values.length;
    expectClose(ratio.value, share / (1 - share), 1e-12);
    const inTable = recordings[0].means.find((m) => m.measure === ratio.measure && m.at === ratio.at)!;
    expect(ratio.value).toBe(inTable.value);
  });

  test('a lean of 12° more in the last week differs from the first', () => {
    const judged = weekChanges(rows, { judged: ({ measure, at }) => measure === 'trunk_lean' && at === 'largest' });
    expect(judged.series).toHaveLength(1);
    const [first] = judged.series[0].comparisons;
    expectClose(first.value, 12, 1e-9);
    expect(['changed', 'different']).toContain(first.verdict);
  });
});
