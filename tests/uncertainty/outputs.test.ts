import { expect, test } from '@jest/globals';
import type { LiftRecord, MeasureValue, Repetition } from '../../src/lift/lift-record.ts';
import { outputsOf } from '../../src/uncertainty/outputs.ts';

const measure = (repetition: number, value: number): MeasureValue => ({
  repetition,
  measure: 'trunk_lean',
  side: '',
  at: 'bottom',
  value,
  lower: Number.NaN,
  upper: Number.NaN,
  unit: 'deg',
  frameFirst: 0,
  frameLast: 0,
  reason: '',
});

function record(repetitions: readonly Partial<Repetition>[], values: readonly number[]): LiftRecord {
  return {
    repetitions: repetitions.map((one, i) => ({
      number: i + 1,
      order: 'descent first',
      descent: null,
      ascent: null,
      ...one,
    })),
    measures: values.map((value, i) => measure(i + 1, value)),
    curves: [],
  } as unknown as LiftRecord;
}

const squat = (from: number, bottomFrame: number, to: number): Partial<Repetition> => ({
  bottomFrame,
  descent: { from, to: bottomFrame },
  ascent: { from: bottomFrame, to },
});
const pull = (from: number, to: number): Partial<Repetition> => ({
  order: 'ascent first',
  bottomFrame: from,
  ascent: { from, to },
});

const read = (of: LiftRecord, drawn: LiftRecord) => {
  const outputs = outputsOf(of);
  const out = new Float64Array(outputs.count);
  outputs.readInto(out, 0, drawn);
  return Array.from(out);
};

test('a pause whose lowest frame moves by half a second is the same repetition', () => {
  expect(read(record([squat(100, 173, 260)], [30]), record([squat(101, 208, 258)], [31]))).toEqual([31]);
});

test('an ascent that begins some frames later is the same repetition, though its bottom lies outside the other', () => {
  expect(read(record([pull(100, 220)], [30]), record([pull(107, 221)], [31]))).toEqual([31]);
  expect(read(record([pull(107, 221)], [30]), record([pull(100, 220)], [31]))).toEqual([31]);
});

test('a draw that misses the first repetition is read by time, not by number', () => {
  const both = record([squat(100, 170, 260), squat(300, 370, 460)], [30, 40]);
  expect(read(both, record([squat(301, 371, 461)], [41]))).toEqual([Number.NaN, 41]);
});
