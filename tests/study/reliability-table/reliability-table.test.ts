import { describe, expect, test } from '@jest/globals';
import { reliabilityTable } from '../../../src/study/reliability-table/reliability-table.ts';
import { knownSomewhere, reliabilityMeasures } from '../../../src/study/reliability-table/values.ts';
import type { SessionMeasure } from '../../../src/study/weeks/session-measure.ts';
import { madeSessions } from '../../figures/cohort/made-tables.ts';

type Row = Record<string, number | string | boolean | null>;
const rowsOf = (sessions: readonly SessionMeasure[]) => reliabilityTable(sessions).objects({ limit: 99 }) as Row[];

/** Shrout & Fleiss (1979), table 2: six targets, four judges; ICC(1,1) 0.17 and WMS 6.26 as printed (tables 3 and 4). */
const SHROUT_FLEISS = [
  [9, 2, 5, 8],
  [6, 1, 3, 2],
  [8, 4, 6, 8],
  [7, 1, 2, 6],
  [10, 5, 6, 9],
  [6, 2, 4, 7],
];

describe('recordings of one athlete against each other', () => {
  test('the printed example: six athletes, four recordings each', () => {
    const [row] = rowsOf(SHROUT_FLEISS.flatMap((values, i) => madeSessions(`A${i}`, values)));
    expect(Number(row.icc)).toBeCloseTo(0.17, 2);
    expect(Number(row.sem) ** 2).toBeCloseTo(6.26, 2);
    expect(Number(row.mdc)).toBeCloseTo(1.96 * Math.SQRT2 * Number(row.sem), 5);
    expect(row).toMatchObject({
      athletes: 6,
      athletes_repeated: 6,
      recordings: 24,
      sessions: 24,
      missing: 0,
      icc_exact: true,
      reason: '',
    });
  });

  test('the order of the recordings does not matter', () => {
    const all = SHROUT_FLEISS.flatMap((values, i) => madeSessions(`A${i}`, values));
    expect(rowsOf([...all].reverse())).toEqual(rowsOf(all));
  });

  test('an unknown value is missing, and unequal numbers are said', () => {
    const all = [...madeSessions('A', [1, 2, Number.NaN]), ...madeSessions('B', [4, 4.5, 5])];
    expect(rowsOf(all)[0]).toMatchObject({ recordings: 5, missing: 1, icc_exact: false });
  });

  test('another load is left out and counted; conditions are rows of their own', () => {
    const heavy = madeSessions('A', [9], { loadKg: 90 }).map((row) => ({ ...row, recordingId: 'A-heavy' }));
    const [row] = rowsOf([...madeSessions('A', [1, 2]), ...heavy, ...madeSessions('B', [4, 5])]);
    expect(row).toMatchObject({ recordings: 4, other_loads: 1 });
    expect(rowsOf([...madeSessions('A', [1, 2]), ...madeSessions('B', [4, 5], { condition: 'flat' })])).toHaveLength(2);
  });

  test('a ratio by its logarithm: factors', () => {
    const of = { measure: 'stance_per_hip_width', side: '', at: 'start' };
    const [row] = rowsOf([...madeSessions('A', [1, Math.E], of), ...madeSessions('B', [5, 5 * Math.E], of)]);
    // Within: ln values 0 and 1, variance 1/2.
    expect(Number(row.sem)).toBeCloseTo(Math.exp(Math.SQRT1_2), 9);
    expect(row).toMatchObject({ scale: 'ratio', unit: '1' });
  });

  test.each([
    ['each athlete once', [...madeSessions('A', [1]), ...madeSessions('B', [2])], /each athlete has one recording/],
    ['one athlete', madeSessions('A', [1, 2, 3]), /one athlete/],
    ['nobody knows it', madeSessions('A', [Number.NaN]), /no recording/],
  ])('%s: no number, in words', (_, sessions, why) => {
    const [row] = rowsOf(sessions);
    expect(row.icc).toBeNull();
    expect(row.reason).toMatch(why);
  });
});

test('outcomes of a study are asked about once; what no recording knows is left out', () => {
  const outcome = { measure: 'hip_share', side: 'both', at: 'parallel' };
  const names = reliabilityMeasures([outcome]).map((one) => JSON.stringify(one));
  expect(new Set(names).size).toBe(names.length);
  expect(
    knownSomewhere([...madeSessions('A', [Number.NaN]), ...madeSessions('B', [1], { measure: 'x' })]).map(
      ({ measure }) => measure,
    ),
  ).toEqual(['x']);
});
