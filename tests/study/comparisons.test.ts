import { describe, expect, test } from '@jest/globals';
import { normalQuantile } from '../../src/numerics/student.ts';
import { comparisonsTable, differenceOf } from '../../src/study/comparisons.ts';
import { csvOf } from '../../src/study/csv.ts';
import { columnEntry } from '../../src/study/dictionary.ts';
import { type SetMean, setMeansOf } from '../../src/study/set-means.ts';
import { expectClose } from '../expect-close.ts';
import { makeRecord, makeRecording } from './make-record.ts';
import { makeUncertainty } from './make-uncertainty.ts';
import { recordsOf } from './read-csv.ts';

const base: SetMean = {
  measure: 'm',
  side: '',
  at: 'start',
  unit: 'deg',
  value: 10,
  repetitions: 3,
  lower: Number.NaN,
  upper: Number.NaN,
  sd: Number.NaN,
  reason: '',
  shares: [],
  effects: new Map(),
  noiseVariance: 0,
  noiseFreedom: 39,
  drawn: null,
};

describe('a difference', () => {
  test('common causes subtract before they are squared, by hand: effects 3 and 2 leave 1, of 13 together', () => {
    const a = { ...base, value: 12, effects: new Map([['detector', 3]]) };
    const b = { ...base, effects: new Map([['detector', 2]]) };
    const found = differenceOf(a, b);
    expectClose(found.value, 2, 1e-12, 'value');
    expectClose(found.sd, 1, 1e-12, 'sd');
    expectClose(found.cancelled, 12 / 13, 1e-12, 'part that cancels');
    expectClose(found.upper, 2 + normalQuantile(0.975), 1e-4, 'upper end');
  });

  test('causes of one recording alone and noise do not cancel: 3² + 2² + 6 + 6 = 5²', () => {
    const a = { ...base, effects: new Map([['clock a', 3]]), noiseVariance: 6 };
    const b = { ...base, effects: new Map([['clock b', 2]]), noiseVariance: 6 };
    const found = differenceOf(a, b);
    expectClose(found.sd, 5, 1e-12, 'sd');
    expectClose(found.cancelled, 0, 1e-12, 'part that cancels');
  });
});

test('a cause whose effect is unknown, or a number without an interval, leaves the interval of the difference unknown', () => {
  const found = differenceOf({ ...base, effects: new Map([['clock', Number.NaN]]), noiseVariance: 1 }, base);
  expect([found.lower, found.upper]).toEqual([Number.NaN, Number.NaN]);
  const rare = differenceOf({ ...base, noiseVariance: 1, reason: 'known in 7 of 40 draws only' }, base);
  expect([rare.value, rare.lower, rare.upper]).toEqual([0, Number.NaN, Number.NaN]);
});

describe('comparisons.csv', () => {
  const compared = (id: string, athleteId = 'A') => {
    const record = makeRecord({ recordingId: id, athleteId });
    const recording = makeRecording({ recordingId: id, athleteId });
    return { recording, means: setMeansOf(makeUncertainty(record)) };
  };
  const rows = recordsOf(csvOf(comparisonsTable([compared('b'), compared('a'), compared('c', 'other')])));

  test('later against earlier, of one lifter only, every column in the dictionary', () => {
    expect(new Set(rows.map((row) => `${row.recording_id} ${row.against_recording_id}`))).toEqual(new Set(['b a']));
    for (const column of Object.keys(rows[0])) expect(columnEntry('comparisons.csv', column)).toBeDefined();
  });

  test('two alike recordings cannot be told apart, and nearly all doubt cancels', () => {
    for (const row of rows.filter(({ measure }) => measure === 'hip_share')) {
      expect(row.verdict).toBe('cannot tell');
      expect(Number(row.cancelled_share)).toBeGreaterThan(0.9);
    }
  });

  test('without intervals there is a header and no row', () => {
    expect(csvOf(comparisonsTable([])).trimEnd().split('\n')).toHaveLength(1);
  });
});
