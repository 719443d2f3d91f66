import { describe, expect, test } from '@jest/globals';
import { newtonMinimum, type SmoothFunction } from '../../../../src/study/statistics/mixed-model/newton-minimum.ts';
import { expectAllClose, expectClose } from '../../../expect-close.ts';

/** Rosenbrock (1960): minimum 0 at (1, 1) at the end of a curved valley. */
const rosenbrock: SmoothFunction = {
  value(slope, [x, y]) {
    slope[0] = -2 * (1 - x) - 400 * x * (y - x * x);
    slope[1] = 200 * (y - x * x);
    return (1 - x) ** 2 + 100 * (y - x * x) ** 2;
  },
  curvature([x, y]) {
    return Float64Array.from([2 - 400 * (y - 3 * x * x), -400 * x, -400 * x, 200]);
  },
};

/** (x² − 1)² + y²: a saddle at the origin, minima at (±1, 0). */
const twoValleys: SmoothFunction = {
  value(slope, [x, y]) {
    slope[0] = 4 * x * (x * x - 1);
    slope[1] = 2 * y;
    return (x * x - 1) ** 2 + y * y;
  },
  curvature([x]) {
    return Float64Array.from([12 * x * x - 4, 0, 0, 2]);
  },
};

describe('newtonMinimum', () => {
  test('the usual start of Rosenbrock’s valley', () => {
    const found = newtonMinimum(rosenbrock, Float64Array.from([-1.2, 1]));
    expect(found.converged).toBe(true);
    expectAllClose(found.x, [1, 1], 1e-9, 'place');
  });

  test('leaves a saddle on which it starts', () => {
    const found = newtonMinimum(twoValleys, new Float64Array(2));
    expect(found.converged).toBe(true);
    expectClose(Math.abs(found.x[0]), 1, 1e-9, 'place');
  });

  test('no variable, no search; a start where nothing exists is no minimum', () => {
    expect(newtonMinimum({ value: () => 3, curvature: () => new Float64Array(0) }, new Float64Array(0))).toMatchObject({
      value: 3,
      converged: true,
    });
    const nowhere = { value: () => Number.POSITIVE_INFINITY, curvature: () => new Float64Array(1) };
    expect(newtonMinimum(nowhere, new Float64Array(1)).converged).toBe(false);
  });

  test('a slope that never ends is not called settled', () => {
    const falling: SmoothFunction = {
      value(slope, [x]) {
        slope[0] = -1;
        return -x;
      },
      curvature: () => Float64Array.from([0]),
    };
    expect(newtonMinimum(falling, new Float64Array(1)).converged).toBe(false);
  });
});
