import { describe, expect, test } from '@jest/globals';
import { compareLifts } from '../../../src/study/compare/compare-lifts.ts';
import {
  CURVE_DIFFERENCE_COLUMNS,
  curveDifferencesTable,
  MEASURE_DIFFERENCE_COLUMNS,
  measureDifferencesTable,
} from '../../../src/study/compare/difference-tables.ts';
import { differenceOf, setMeansOf } from '../../../src/study/comparisons.ts';
import { csvOf } from '../../../src/study/csv.ts';
import { TABLES } from '../../../src/study/dictionary.ts';
import { expectClose } from '../../expect-close.ts';
import { recordsOf } from '../read-csv.ts';
import { madeLift } from './made-lifts.ts';

const codeOf = (act: () => unknown) => {
  try {
    act();
    return 'nothing thrown';
  } catch (error) {
    return (error as { code: string }).code;
  }
};

describe('a lift against itself', () => {
  const lift = madeLift({ recordingId: 'mon' });
  const { measures, curves, sameRecording } = compareLifts(lift, lift);

  test('every difference is 0 with an interval of no width, and nothing can be told apart', () => {
    expect(sameRecording).toBe(true);
    const judged = [...measures, ...curves].filter(({ verdict }) => verdict !== 'unknown');
    expect(judged.length).toBeGreaterThan(500);
    for (const { difference, lower, upper, verdict } of judged) {
      expect([difference, lower, upper, verdict]).toEqual([0, 0, 0, 'cannot tell']);
    }
  });

  test('measures of the whole set take no part where both are repetitions of it', () => {
    expect(measures.some(({ at }) => at === 'set')).toBe(false);
    expect(compareLifts(lift, madeLift({ recordingId: 'fri' })).measures.some(({ at }) => at === 'set')).toBe(true);
  });
});

describe('two recordings of one lifter', () => {
  const mon = madeLift({ recordingId: 'mon' });
  const fri = madeLift({ recordingId: 'fri', repetitions: 2 });
  const { measures, curves } = compareLifts(mon, fri);

  test('means over the full repetitions: value, first-order sd and what cancels as in comparisons.csv', () => {
    const [ofMon, ofFri] = [mon, fri].map(({ uncertainty }) => setMeansOf(uncertainty!));
    let compared = 0;
    for (const row of measures) {
      const same = (one: { measure: string; side: string; at: string }) =>
        one.measure === row.measure && one.side === row.side && one.at === row.at;
      const [a, b] = [ofMon.find(same), ofFri.find(same)];
      if (!a || !b || row.verdict === 'unknown') continue;
      const known = differenceOf(b, a);
      const size = Math.abs(a.value) + Math.abs(b.value);
      expectClose(row.difference, known.value, 1e-12 * size, `${row.measure} ${row.at}`);
      expectClose(row.sd, known.sd, 1e-9 * size, `sd of ${row.measure} ${row.at}`);
      if (row.sd > 1e-9 * size) expectClose(row.cancelled, known.cancelled, 1e-9, `cancelled of ${row.measure}`);
      compared++;
    }
    expect(compared).toBeGreaterThan(30);
  });

  test('exchanged sides mirror: value, interval and band, to the last digit', () => {
    const back = compareLifts(fri, mon);
    curves.forEach((row, i) => {
      const other = back.curves[i];
      expect([other.quantity, other.depth, other.phase, other.verdict]).toEqual([
        row.quantity,
        row.depth,
        row.phase,
        row.verdict,
      ]);
      for (const [there, here] of [
        [row.difference, -other.difference],
        [row.lower, -other.upper],
        [row.bandUpper, -other.bandLower],
      ])
        expect(there + 0).toBe(here + 0);
    });
  });

  test('the band of a depth is never narrower than its interval by more than the draws of the band know', () => {
    for (const { lower, upper, bandLower, bandUpper } of curves) {
      if (Number.isNaN(bandLower)) continue;
      expect(bandUpper - bandLower).toBeGreaterThanOrEqual(0.96 * (upper - lower));
    }
  });

  test('tables: columns as the dictionary has them, unknown is empty', () => {
    for (const [file, table, columns] of [
      ['measure-differences.csv', measureDifferencesTable(compareLifts(mon, fri)), MEASURE_DIFFERENCE_COLUMNS],
      ['curve-differences.csv', curveDifferencesTable(compareLifts(mon, fri)), CURVE_DIFFERENCE_COLUMNS],
    ] as const) {
      const entry = TABLES.find((one) => one.file === file)!;
      expect(entry.columns.map(({ column }) => column)).toEqual([...columns]);
      const rows = recordsOf(csvOf(table));
      expect(Object.keys(rows[0])).toEqual([...columns]);
      expect(rows[0].repetition_a).toBe('');
      for (const row of rows) {
        expect(row.verdict === '').toBe(row.reason !== '');
        if (row.difference !== '')
          expectClose(
            Number(row.difference),
            Number(row.value_b) - Number(row.value_a),
            1e-5 * Math.abs(Number(row.value_a)) + 1e-9,
          );
      }
    }
  });
});

