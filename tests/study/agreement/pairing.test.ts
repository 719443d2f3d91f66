import { describe, expect, test } from '@jest/globals';
import { parseCsv } from '../../../src/capture/csv.ts';
import { DataError } from '../../../src/errors.ts';
import type { LiftRecord } from '../../../src/lift/lift-record.ts';
import { checkSameLift, pairRecordings } from '../../../src/study/agreement/pair-recordings.ts';
import { pairRepetitions } from '../../../src/study/agreement/pair-repetitions.ts';
import { pairsOf } from '../../../src/study/agreement/pairs-file.ts';
import { expectClose } from '../../expect-close.ts';
import { makeRecord, makeRecording } from '../make-record.ts';

const codeOf = (act: () => unknown): string => {
  try {
    act();
  } catch (error) {
    if (error instanceof DataError) return error.code;
    throw error;
  }
  return 'nothing thrown';
};

const record = makeRecord({ repetitions: 4 });
/** Only some repetitions of the record, by number, with a clock of its own. */
const part = (numbers: readonly number[], shiftS = 0): LiftRecord => ({
  ...record,
  loads: { ...record.loads, startS: record.loads.startS + shiftS },
  repetitions: record.repetitions
    .filter(({ number }) => numbers.includes(number))
    .map((repetition, i) => ({ ...repetition, number: i + 1 })),
});

describe('repetitions', () => {
  test('equally many: one with one, whatever the clocks say; their shift is found', () => {
    const found = pairRepetitions(record, part([1, 2, 3, 4], 17.25));
    expect(found.pairs.map(([a, b]) => [a.number, b.number])).toEqual([
      [1, 1],
      [2, 2],
      [3, 3],
      [4, 4],
    ]);
    expectClose(found.clockOffsetS, 17.25, 1e-9, 'shift');
    expectClose(found.clockOffsetSeS, 0, 1e-9, 'its standard error');
    expect([found.unpairedA, found.unpairedB]).toEqual([[], []]);
  });

  test('one missed in the middle: the others pair, it stays alone', () => {
    const found = pairRepetitions(record, part([1, 2, 4]));
    expect(found.pairs.map(([a, b]) => [a.number, b.number])).toEqual([
      [1, 1],
      [2, 2],
      [4, 3],
    ]);
    expect(found.unpairedA.map(({ number }) => number)).toEqual([3]);
  });

  test('evenly done and one fewer: first or last missing cannot be told; by order it can be said', () => {
    expect(codeOf(() => pairRepetitions(record, part([1, 2, 3])))).toBe('validate-repetitions-ambiguous');
    const told = pairRepetitions(record, part([1, 2, 3]), 'order');
    expect(told.pairs.length).toBe(3);
    expect(told.unpairedA.map(({ number }) => number)).toEqual([4]);
    expect(told.clockOffsetS).toBeNaN();
  });

  test('none found by one of them: refused', () => {
    expect(codeOf(() => pairRepetitions(record, part([])))).toBe('validate-no-repetitions');
  });
});

describe('recordings', () => {
  const one = (id: string, athleteId = 'A', set: number | null = 1, totalKg = 80) => {
    const made = makeRecording({ recordingId: id, athleteId });
    return { recording: { ...made, lift: { ...made.lift, set }, load: { ...made.load, totalKg } } };
  };
  const names = { a: 'a.yaml', b: 'b.yaml' };
  const idsOf = (pairs: readonly (readonly [ReturnType<typeof one>, ReturnType<typeof one>])[]) =>
    pairs.map(([a, b]) => `${a.recording.id}=${b.recording.id}`);

  test('one against one always; equal ids; else lifter, set and load', () => {
    expect(idsOf(pairRecordings([one('x')], [one('y')], false, names).pairs)).toEqual(['x=y']);
    const found = pairRecordings(
      [one('m1'), one('p2', 'B'), one('p3', 'B', 2)],
      [one('q3', 'B', 2), one('m1', 'C'), one('q2', 'B')],
      false,
      names,
    );
    expect(idsOf(found.pairs)).toEqual(['m1=m1', 'p2=q2', 'p3=q3']);
  });

  test('left over: refused, or left out when told; two alike are not guessed', () => {
    const a = [one('p1'), one('p2'), one('p3', 'B')];
    const b = [one('q1'), one('q3', 'B')];
    expect(codeOf(() => pairRecordings(a, b, false, names))).toBe('validate-recordings-unpaired');
    const found = pairRecordings(a, b, true, names);
    expect(idsOf(found.pairs)).toEqual(['p3=q3']);
    expect([found.unpairedA.length, found.unpairedB.length]).toEqual([2, 1]);
    expect(codeOf(() => pairRecordings([one('p1'), one('p2')], [one('q', 'B'), one('r', 'C')], true, names))).toBe(
      'validate-no-pairs',
    );
  });

  test('another lifter, set or load is not the same lift; a collar forgotten is', () => {
    const a = one('p').recording;
    expect(codeOf(() => checkSameLift(a, one('q', 'B').recording))).toBe('validate-not-the-same-lift');
    expect(codeOf(() => checkSameLift(a, one('q', 'A', 2).recording))).toBe('validate-not-the-same-lift');
    expect(codeOf(() => checkSameLift(a, one('q', 'A', 1, 82.5).recording))).toBe('validate-not-the-same-lift');
    expect(codeOf(() => checkSameLift(a, one('q', 'A', null, 80.5).recording))).toBe('nothing thrown');
  });

  test('a table of pairs: in its order; an id that is not there or stands twice is refused', () => {
    const all = new Map(['x', 'y', 'z'].map((id) => [id, id]));
    const pairs = (text: string) => pairsOf(parseCsv('pairs.csv', text), all, all);
    expect(pairs('b,a\nx,z\ny,y\n')).toEqual([
      ['z', 'x'],
      ['y', 'y'],
    ]);
    expect(codeOf(() => pairs('a,b\nx,w\n'))).toBe('validate-pairs-row');
    expect(codeOf(() => pairs('a,b\nx,y\nx,z\n'))).toBe('validate-pairs-row');
  });
});
