import { describe, expect, test } from '@jest/globals';
import { seededRandom } from '../../src/numerics/random.ts';
import { outlierLimitPx, pixelNoise, robustScales } from '../../src/reconstruction/pixel-noise.ts';
import { expectClose } from '../expect-close.ts';

/** Points of one landmark whose Σr² are chi-square of the freedom given, times sd². */
function residuals(freedom: number, count: number, sd: number, seed: number) {
  const random = seededRandom(seed);
  const squaredSum = Float64Array.from({ length: count }, () => {
    let sum = 0;
    for (let i = 0; i < freedom; i++) sum += (sd * random.normal()) ** 2;
    return sum;
  });
  return { status: new Uint8Array(count), squaredSum, freedom: new Uint8Array(count).fill(freedom) };
}

describe.each([1, 3, 5, 7])('%i degrees of freedom', (freedom) => {
  const samples = residuals(freedom, 20_000, 1.7, freedom);

  test('the robust scale is the standard deviation', () => {
    // The median of 20,000 draws scatters by 0.8 % at one degree of freedom; Wilson & Hilferty are within 0.4 %.
    expectClose(robustScales(samples, 1)[0], 1.7, 0.03 * 1.7, 'robust scale, px');
  });

  test('a third of gross errors moves it little', () => {
    const spoilt = { ...samples, squaredSum: samples.squaredSum.map((sum, i) => (i % 3 === 0 ? sum + 1e6 : sum)) };
    // The median of the spoilt set is the 75 % quantile of the good ones: for one degree of freedom
    // 1.1503 / 0.6745 = 1.7 times (normal tables), less for more.
    expect(robustScales(spoilt, 1)[0]).toBeLessThan(1.75 * 1.7);
  });

  test('the pooled noise is √(Σr² / Σ freedom)', () => {
    expectClose(pixelNoise(samples, ['nose'], [])[0], 1.7, 0.02 * 1.7, 'noise, px'); // scatter 0.5 % at one degree
  });
});

test('the noise is told per landmark; one seen rarely borrows that of all, with a note', () => {
  const freedom = new Uint8Array(60).fill(1);
  const squaredSum = new Float64Array(60).map((_, s) => (s % 2 === 0 ? 4 : 9));
  const status = new Uint8Array(60).map((_, s) => (s % 2 === 1 && s > 10 ? 1 : 0));
  const notes: string[] = [];
  const [first, second] = pixelNoise({ status, squaredSum, freedom }, ['left_knee', 'nose'], notes);
  expectClose(first, 2, 1e-12, 'own');
  expectClose(second, Math.sqrt((30 * 4 + 5 * 9) / 35), 1e-12, 'borrowed');
  expect(notes).toHaveLength(1);
});

test('the outlier limit: six scales, at least 0.2 % of the diagonal', () => {
  expectClose(outlierLimitPx(2, 2000), 12, 1e-12, 'noisy');
  expectClose(outlierLimitPx(0, 2000), 4, 1e-12, 'noise-free');
});
