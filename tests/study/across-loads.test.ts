import { describe, expect, test } from '@jest/globals';
import { FALSE_ALARM } from '../../src/lift/across-set/change-point.ts';
import { changeReasons } from '../../src/messages/changes.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import {
  type DoubtfulMean,
  judgeLoads,
  LOAD_CHANGE_COLUMNS,
  type LoadedRecording,
  loadChangesOf,
  loadChangesTable,
  meanOfMeans,
  pooledScatter,
} from '../../src/study/across-loads.ts';
import { csvOf } from '../../src/study/csv.ts';
import { columnEntry } from '../../src/study/dictionary.ts';
import { setMeansOf } from '../../src/study/set-means.ts';
import { expectClose } from '../expect-close.ts';
import { makeRecord, makeRecording } from './make-record.ts';
import { makeUncertainty } from './make-uncertainty.ts';
import { recordsOf } from './read-csv.ts';

const of = (value: number, change: Partial<DoubtfulMean> = {}): DoubtfulMean => ({
  value,
  repetitions: 3,
  effects: new Map(),
  noiseVariance: 0.01,
  noiseFreedom: 39,
  reason: '',
  ...change,
});

describe('by hand', () => {
  test('a mean of means counts repetitions; what a cause does goes with it', () => {
    const found = meanOfMeans([
      of(10, { repetitions: 1, effects: new Map([['a', 4]]) }),
      of(14, { repetitions: 3, effects: new Map([['a', 8]]), noiseVariance: 0.04 }),
    ]);
    expectClose(found.value, 13, 1e-12);
    expectClose(found.effects.get('a')!, 7, 1e-12);
    expectClose(found.noiseVariance, 0.01 / 16 + (9 * 0.04) / 16, 1e-12);
    expect(found.repetitions).toBe(4);
  });

  test('scatter pooled over sets: 1 2 3 and 10 14 give (2 + 8) / 3 on 3 freedoms; a single tells nothing', () => {
    expect(pooledScatter([[1, 2, 3], [10, 14], [5]])).toEqual({ variance: 10 / 3, freedom: 3 });
    expect(pooledScatter([[5], [6]])).toEqual({ variance: Number.NaN, freedom: 0 });
  });

  test('the third of three loads is judged against the mean of the two lighter ones, at 2.5 %', () => {
    const scatter = { variance: 3, freedom: 6 };
    const [, second, third] = judgeLoads([of(10), of(10.5), of(20)], scatter);
    // 0.5 against a noise of √0.02: beyond the measurement, well within a scatter of √2.
    expect(second.verdict).toBe('different');
    expect(third.verdict).toBe('changed');
    expectClose(third.difference, 20 - 10.25, 1e-12);
    // t on 6 freedoms at 1 − 0.0125: 2.9687 (scipy.stats.t.ppf(0.9875, 6)); 3 (1/3 + 1/6) = 1.5.
    expectClose(third.differenceUpper - third.difference, 2.9687 * Math.sqrt(1.5), 2e-3);
  });

  test('loads from a change on are no part of what heavier ones are compared with', () => {
    const judged = judgeLoads([of(10), of(20), of(21)], { variance: 0.3, freedom: 6 });
    expect(judged.map(({ verdict }) => verdict)).toEqual(['', 'changed', 'changed']);
    expectClose(judged[2].difference, 11, 1e-12);
  });

  test('what both loads share cancels; what only the heavy one has does not', () => {
    const scatter = { variance: 0.03, freedom: 6 };
    const shared = (effect: number) => new Map([['athlete', effect]]);
    expect(judgeLoads([of(10, { effects: shared(9) }), of(12, { effects: shared(9) })], scatter)[1].verdict).toBe(
      'changed',
    );
    expect(judgeLoads([of(10), of(12, { effects: shared(9) })], scatter)[1].verdict).toBe('cannot tell');
  });

  test('one repetition at each load: different at most, and why', () => {
    const single = (value: number) => of(value, { repetitions: 1 });
    const [, found] = judgeLoads([single(10), single(12)], pooledScatter([[10], [12]]));
    expect(found.verdict).toBe('different');
    expect(found.differenceLower).toBeNaN();
    expect(found.reason).toBe(changeReasons.loadScatterUnknown());
  });
});

