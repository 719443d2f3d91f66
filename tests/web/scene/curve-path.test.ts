import { describe, expect, test } from '@jest/globals';
import { curvePath, heightOf, niceRange } from '../../../src/web/scene/curve-path.ts';

const scale = { low: 0, high: 10, top: 5, height: 100 };

describe('curves', () => {
  test('a value stands at its height; the path goes through every frame', () => {
    expect(heightOf(scale, 0)).toBe(105);
    expect(heightOf(scale, 10)).toBe(5);
    expect(curvePath([0, 5, 10], 0, 2, 30, 4, scale)).toBe('M30.0 105.0L34.0 55.0L38.0 5.0');
  });

  test('missing values break the line; a lone value is a dash; only the part asked for is drawn', () => {
    const values = [1, Number.NaN, 2, Number.NaN, 3, 4];
    expect(curvePath(values, 0, 5, 0, 1, scale)).toBe('M0.0 95.0h1M2.0 85.0h1M4.0 75.0L5.0 65.0');
    expect(curvePath(values, 4, 5, 0, 1, scale)).toBe('M0.0 75.0L1.0 65.0');
    expect(curvePath([Number.NaN], 0, 0, 0, 1, scale)).toBe('');
  });

  test('ticks are round, hold every value and what must be seen', () => {
    expect(niceRange([[3, 477, -67]], [0], 3)).toEqual({ low: -200, high: 600, step: 200 });
    expect(niceRange([[41, 44]], [0, 100], 3)).toEqual({ low: 0, high: 100, step: 50 });
    expect(niceRange([[Number.NaN, 2], []], [], 3)?.low).toBeLessThanOrEqual(2);
    expect(niceRange([[Number.NaN]], [0], 3)).toBeNull();
  });
});