describe('depths', () => {
  // The second repetition stops far above parallel.
  const lift = madeLift({ recordingId: 'mon', partialRepetition: 2 });
  const { curves, measures } = compareLifts({ ...lift, repetition: 1 }, { ...lift, repetition: 2 });
  const share = curves.filter(
    ({ quantity, side, phase, grid }) =>
      quantity === 'trunk_lean' && side === '' && phase === 'descent' && grid === 'thigh_elevation_deg',
  );

  test('only depths that both reach have a difference; the others say who lacks them', () => {
    const both = share.filter(({ difference }) => Number.isFinite(difference)).map(({ depth }) => depth);
    const onlyA = share.filter(({ reason }) => reason.startsWith('B: '));
    expect(Math.min(...both)).toBeGreaterThan(20);
    expect(onlyA.map(({ depth }) => depth)).toContain(0);
    for (const point of onlyA) {
      expect(Number.isFinite(point.a.value)).toBe(true);
      expect([point.difference, point.lower, point.bandLower]).toEqual([Number.NaN, Number.NaN, Number.NaN]);
      expect(point.verdict).toBe('unknown');
    }
  });

  test('aligned by depth and not by time: two speeds of one movement do not differ at equal depth', () => {
    const straight = compareLifts({ ...lift, repetition: 1 }, { ...lift, repetition: 3 });
    const lean = straight.curves.filter(
      ({ quantity, grid, difference }) =>
        quantity === 'trunk_lean' && grid === 'thigh_elevation_deg' && Number.isFinite(difference),
    );
    expect(lean.length).toBeGreaterThan(30);
    // The drawn lifter leans by depth alone: way down and way up, at other speeds, agree to the interpolation between frames.
    for (const { difference } of lean) expectClose(difference, 0, 0.02, 'degrees');
  });

  test('a repetition of a partial depth is compared all the same', () => {
    expect(measures.find(({ measure }) => measure === 'hip_drop')!.difference).toBeLessThan(-0.1);
  });
});

test('without intervals there are differences and no verdict, with the reason', () => {
  const { measures, curves } = compareLifts(madeLift({ recordingId: 'mon' }, null), madeLift({ recordingId: 'fri' }));
  for (const row of [...measures, ...curves]) expect(row.verdict).toBe('unknown');
  const known = measures.filter(({ difference }) => Number.isFinite(difference));
  expect(known.length).toBeGreaterThan(20);
  for (const { reason } of known) expect(reason).toMatch(/^A: .*switched off/);
});

test('what half of the draws do not know has no verdict', () => {
  const { measures } = compareLifts(
    madeLift({ recordingId: 'mon' }, { unknownInDraws: ['trunk_lean'] }),
    madeLift({ recordingId: 'fri' }),
  );
  const lean = measures.filter(({ measure, difference }) => measure === 'trunk_lean' && Number.isFinite(difference));
  expect(lean.length).toBeGreaterThan(0);
  for (const { verdict, reason } of lean)
    expect([verdict, reason]).toEqual(['unknown', 'A: known in 20 of 40 draws only']);
});

test('two lifters: nothing of their bodies cancels', () => {
  const one = madeLift({ recordingId: 'mon', athleteId: 'A' });
  const other = madeLift({ recordingId: 'fri', athleteId: 'B' });
  for (const { cancelled, sd } of compareLifts(one, other).measures)
    if (sd > 0) expectClose(cancelled, 0, 1e-9, 'cancelled');
});

test('a repetition that is not there, and a set without a full one, are refused', () => {
  const lift = madeLift({ recordingId: 'mon', repetitions: 2 });
  expect(codeOf(() => compareLifts({ ...lift, repetition: 3 }, lift))).toBe('compare-no-such-repetition');
  const none = { ...lift, record: { ...lift.record, repetitions: [] } };
  expect(codeOf(() => compareLifts(lift, none))).toBe('compare-no-full-repetition');
});
