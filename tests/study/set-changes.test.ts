import { describe, expect, test } from '@jest/globals';
import type { LiftRecord } from '../../src/lift/lift-record.ts';
import { changeReasons } from '../../src/messages/changes.ts';
import { normalQuantile } from '../../src/numerics/student.ts';
import { csvOf } from '../../src/study/csv.ts';
import { columnEntry } from '../../src/study/dictionary.ts';
import {
  SET_CHANGE_COLUMNS,
  type SetChange,
  setChangesOf,
  setChangesTable,
  WATCHED,
  watchedChanges,
} from '../../src/study/set-changes.ts';
import { expectClose } from '../expect-close.ts';
import { makeRecord } from './make-record.ts';
import { makeUncertainty } from './make-uncertainty.ts';
import { recordsOf } from './read-csv.ts';

/** The drawn lift with these values of one measure, one a repetition. */
function withValues(values: readonly number[], measure = 'trunk_lean', at = 'largest'): LiftRecord {
  const record = makeRecord({ repetitions: values.length });
  return {
    ...record,
    measures: record.measures.map((one) =>
      one.measure === measure && one.at === at ? { ...one, value: values[one.repetition - 1], reason: '' } : one,
    ),
  };
}

const of = (changes: readonly SetChange[], measure: string, at: string, side = ''): SetChange => {
  const found = changes.filter((one) => one.measure === measure && one.at === at && one.side === side);
  if (found.length !== 1) throw new Error(`${found.length} of ${measure} ${at}`);
  return found[0];
};

describe('changes over a set', () => {
  const LEANS = [38, 38.4, 37.8, 44, 44.3, 43.9];

  test('the repetition from which the lean grows is found; what all repetitions share does not hide it', () => {
    // Noise of half a per cent is 0.2°; the shared causes are 9 %, 3.5° each repetition: far more than the scatter.
    const uncertainty = makeUncertainty(withValues(LEANS), { keypoints: 0.08, segments: 0.04, noise: 0.005 });
    const { points, change } = of(setChangesOf(uncertainty), 'trunk_lean', 'largest');
    expect(points.map(({ repetition }) => repetition)).toEqual([1, 2, 3, 4, 5, 6]);
    expect(points[change!.from].repetition).toBe(4);
    expectClose(change!.difference, (44 + 44.3 + 43.9) / 3 - (38 + 38.4 + 37.8) / 3, 1e-9);
    expect(change!.verdict).toBe('changed');
    expect(change!.lower).toBeGreaterThan(4);
  });

  test('the interval of a repetition holds what tells it from the others: differences of effects, and noise', () => {
    // Effects here are 8 % of each value: of 38 and 44, their mean taken off.
    const uncertainty = makeUncertainty(withValues([38, 44]), { keypoints: 0.08, segments: 0, noise: 0 });
    const [first, second] = of(setChangesOf(uncertainty), 'trunk_lean', 'largest').points;
    const half = normalQuantile(0.975) * 0.08 * 3;
    expectClose(first.upper - first.value, half, 1e-5);
    expectClose(second.value - second.lower, half, 1e-5);
    const lone = uncertainty.record.measures.find((m) => m.measure === 'trunk_lean' && m.at === 'largest')!;
    expect(lone.upper - lone.value).toBeGreaterThan(10 * half);
  });

  test('two repetitions: no interval of the difference, and why', () => {
    const found = of(
      setChangesOf(makeUncertainty(withValues([38, 44]), { noise: 0.001, keypoints: 0, segments: 0 })),
      'trunk_lean',
      'largest',
    );
    expect(found.change!.verdict).toBe('different');
    expect(found.reason).toBe(changeReasons.scatterUnknown(2));
  });

  test('partial repetitions and measures of the whole set take no part', () => {
    const changes = setChangesOf(makeUncertainty(makeRecord({ repetitions: 4, partialRepetition: 2 })));
    for (const { points, at } of changes) {
      expect(at).not.toBe('set');
      for (const { repetition } of points) expect([1, 3, 4]).toContain(repetition);
    }
  });

  test('a value without an interval has no change point, and says why', () => {
    const uncertainty = makeUncertainty(withValues(LEANS), { unknownInDraws: ['trunk_lean'] });
    const found = of(setChangesOf(uncertainty), 'trunk_lean', 'largest');
    expect(found.change).toBeNull();
    expect(found.reason).toMatch(/20 of 40/);
    expect(found.points[0].lower).toBeNaN();
  });
});

describe('the watched ones', () => {
  const card = (i: number, probability: number): SetChange => ({
    ...WATCHED[i],
    unit: '1',
    points: [],
    reason: '',
    change: { from: 1, shape: 'at once', difference: 1, lower: 0, upper: 2, probability, verdict: 'changed' },
  });

  test('are judged together: 0.03 alone of two stands, of eight it does not', () => {
    const alone = [card(3, 0.03), card(4, 0.06)];
    expect(watchedChanges(alone)).toHaveLength(0);
    expect(watchedChanges([card(3, 0.02), card(4, 0.06)]).map(({ measure }) => measure)).toEqual([WATCHED[3].measure]);
    expect(watchedChanges([card(3, 0.02), ...[4, 5, 6, 7, 8, 9, 10].map((i) => card(i, 0.5))])).toHaveLength(0);
  });

  test('of the speeds only the best known one counts', () => {
    expect(watchedChanges([card(0, 0.04), card(2, 0.001)]).map(({ measure }) => measure)).toEqual([
      'bar_velocity_mean',
    ]);
    expect(watchedChanges([card(2, 0.001)]).map(({ measure }) => measure)).toEqual(['hip_velocity_mean']);
  });

  test('each of them is a measure that the lift stage gives', () => {
    const { measures } = makeRecord();
    for (const { measure, side, at } of WATCHED) {
      expect(measures.some((one) => one.measure === measure && one.side === side && one.at === at)).toBe(true);
    }
  });
});

test('the table: a row a measure and repetition, columns as in the dictionary, the effort beside', () => {
  const record = withValues([38, 38.4, 37.8, 44, 44.3]);
  const rows = recordsOf(csvOf(setChangesTable(record, 8.5, setChangesOf(makeUncertainty(record)))));
  const leans = rows.filter(({ measure, at }) => measure === 'trunk_lean' && at === 'largest');
  expect(leans.map(({ repetition }) => repetition)).toEqual(['1', '2', '3', '4', '5']);
  expect(new Set(leans.map((row) => row.from_repetition))).toEqual(new Set(['4']));
  expect(leans[0].effort_rpe).toBe('8.5');
  for (const column of SET_CHANGE_COLUMNS) expect(columnEntry('set-changes.csv', column)).toBeDefined();
  expect(csvOf(setChangesTable(record, null, [])).trimEnd()).toBe(SET_CHANGE_COLUMNS.join(','));
});
