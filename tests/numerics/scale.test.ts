import { describe, expect, test } from '@jest/globals';
import { fromScale, ratioPerUnit, type Scale, toScale } from '../../src/numerics/scale.ts';
import { expectClose } from '../expect-close.ts';

const SCALES: readonly Scale[] = ['share', 'logarithm', 'reciprocal'];

describe.each(SCALES)('%s', (scale) => {
  test.each([0.05, 0.5, 1, 2.5, 20])(
    '%d goes there and back, in order, and its slope is that of a difference',
    (ratio) => {
      expectClose(fromScale(scale, toScale(scale, ratio)), ratio, 1e-12 * ratio, 'there and back');
      const h = 1e-6 * ratio;
      const rise = toScale(scale, ratio + h) - toScale(scale, ratio - h);
      expect(rise).toBeGreaterThan(0);
      expectClose((ratioPerUnit(scale, ratio) * rise) / (2 * h), 1, 1e-6, 'slope');
    },
  );
});

test('what no finite ratio has is Infinity, and a ratio without a place is NaN', () => {
  expect(fromScale('share', 1)).toBe(Number.POSITIVE_INFINITY);
  expect(fromScale('reciprocal', 0)).toBe(Number.POSITIVE_INFINITY);
  expect(toScale('share', -1)).toBeNaN();
  expect(toScale('logarithm', 0)).toBeNaN();
  expect(toScale('reciprocal', -2)).toBeNaN();
});
