import { describe, expect, test } from '@jest/globals';
import { zeroLagLowPass } from '../../src/numerics/butterworth.ts';
import { filteredVariancePx2, varianceLeft } from '../../src/uncertainty/filtered-noise.ts';
import { expectClose } from '../expect-close.ts';

/** The filter's own response to one sample of 1 in the middle of nothing. */
function impulseResponse(cutoffHz: number, rateHz: number): Float64Array {
  const length = 2 * Math.ceil((8 * rateHz) / cutoffHz) + 1;
  const impulse = new Float64Array(length);
  impulse[(length - 1) / 2] = 1;
  return zeroLagLowPass(impulse, rateHz, cutoffHz);
}

describe('what the filter leaves of the noise', () => {
  test.each([
    [3, 60],
    [6, 60],
    [6, 120],
    [10, 50],
  ])('%d Hz at %d frames a second: the same as the filter’s impulse response says', (cutoffHz, rateHz) => {
    const h = impulseResponse(cutoffHz, rateHz);
    const a = Math.exp(-1 / (rateHz * 0.15));
    let white = 0;
    let slow = 0;
    for (let i = 0; i < h.length; i++) {
      white += h[i] * h[i];
      for (let j = 0; j < h.length; j++) slow += h[i] * h[j] * a ** Math.abs(i - j);
    }
    const left = varianceLeft(cutoffHz, rateHz, 0.15);
    // The response is cut after eight periods of the cut-off, where it has fallen below 1e-9.
    expectClose(left.white, white, 1e-8, 'white');
    expectClose(left.slow, slow, 1e-8, 'slow');
  });

  test('at many frames a second the white part is the noise bandwidth: 2 · 0.8330 · fc / (0.80224 fs)', () => {
    // ∫₀^∞ dx / (1 + x⁴)² = 3π / (8 √2) (Gradshteyn & Ryzhik, 3.241.4); x = f / f_d, f_d = fc / (√2 − 1)^¼.
    const [cutoffHz, rateHz] = [3, 2000];
    const wanted = (2 * ((3 * Math.PI) / (8 * Math.SQRT2)) * cutoffHz) / (Math.SQRT2 - 1) ** 0.25 / rateHz;
    // The bilinear transform bends the axis by (π fc / fs)² / 3 at the cut-off: 1e-5 of it here.
    expectClose(varianceLeft(cutoffHz, rateHz, 0.15).white, wanted, 2e-5 * wanted);
  });

  test('noise that stays passes, no filter leaves all', () => {
    expectClose(varianceLeft(3, 60, 100).slow, 1, 0.002, 'correlated over 100 s');
    expect(varianceLeft(Number.NaN, 60, 0.15)).toEqual({ white: 1, slow: 1 });
    expect(filteredVariancePx2({ whitePx: 2, slowPx: 1, slowS: 0.15 }, Number.NaN, 60)).toBe(5);
  });
});
