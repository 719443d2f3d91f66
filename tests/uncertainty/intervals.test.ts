import { describe, expect, test } from '@jest/globals';
import { seededRandom } from '../../src/numerics/random.ts';
import { CAUSE_GROUPS, type Cause } from '../../src/uncertainty/causes/cause.ts';
import { drawnIntervals, linearIntervals, quantileOfSorted } from '../../src/uncertainty/intervals.ts';
import type { Outputs } from '../../src/uncertainty/outputs.ts';
import { expectClose } from '../expect-close.ts';

const outputs = (...values: number[]): Outputs => ({
  measures: [],
  curves: [],
  count: values.length,
  values: Float64Array.from(values),
  readInto: () => {},
});
const cause = (group: Cause['group'], key: string): Cause => ({ group, key, label: key });
const GROUPS = CAUSE_GROUPS.length;

describe('first order', () => {
  test('effects add as squares, shares by kind, 1.96 standard deviations without noise', () => {
    const causes = [cause('calibration', 'a'), cause('segments', 'b'), cause('segments', 'c')];
    const found = linearIntervals(outputs(10), causes, Float64Array.of(3, 4, 12), new Float64Array(0), 0);
    expectClose(found.sd[0], 13, 1e-12, 'sd');
    expectClose(found.upper[0], 10 + 1.959963984540054 * 13, 1e-9, 'upper');
    expectClose(found.lower[0], 10 - 1.959963984540054 * 13, 1e-9, 'lower');
    expectClose(found.share[CAUSE_GROUPS.indexOf('calibration')], 9 / 169, 1e-12, 'share of calibration');
    expectClose(found.share[CAUSE_GROUPS.indexOf('segments')], 160 / 169, 1e-12, 'share of segments');
    expect(found.share[CAUSE_GROUPS.indexOf('noise')]).toBe(0);
  });

  test('noise alone: its own mean taken off, Student with n − 1 freedoms (t 0.975, 4 = 2.776, any printed table)', () => {
    const noise = Float64Array.of(11, 12, 13, 14, 15);
    const found = linearIntervals(outputs(12), [], new Float64Array(0), noise, 5);
    const sd = Math.sqrt(2.5);
    // A new value against the mean of five: √(1 + 1/5).
    const half = 2.7764451 * sd * Math.sqrt(1.2);
    expectClose(found.sd[0], sd, 1e-12, 'sd');
    // Draws lie 1 above the value on average, so the value lies 1 above the truth: centre 11.
    expectClose(found.upper[0], 11 + half, 1e-6, 'upper');
    expectClose(found.lower[0], 11 - half, 1e-6, 'lower');
  });

  test('an output the record does not know, or too few draws know, has no interval', () => {
    const noise = new Float64Array(80);
    for (let d = 0; d < 40; d++) noise[2 * d + 1] = d < 3 ? Number.NaN : d;
    const found = linearIntervals(outputs(Number.NaN, 20), [], new Float64Array(0), noise, 40);
    expect([found.lower[0], found.upper[1]]).toEqual([Number.NaN, Number.NaN]);
    expect(found.known[1]).toBe(37);
  });

  test('95 % of 4,000 intervals with few noise draws hold the truth', () => {
    const random = seededRandom(20261128);
    let inside = 0;
    const runs = 4000;
    const draws = 12;
    for (let run = 0; run < runs; run++) {
      // Truth 0; the measured value is off by noise (sd 1) and one cause (sd 0.5) that the analysis knows by its effect.
      const value = random.normal() + 0.5 * random.normal();
      const noise = Float64Array.from({ length: draws }, () => value + random.normal());
      const { lower, upper } = linearIntervals(
        outputs(value),
        [cause('load', 'a')],
        Float64Array.of(0.5),
        noise,
        draws,
      );
      if (lower[0] <= 0 && upper[0] >= 0) inside++;
    }
    // Three standard errors of 0.345 %.
    expect(inside / runs).toBeGreaterThan(0.9397);
    expect(inside / runs).toBeLessThan(0.9603);
  });
});

describe('joint draws', () => {
  test('quantiles by (n + 1) p, as numpy with method "weibull" gives them', () => {
    // numpy 1.24: np.quantile([1, 2, 4, 8, 16, 32, 64], [0.1, 0.25, 0.5, 0.975], method='weibull') = 1, 2, 8, 64.
    const sorted = Float64Array.of(1, 2, 4, 8, 16, 32, 64);
    expect([0.1, 0.25, 0.5, 0.975].map((p) => quantileOfSorted(sorted, p))).toEqual([1, 2, 8, 64]);
    // np.quantile([1, 2, 4, 8], 0.3, method='weibull') = 1.5.
    expectClose(quantileOfSorted(Float64Array.of(1, 2, 4, 8), 0.3), 1.5, 1e-12, '30 %');
  });

  test('a skewed error is turned over: the long side of the draws is the short side of the interval', () => {
    const drawn = Float64Array.from({ length: 999 }, (_, d) => 5 - Math.log(1 - (d + 1) / 1000));
    const one = outputs(5);
    const linear = linearIntervals(one, [], new Float64Array(0), new Float64Array(0), 0);
    const { lower, upper } = drawnIntervals(one, drawn, 999, linear);
    expectClose(lower[0], 5 + Math.log(0.025), 1e-9, 'lower');
    expectClose(upper[0], 5 + Math.log(0.975), 1e-9, 'upper');
  });

  test('shares are kept from first order', () => {
    const one = outputs(1);
    const linear = linearIntervals(one, [cause('load', 'a')], Float64Array.of(2), new Float64Array(0), 0);
    const { share } = drawnIntervals(
      one,
      new Float64Array(100).map((_, d) => d),
      100,
      linear,
    );
    expect(share.length).toBe(GROUPS);
    expect(share[CAUSE_GROUPS.indexOf('load')]).toBe(1);
  });
});
