import { describe, expect, test } from '@jest/globals';
import { setMeansOf } from '../../src/study/set-means.ts';
import { PER_CENT, shownAs } from '../../src/study/shown.ts';
import { measureSpread } from '../../src/study/spread.ts';
import { conditionWords, estimateWords, formatSummary, type SummaryRow, summaryRow } from '../../src/study/summary.ts';
import { expectClose } from '../expect-close.ts';
import { makeRecord, makeRecording } from './make-record.ts';
import { makeUncertainty } from './make-uncertainty.ts';

const record = makeRecord();
const row = summaryRow(record, 'good', makeRecording());

describe('summaryRow', () => {
  test('is the mean of the measures of the full repetitions', () => {
    const values = record.measures
      .filter(({ measure, at, side }) => measure === 'hip_share' && at === 'parallel' && side === 'both')
      .map(({ value }) => value);
    expect(values).toHaveLength(3);
    expectClose(row.hipShareAtParallel!.mean, (values[0] + values[1] + values[2]) / 3, 1e-12, 'mean share');
    expect(row.hipShareAtParallel!.n).toBe(3);
  });

  test('a partial repetition takes no part', () => {
    const partial = summaryRow(makeRecord({ partialRepetition: 3 }), 'good', makeRecording());
    expect(partial.largestLeanDeg!.n).toBe(2);
    expect(partial.largestLeanDeg!.lowest).toBeGreaterThan(30);
  });

  test('no repetition: unknown, never a number', () => {
    const none = summaryRow(makeRecord({ repetitions: 0 }), null, makeRecording());
    expect([none.hipShareAtParallel, none.largestLeanDeg, none.start, none.grade]).toEqual([
      null,
      null,
      'unknown',
      'not graded',
    ]);
    expect(formatSummary([none])).not.toMatch(/NaN|undefined/);
  });
});

test('measureSpread says why a measure is unknown', () => {
  const found = measureSpread(makeRecord({ withFeet: false }), 'com_along_foot', 'bottom', '');
  expect(found).toEqual({ known: false, reason: expect.stringContaining('heel') });
});

describe('formatSummary', () => {
  const wide = { mean: -1.234, value: -1.234, sd: 0.345, lowest: -2, highest: 1, n: 12, lower: -1.57, upper: -0.9 };
  const long: SummaryRow = {
    ...row,
    lifter: 'a-lifter-with-a-very-long-id',
    condition: 'heel raised, belt, tempo 3-1-1, shoes weightlifting',
    hipShareAtParallel: wide,
    hipShareAtBottom: wide,
    start: 'cannot tell',
    grade: 'not graded',
  };

  test('keeps rows of a terminal: aligned, at most 100 columns, however long the ids', () => {
    const table = formatSummary([row, long]).split('\n').slice(0, 4);
    expect(
      Math.max(
        ...formatSummary([row, long])
          .split('\n')
          .map((line) => line.length),
      ),
    ).toBeLessThanOrEqual(100);
    const column = table[0].indexOf('grade');
    expect(table[2].slice(column)).toBe('good');
    expect(table[3].slice(column)).toBe('not graded');
  });

  test('ids of two lifters that end alike: the lifter stands before them', () => {
    const sets = ['A01', 'A02'].flatMap((lifter) =>
      ['one', 'two'].map((set) => ({ ...row, lifter, recordingId: `${lifter}-front-squat-of-monday-${set}` })),
    );
    const names = formatSummary(sets)
      .split('\n')
      .slice(2, 6)
      .map((line) => line.slice(0, 18));
    expect(names).toEqual(['A01 …of-monday-one', 'A01 …of-monday-two', 'A02 …of-monday-one', 'A02 …of-monday-two']);
  });

  test('a lifter with several sets of one condition: rows are named by recording; of many rows the first', () => {
    const sets = Array.from({ length: 80 }, (_, i) => ({ ...row, recordingId: `a-recording-of-${row.lifter}-${i}` }));
    expect(formatSummary([row]).slice(0, 6)).toBe('lifter');
    const table = formatSummary(sets.slice(0, 2)).split('\n');
    expect(table[0].slice(0, 9)).toBe('recording');
    expect(table[2]).not.toBe(table[3]);
    const many = formatSummary(sets).split('\n');
    expect(many.filter((line) => line.startsWith('…'))).toHaveLength(30);
    expect(many).toContain('and 50 more: their reports and tables are with the results.');
    for (const line of many) expect(line.length).toBeLessThanOrEqual(100);
  });

  test('marks synthetic data', () => {
    expect(formatSummary([row])).toContain('SYNTHETIC');
    expect(formatSummary([{ ...row, synthetic: false }])).not.toContain('SYNTHETIC');
  });

  test('an id cannot write control characters to the terminal', () => {
    expect(formatSummary([{ ...row, lifter: 'a\u001b[2J' }])).not.toContain('\u001b');
    const id = { ...row, recordingId: 'a\u001b[2J' };
    expect(formatSummary([id, id])).not.toContain('\u001b');
  });
});

test('± is half the width of the interval, never the spread', () => {
  const known = { mean: 0.56, value: 0.56, sd: 0.001, lowest: 0, highest: 1, n: 3, lower: 0.52, upper: 0.6 };
  expect(estimateWords(null, PER_CENT)).toBe('unknown');
  expect(estimateWords(known, PER_CENT)).toBe('56 ± 4 % (3)');
  const bare = { ...known, mean: 37.6, value: 37.6, n: 1, lower: Number.NaN, upper: Number.NaN };
  expect(estimateWords(bare, shownAs('deg'))).toBe('38° (1)');
});

test('says what ± is, or that there are no intervals', () => {
  const sure = summaryRow(record, 'good', makeRecording(), setMeansOf(makeUncertainty(record)));
  expect(formatSummary([sure])).toMatch(/± half width of its 95 % interval/);
  expect(formatSummary([row])).toMatch(/without intervals/);
  expect(formatSummary([row])).not.toContain('±');
  for (const line of formatSummary([sure]).split('\n')) expect(line.length).toBeLessThanOrEqual(100);
});

test('conditionWords', () => {
  expect(conditionWords({ heel: 'raised', belt: true, wraps: false, pause_s: 2 })).toBe(
    'heel raised, belt, no wraps, pause_s 2',
  );
});