test.each([
  [2, 3],
  [4, 3],
  [6, 2],
])('%d loads of %d repetitions without a change: one is called changed in no more than 5 %', (loads, repetitions) => {
  const random = seededRandom(10 * loads + repetitions);
  const runs = 800;
  let called = 0;
  for (let run = 0; run < runs; run++) {
    const sets = Array.from({ length: loads }, () => Array.from({ length: repetitions }, () => random.normal()));
    const common = 3 * random.normal();
    const means = sets.map((values) =>
      of(common + values.reduce((a, b) => a + b) / repetitions, {
        repetitions,
        noiseVariance: 0.02 / repetitions,
        effects: new Map([['athlete', 3]]),
      }),
    );
    if (judgeLoads(means, pooledScatter(sets)).some(({ verdict }) => verdict === 'changed')) called++;
  }
  expect(called / runs).toBeLessThan(FALSE_ALARM + 3 * Math.sqrt((FALSE_ALARM * (1 - FALSE_ALARM)) / runs));
});

describe('recordings', () => {
  const loaded = (
    id: string,
    totalKg: number,
    effortRpe: number | null,
    leanPlus: number,
    athlete = '007',
  ): LoadedRecording => {
    const recording = makeRecording({ recordingId: id, athleteId: athlete });
    const record = makeRecord({ recordingId: id, athleteId: athlete });
    const changed = {
      ...record,
      measures: record.measures.map((m) => (m.measure === 'trunk_lean' ? { ...m, value: m.value + leanPlus } : m)),
    };
    return {
      recording: {
        ...recording,
        load: { ...recording.load, totalKg },
        lift: { ...recording.lift, effortRpe },
      },
      record: changed,
      means: setMeansOf(makeUncertainty(changed, { noise: 0.002 })),
    };
  };
  const light = loaded('a', 60, 6, 0);
  const middle = [loaded('b', 80, 7, 0), loaded('c', 80, 8, 0)];
  const heavy = loaded('d', 100, null, 12);

  test('go from light to heavy, equal loads together, with their effort; the lean that grows is found at its load', () => {
    const changes = loadChangesOf([heavy, ...middle, light]);
    const lean = changes.find(({ measure, at }) => measure === 'trunk_lean' && at === 'largest')!;
    expect(lean.points.map(({ loadKg }) => loadKg)).toEqual([60, 80, 100]);
    expect(lean.points.map(({ recordings }) => recordings)).toEqual([['a'], ['b', 'c'], ['d']]);
    expect(lean.points.map(({ effortRpe }) => effortRpe)).toEqual([6, 7.5, null]);
    expect(lean.points.map(({ repetitions }) => repetitions)).toEqual([3, 6, 3]);
    expect(lean.points.map(({ verdict }) => verdict)).toEqual(['', 'cannot tell', 'changed']);
    expect(lean.changesFromKg).toBe(100);
    const depth = changes.find(({ measure, side }) => measure === 'bottom_thigh_elevation' && side === 'both')!;
    expect(depth.changesFromKg).toBeNull();
    // What a body is is no matter of the load.
    expect(changes.some(({ measure }) => measure === 'femur_per_trunk')).toBe(false);
    expect(changes.some(({ measure }) => measure === 'velocity_loss')).toBe(true);
  });

  test('another lifter, and another condition, are other lifts; one load alone says nothing', () => {
    expect(loadChangesOf([light, loaded('x', 80, null, 0, '008')])).toEqual([]);
    const flat = { ...heavy, recording: { ...heavy.recording, condition: { heel: 'flat' } } };
    expect(loadChangesOf([light, flat])).toEqual([]);
    const lowShoe = { ...heavy, recording: { ...heavy.recording, shoes: { heelHeightM: 0 } } };
    expect(loadChangesOf([light, lowShoe])).toEqual([]);
    expect(loadChangesOf(middle)).toEqual([]);
  });

  test('the table has the columns of the dictionary', () => {
    const rows = recordsOf(csvOf(loadChangesTable(loadChangesOf([light, ...middle, heavy]))));
    const lean = rows.filter(({ measure, at }) => measure === 'trunk_lean' && at === 'largest');
    expect(lean.map((row) => [row.load_kg, row.recordings, row.effort_rpe, row.changes_from_kg])).toEqual([
      ['60', 'a', '6', '100'],
      ['80', 'b c', '7.5', '100'],
      ['100', 'd', '', '100'],
    ]);
    for (const column of LOAD_CHANGE_COLUMNS) expect(columnEntry('load-changes.csv', column)).toBeDefined();
    expect(csvOf(loadChangesTable([])).trimEnd()).toBe(LOAD_CHANGE_COLUMNS.join(','));
  });
});
