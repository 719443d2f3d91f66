import { describe, expect, test } from '@jest/globals';
import type { CurveDifference, Verdict } from '../../../src/study/compare/compare-lifts.ts';
import { curveOf, rangesThatDiffer, sharedDepths } from '../../../src/study/compare/depth-ranges.ts';

const side = { value: 0, lower: 0, upper: 0, averaged: 1 };
const point = (
  depth: number,
  difference: number,
  verdict: Verdict,
  phase: 'descent' | 'ascent' = 'descent',
): CurveDifference => ({
  a: side,
  b: side,
  difference,
  lower: difference - 1,
  upper: difference + 1,
  bandLower: difference - 2,
  bandUpper: difference + 2,
  sd: 0.5,
  cancelled: 0,
  verdict,
  reason: '',
  phase,
  grid: 'thigh_elevation_deg',
  depth,
  quantity: 'trunk_lean',
  side: '',
  unit: 'deg',
});

describe('depths that differ', () => {
  const points = [
    point(30, 1, 'cannot tell'),
    point(25, 4, 'different'),
    point(20, 6, 'different'),
    point(15, -5, 'different'),
    point(10, -1, 'cannot tell'),
    point(5, -7, 'different'),
    point(0, Number.NaN, 'unknown'),
    point(-5, -3, 'different'),
    point(30, 3, 'different', 'ascent'),
  ];

  test('neighbours of one sign make a range; a sign, a doubt or a gap ends it', () => {
    expect(
      rangesThatDiffer(points).map(({ phase, from, to, sign, largest }) => [phase, from, to, sign, largest.difference]),
    ).toEqual([
      ['descent', 25, 20, 1, 6],
      ['descent', 15, 15, -1, -5],
      ['descent', 5, 5, -1, -7],
      ['descent', -5, -5, -1, -3],
      ['ascent', 30, 30, 1, 3],
    ]);
  });

  test('shared depths are those with a difference', () => {
    expect(sharedDepths(points, 'descent')).toEqual({ from: 30, to: -5 });
    expect(sharedDepths([], 'descent')).toBeNull();
    expect(curveOf(points, 'trunk_lean', '')).toHaveLength(9);
    expect(curveOf(points, 'trunk_lean', 'both')).toHaveLength(0);
  });
});
