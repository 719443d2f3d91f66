import { describe, expect, test } from '@jest/globals';
import { lossCurvature, lossValue, lossWeight, type RobustLoss, requireLoss } from '../../src/numerics/robust-loss.ts';
import { expectClose } from '../expect-close.ts';

const HUBER: RobustLoss = { kind: 'huber', scale: 1.5 };
const CAUCHY: RobustLoss = { kind: 'cauchy', scale: 1.5 };

describe('loss on the squared length', () => {
  test('closed forms: Huber 2 a √s − a² outside a, Cauchy a² ln(1 + s/a²), both s near 0', () => {
    expectClose(lossValue(HUBER, 2.25), 2.25, 1e-15);
    expectClose(lossValue(HUBER, 9), 2 * 1.5 * 3 - 2.25, 1e-14);
    expectClose(lossValue(CAUCHY, 2.25), 2.25 * Math.LN2, 1e-15);
    // To first order in s = 1e-20.
    for (const loss of [HUBER, CAUCHY]) expectClose(lossValue(loss, 1e-20) / 1e-20, 1, 1e-15);
    expect(lossValue({ kind: 'none' }, 7)).toBe(7);
  });

  test.each([HUBER, CAUCHY])('$kind: weight and curvature are those of central differences', (loss) => {
    for (const s of [0.3, 1.9, 2.9, 40]) {
      const h = 1e-4 * s;
      const slope = (lossValue(loss, s + h) - lossValue(loss, s - h)) / (2 * h);
      const second = (lossWeight(loss, s + h) - lossWeight(loss, s - h)) / (2 * h);
      // Truncation h² ρ‴ / 6, h = 1e-4 s: about 1e-8 of values of order 1.
      expectClose(lossWeight(loss, s), slope, 1e-7, `weight at ${s}`);
      expectClose(lossCurvature(loss, s), 1 + (2 * s * second) / lossWeight(loss, s), 1e-7, `curvature at ${s}`);
    }
  });

  test('a scale that is not positive is refused', () => {
    expect(() => requireLoss({ kind: 'huber', scale: 0 })).toThrow(RangeError);
    expect(() => requireLoss({ kind: 'cauchy', scale: Number.NaN })).toThrow(RangeError);
    expect(() => requireLoss({ kind: 'none' })).not.toThrow();
  });
});
