import { describe, expect, test } from '@jest/globals';
import { findingWord, thresholdProbability } from '../../../src/lift/findings/probability.ts';
import { seededRandom } from '../../../src/numerics/random.ts';
import { expectClose } from '../../expect-close.ts';

/** Half a 95 % interval in standard deviations (Abramowitz & Stegun 1964, table 26.1, from memory). */
const Z = 1.959963984540054;
const around = (middle: number, sd: number) => ({ lower: middle - Z * sd, upper: middle + Z * sd });

describe('the probability that a threshold is passed', () => {
  // Φ(z): Abramowitz & Stegun 1964, table 26.1, printed to ten digits (from memory).
  test.each([
    [0, 0.5],
    [0.5, 0.6914624613],
    [1, 0.8413447461],
    [1.6448536269514722, 0.95],
    [2, 0.9772498681],
    [-3, 0.001349898],
  ])('a middle %s standard deviations beyond it: Φ as printed', (z, phi) => {
    expectClose(thresholdProbability(around(10 + 2 * z, 2), 'above', 10), phi, 1e-9, 'above');
    expectClose(thresholdProbability(around(10 - 2 * z, 2), 'below', 10), phi, 1e-9, 'below');
  });

  test('above and below share out one', () => {
    for (const middle of [-3, 0, 0.7, 12]) {
      const interval = around(middle, 0.4);
      const both = thresholdProbability(interval, 'above', 1) + thresholdProbability(interval, 'below', 1);
      expectClose(both, 1, 1e-12, `${middle}`);
    }
  });

  test('an interval without length decides by its place; on the threshold it tells nothing', () => {
    expect(thresholdProbability({ lower: 3, upper: 3 }, 'above', 2)).toBe(1);
    expect(thresholdProbability({ lower: 3, upper: 3 }, 'below', 2)).toBe(0);
    expect(thresholdProbability({ lower: 2, upper: 2 }, 'above', 2)).toBe(0.5);
  });

  test('no interval, no probability', () => {
    expect(thresholdProbability({ lower: Number.NaN, upper: Number.NaN }, 'above', 2)).toBeNaN();
  });
});

test.each([
  [1, 'shown'],
  [0.95, 'shown'],
  [0.9499, 'suggested'],
  [0.75, 'suggested'],
  [0.7499, 'open'],
  [0.0501, 'open'],
  [0.05, 'not there'],
  [0, 'not there'],
  [Number.NaN, 'unknown'],
] as const)('a probability of %s is %s', (probability, word) => {
  expect(findingWord(probability)).toBe(word);
});

/** Share of measured values that are shown above 10, where the truth lies `offset` half widths beyond it. */
function shownShare(offset: number, runs: number): number {
  const random = seededRandom(4);
  const sd = 1.3;
  let shown = 0;
  for (let i = 0; i < runs; i++) {
    const measured = 10 + offset * Z * sd + sd * random.normal();
    if (findingWord(thresholdProbability(around(measured, sd), 'above', 10)) === 'shown') shown++;
  }
  return shown / runs;
}

describe('how often a finding is shown, where the interval is what it says', () => {
  const RUNS = 20_000;

  // Closed form Φ(1.96 offset − 1.645); tolerance: four standard deviations of the share of 20,000 runs, at most 0.0065.
  test.each([
    ['on the threshold', 0, 0.05],
    ['one half width beyond', 1, 0.623661],
    ['two half widths beyond', 2, 0.988549],
    ['half a half width short of it', -0.5, 0.0043345],
  ])('truth %s', (_, offset, expected) => {
    const tolerance = 4 * Math.sqrt((expected * (1 - expected)) / RUNS);
    expectClose(shownShare(offset, RUNS), expected, tolerance, 'share shown');
  });

  test('a neutral lift, one half width short: hardly ever (Φ(−1.96 − 1.645) = 0.000156)', () => {
    expect(shownShare(-1, RUNS)).toBeLessThan(0.001);
  });
});
