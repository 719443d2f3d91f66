import { describe, expect, test } from '@jest/globals';
import { crossingIndex, cubicSpline, valueAtIndex } from '../../src/numerics/interpolation.ts';
import { expectClose } from '../expect-close.ts';
import { reference } from '../reference.ts';

interface SplineCase {
  case: string;
  t: number[];
  y: number[];
  at: number[];
  values: number[];
}
const scipy = reference<SplineCase>('numerics-scipy-spline');

describe('cubic spline', () => {
  test.each(scipy.cases)('$case: as SciPy, inside and beyond the ends', ({ t, y, at, values }) => {
    const spline = cubicSpline(t, y);
    at.forEach((time, i) => {
      expectClose(spline(time), values[i], scipy.tolerance, `at ${time}`);
    });
  });

  test('reproduces a cubic everywhere (closed form: not-a-knot)', () => {
    const cubic = (t: number) => 2 - t + 3 * t * t - 0.5 * t ** 3;
    const t = [0, 0.3, 1, 1.1, 2.5, 4];
    const spline = cubicSpline(t, t.map(cubic));
    for (let at = -1; at <= 5; at += 0.13) expectClose(spline(at), cubic(at), 1e-11, `at ${at}`);
  });

  test('passes through its points', () => {
    const { t, y } = scipy.cases[2];
    const spline = cubicSpline(t, y);
    t.forEach((time, i) => {
      expectClose(spline(time), y[i], 1e-14, `point ${i}`);
    });
  });

  test('two points: the line; three: the parabola (closed form)', () => {
    expectClose(cubicSpline([1, 3], [2, 8])(2.5), 6.5, 1e-14, 'line');
    const parabola = (t: number) => 1 - 2 * t + 0.7 * t * t;
    const three = cubicSpline([0, 1, 4], [0, 1, 4].map(parabola));
    for (const at of [-1, 0.5, 2, 3.9, 5]) expectClose(three(at), parabola(at), 1e-13, `at ${at}`);
  });

  test('the error falls with the fourth power of the step (de Boor 1978: O(h⁴))', () => {
    const errorWith = (n: number) => {
      const t = Array.from({ length: n + 1 }, (_, i) => (3 * i) / n);
      const spline = cubicSpline(t, t.map(Math.sin));
      return Math.max(...Array.from({ length: 1001 }, (_, i) => Math.abs(spline(0.003 * i) - Math.sin(0.003 * i))));
    };
    const ratio = errorWith(40) / errorWith(80);
    expect(ratio).toBeGreaterThan(14);
    expect(ratio).toBeLessThan(40);
  });

  test('later changes of the input do not reach the spline; NaN gives NaN', () => {
    const y = [0, 1, 2, 3];
    const spline = cubicSpline([0, 1, 2, 3], y);
    y[1] = 50;
    expectClose(spline(1), 1, 1e-14, 'kept');
    expect(spline(Number.NaN)).toBeNaN();
  });

  test.each([
    ['one point', [0], [1]],
    ['unequal lengths', [0, 1], [1]],
    ['times that stand still', [0, 1, 1], [1, 2, 3]],
    ['a missing value', [0, 1, 2], [1, Number.NaN, 3]],
  ])('%s is refused', (_, t, y) => {
    expect(() => cubicSpline(t, y)).toThrow(RangeError);
  });
});

describe('crossings of a level', () => {
  const x = [0, 2, 4, 1, -1, 3];

  test('first crossing, linear between samples', () => {
    expect(crossingIndex(x, 1)).toBe(0.5);
    expect(crossingIndex(x, 3, 0, 5, 'falling')).toBeCloseTo(2 + 1 / 3, 12);
    expect(crossingIndex(x, 0, 1)).toBe(3.5);
    expect(crossingIndex(x, 0, 1, 5, 'rising')).toBe(4.25);
  });

  test('searched backward, rising and falling are meant along the search', () => {
    expect(crossingIndex(x, 0, 5, 0)).toBe(4.25);
    expect(crossingIndex(x, 0, 5, 0, 'rising')).toBe(3.5);
    expect(crossingIndex(x, 1, 2, 0, 'falling')).toBe(0.5);
  });

  test('a sample on the level is met exactly', () => {
    expect(crossingIndex(x, 2)).toBe(1);
    expect(crossingIndex(x, 4)).toBe(2);
    expect(crossingIndex(x, 0)).toBe(0);
  });

  test('none: NaN, also across a gap', () => {
    expect(crossingIndex(x, 9)).toBeNaN();
    expect(crossingIndex([0, Number.NaN, 2], 1)).toBeNaN();
    expect(crossingIndex([], 1)).toBeNaN();
    expect(crossingIndex([0, 1, 2], 1.5, 0, 1)).toBeNaN();
  });

  test('the value at a crossing is the level', () => {
    expectClose(valueAtIndex(x, crossingIndex(x, 3.3, 0, 5, 'falling')), 3.3, 1e-14, 'value');
    expect(valueAtIndex(x, 5)).toBe(3);
    expect(valueAtIndex(x, 5.01)).toBeNaN();
    expect(valueAtIndex(x, Number.NaN)).toBeNaN();
  });
});
