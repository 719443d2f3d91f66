import { describe, expect, test } from '@jest/globals';
import {
  athleteCurves,
  type CurveRow,
  onOnePlaces,
  scaleOf,
} from '../../../../src/study/statistics/curves/athlete-curves.ts';
import { expectClose } from '../../../expect-close.ts';
import { curvesOf } from './made-curves.ts';

const name = { quantity: 'hip_share', side: 'both', grid: 'thigh_elevation_deg' } as const;
const row = (recordingId: string, athleteId: string, repetition: number, depth: number, value: number): CurveRow => ({
  recordingId,
  athleteId,
  repetition,
  phase: 'descent',
  depth,
  value,
});

describe('one curve an athlete', () => {
  const rows = [
    // Two recordings with three and one repetitions: each recording counts once.
    ...[0.4, 0.5, 0.6].map((value, r) => row('r1', 'B', r + 1, 0, value)),
    row('r2', 'B', 1, 0, 0.7),
    row('r3', 'A', 1, 0, 0.3),
    row('r3', 'A', 1, -5, 0.4),
  ];
  const curves = athleteCurves(rows, name);

  test('repetitions first, then recordings, athletes in the order of their ids', () => {
    expect(curves.athletes).toEqual(['A', 'B']);
    expect(curves.recordings).toEqual([1, 2]);
    expect(curves.repetitions).toEqual([1, 4]);
    expectClose(curves.values[2], (0.5 + 0.7) / 2, 1e-15, 'B at 0°');
  });

  test('shallow first, and a depth that some repetition lacks is unknown', () => {
    expect(curves.places.map(({ depth }) => depth)).toEqual([0, -5]);
    expect(curves.values[3]).toBeNaN();
    const uneven = athleteCurves([...rows, row('r2', 'B', 1, -5, 0.7)], name);
    expect(uneven.values[3]).toBeNaN();
  });

  test('the order of rows does not matter', () => {
    expect(athleteCurves([...rows].reverse(), name)).toEqual(curves);
  });

  test('ratios by the logarithm, where 0 and less are unknown; shares as they are', () => {
    expect([scaleOf('hip_knee_ratio'), scaleOf('hip_share')]).toEqual(['logarithm', 'as is']);
    const ratio = { ...name, quantity: 'hip_knee_ratio' };
    const logs = athleteCurves([row('r', 'A', 1, 0, 2), row('r', 'A', 2, 0, 0.5), row('s', 'B', 1, 0, -1)], ratio);
    expect(logs.athletes).toEqual(['A']);
    expectClose(logs.values[0], 0, 1e-15, 'mean log of 2 and 1/2');
  });

  test('nothing known, or two kinds of curve: refused', () => {
    expect(() => athleteCurves([row('r', 'A', 1, 0, Number.NaN)], name)).toThrow(
      expect.objectContaining({ code: 'curve-test-no-values' }),
    );
    const other = curvesOf([[1]], 'A', { quantity: 'hip_knee_ratio', scale: 'logarithm' });
    expect(() => onOnePlaces(curves, other)).toThrow(expect.objectContaining({ code: 'curve-test-two-kinds' }));
  });

  test('two sets of places become their union, unknown where one lacks it', () => {
    const [a, b] = onOnePlaces(curvesOf([[1, 2, 3]]), curvesOf([[4, 5]]));
    expect(a.places).toEqual(b.places);
    expect([...b.values]).toEqual([4, 5, Number.NaN]);
  });
});
