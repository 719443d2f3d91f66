import { describe, expect, test } from '@jest/globals';
import { type Random, seededRandom } from '../../src/numerics/random.ts';
import {
  correlation,
  mean,
  median,
  medianAbsoluteDeviation,
  quantile,
  rms,
  SD_PER_MEDIAN_ABSOLUTE_DEVIATION,
  standardDeviation,
} from '../../src/numerics/statistics.ts';
import { normalQuantile } from '../../src/numerics/student.ts';
import { expectClose } from '../expect-close.ts';
import { reference } from '../reference.ts';

interface Sample {
  x: number[];
  y: number[];
  mean: number;
  sd: number;
  median: number;
  mad: number;
  ps: number[];
  quantiles: number[];
  rms: number;
  correlation: number;
}
const numpy = reference<Sample>('numerics-scipy-statistics');

test.each(numpy.cases)('$x.length values: as NumPy and SciPy', (sample) => {
  const { x, y } = sample;
  const { tolerance } = numpy;
  expectClose(mean(x), sample.mean, tolerance, 'mean');
  expectClose(standardDeviation(x), sample.sd, tolerance, 'standard deviation');
  expectClose(median(x), sample.median, tolerance, 'median');
  expectClose(medianAbsoluteDeviation(x), sample.mad, tolerance, 'median absolute deviation');
  expectClose(rms(x), sample.rms, tolerance, 'rms');
  expectClose(correlation(x, y), sample.correlation, tolerance, 'correlation');
  sample.ps.forEach((p, i) => {
    expectClose(quantile(x, p), sample.quantiles[i], tolerance, `quantile ${p}`);
  });
});

describe('edges', () => {
  test('quantile type 7 (Hyndman & Fan 1996): 1, 2, 3, 4 at 0.25 is 1.75', () => {
    expect(quantile([4, 2, 1, 3], 0.25)).toBe(1.75);
    expect(() => quantile([1, 2], 1.1)).toThrow(RangeError);
  });

  test('one NaN in, NaN out', () => {
    const x = [1, Number.NaN, 3];
    const y = [1, 2, 4];
    const found = [
      mean(x),
      standardDeviation(x),
      median(x),
      medianAbsoluteDeviation(x),
      quantile(x, 0),
      rms(x),
      correlation(x, y),
    ];
    expect(found.every(Number.isNaN)).toBe(true);
  });

  test('too few values: NaN', () => {
    const found = [
      mean([]),
      median([]),
      rms([]),
      standardDeviation([1]),
      correlation([1], [2]),
      correlation([1, 1], [2, 3]),
    ];
    expect(found.every(Number.isNaN)).toBe(true);
    expect(() => correlation([1, 2], [1])).toThrow(RangeError);
  });

  test('the input keeps its order', () => {
    const x = Float64Array.of(3, 1, 2);
    median(x);
    expect([...x]).toEqual([3, 1, 2]);
  });

  test.each([
    ['random', (random: Random) => random.normal()],
    ['many equal', (random: Random) => Math.floor(4 * random.uniform())],
    ['rising', (_: Random, i: number) => i],
    ['falling', (_: Random, i: number) => 9999 - i],
    ['rising, then falling', (_: Random, i: number, n: number) => n - Math.abs(2 * i - n)],
    ['with infinities', (random: Random) => (random.uniform() < 0.1 ? Number.POSITIVE_INFINITY : random.normal())],
  ] as const)('order statistics by selection are those of a sorted array: %s', (_, valueAt) => {
    const random = seededRandom(61);
    for (const n of [1, 2, 3, 10, 601, 5000]) {
      const x = Float64Array.from({ length: n }, (_, i) => valueAt(random, i, n));
      const sorted = x.slice().sort();
      for (const k of [0, 1, Math.floor(n / 3), Math.floor(n / 2), n - 1].filter((rank) => rank < n)) {
        // Exactly at an order statistic, where (n − 1) p is whole, there is nothing to interpolate.
        const p = n === 1 ? 0 : k / (n - 1);
        if ((n - 1) * p === k) expect(quantile(x, p)).toBe(sorted[k]);
      }
      const [low, high] = [sorted[Math.floor((n - 1) / 2)], sorted[Math.ceil((n - 1) / 2)]];
      expect(median(x)).toBe(low === high ? low : low + 0.5 * (high - low));
    }
  });

  test('small spread on a large mean is not lost (two passes; closed form)', () => {
    expectClose(standardDeviation([1e9 + 1, 1e9 + 2, 1e9 + 3]), 1, 1e-12, 'standard deviation');
  });

  test('factor from median absolute to standard deviation is 1/Φ⁻¹(3/4)', () => {
    expectClose(SD_PER_MEDIAN_ABSOLUTE_DEVIATION, 1 / normalQuantile(0.75), 1e-15, 'factor');
  });
});
