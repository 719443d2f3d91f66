import { describe, expect, test } from '@jest/globals';
import type { CurvePoint } from '../../src/lift/lift-record.ts';
import { meanCurvesTable } from '../../src/study/mean-curves.ts';
import { expectClose } from '../expect-close.ts';
import { makeRecord } from './make-record.ts';

const record = makeRecord({ partialRepetition: 3 });
const point = (
  repetition: number,
  depth: number,
  value: number,
  phase: CurvePoint['phase'] = 'descent',
): CurvePoint => ({
  repetition,
  phase,
  grid: 'thigh_elevation_deg',
  depth,
  quantity: 'hip_moment',
  side: 'both',
  value,
  lower: Number.NaN,
  upper: Number.NaN,
  unit: 'nm',
  reason: Number.isNaN(value) ? 'not reached' : '',
});

describe('meanCurvesTable', () => {
  // Repetition 3 is partial: its values must not count.
  const rows = meanCurvesTable({
    ...record,
    curves: [
      point(1, 0, 2),
      point(2, 0, 4),
      point(3, 0, 1000),
      point(1, -10, 5),
      point(2, -10, Number.NaN),
      point(1, 0, 7, 'ascent'),
      point(2, 0, Number.NaN, 'ascent'),
    ],
  }).objects() as {
    phase: string;
    depth: number;
    mean: number;
    sd: number;
    lowest: number;
    highest: number;
    n: number;
  }[];
  const at = (phase: string, depth: number) => rows.find((row) => row.phase === phase && row.depth === depth)!;

  test('mean, sample standard deviation and range of the full repetitions, by hand', () => {
    const { mean, sd, lowest, highest, n } = at('descent', 0);
    expectClose(mean, 3, 1e-12, 'mean of 2 and 4');
    expectClose(sd, Math.SQRT2, 1e-12, 'sd of 2 and 4, divisor n − 1');
    expect([lowest, highest, n]).toEqual([2, 4, 2]);
  });

  test('no mean where one of the repetitions that have the curve is unknown, so that the line does not jump', () => {
    expect(at('descent', -10).mean).toBeNaN();
    expect(at('descent', -10).n).toBe(1);
  });

  test('a curve that only one repetition has is its own mean, without a spread', () => {
    expect(at('ascent', 0).mean).toBe(7);
    expect(at('ascent', 0).sd).toBeNaN();
  });
});

test('no full repetition, no mean', () => {
  const rows = meanCurvesTable(makeRecord({ repetitions: 0 }));
  expect(rows.numRows()).toBe(0);
  expect(rows.columnNames()).toContain('mean');
});
