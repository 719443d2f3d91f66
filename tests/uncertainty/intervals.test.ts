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

  test('what nothing moves has no interval, neither of first order nor from draws', () => {
    const still = Float64Array.of(0, 0, 0, 0, 0);
    const linear = linearIntervals(outputs(0), [cause('segments', 'a')], Float64Array.of(0), still, 5);
    for (const found of [linear, drawnIntervals(outputs(0), still, 5, linear)])
      expect([found.sd[0], found.lower[0], found.upper[0]]).toEqual([0, Number.NaN, Number.NaN]);
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

describe('a ratio', () => {
  /** Fieller (1954): the ratios that a normal test of hip − ρ knee does not refuse, for errors that are independent. */
  function fieller(hip: number, knee: number, sdHip: number, sdKnee: number): readonly [number, number] {
    const t2 = 1.959963984540054 ** 2;
    const [a, b, c] = [knee ** 2 - t2 * sdKnee ** 2, -2 * hip * knee, hip ** 2 - t2 * sdHip ** 2];
    const root = Math.sqrt(b ** 2 - 4 * a * c);
    return [(-b - root) / (2 * a), (-b + root) / (2 * a)];
  }

  function found(hip: number, knee: number, sdHip: number, sdKnee: number, scales: Outputs['scales']) {
    const causes = [cause('keypoints', 'hip'), cause('keypoints', 'knee')];
    const ratio = hip / knee;
    const effects = Float64Array.of((hip + sdHip) / knee - ratio, hip / (knee + sdKnee) - ratio);
    const { lower, upper } = linearIntervals({ ...outputs(ratio), scales }, causes, effects, new Float64Array(0), 0);
    return [lower[0], upper[0]] as const;
  }

  test.each([
    [120, 90, 8, 7],
    [150, 60, 10, 8],
    [60, 120, 8, 10],
    [150, 50, 10, 9],
  ])(
    'hip %d, knee %d ± %d, %d N·m: the interval of Fieller (1954), which that of the ratio itself misses',
    (...numbers) => {
      const exact = fieller(...numbers);
      const onScale = found(...numbers, ['share']);
      const plain = found(...numbers, undefined);
      const share = (ratio: number) => ratio / (1 + ratio);
      // First order in the share: what is left is of second order, (1.96 sd / total)², 0.8 points of the share at most here.
      for (const end of [0, 1]) expectClose(share(onScale[end]), share(exact[end]), 0.008, `end ${end}, share`);
      const off = (ends: readonly number[]) => Math.abs(ends[0] - exact[0]) + Math.abs(ends[1] - exact[1]);
      expect(off(onScale)).toBeLessThan(off(plain));
    },
  );

  test('where the interval of the knee moment holds 0 the ratio has no end', () => {
    expect(found(150, 15, 10, 12, ['share'])[1]).toBe(Number.POSITIVE_INFINITY);
    expect(fieller(150, 15, 10, 12)[1]).toBeLessThan(0);
  });

  test('a ratio of lengths is as far from its ends by a factor below and above', () => {
    const { lower, upper } = linearIntervals(
      { ...outputs(2), scales: ['logarithm'] },
      [cause('keypoints', 'a')],
      Float64Array.of(2 * (Math.exp(0.1) - 1)),
      new Float64Array(0),
      0,
    );
    expectClose(upper[0], 2 * Math.exp(0.1959963984540054), 1e-12, 'upper');
    expectClose(lower[0], 2 * Math.exp(-0.1959963984540054), 1e-12, 'lower');
  });

  test('joint draws: the ends of the share’s interval, brought back', () => {
    const random = seededRandom(4);
    const shares = Float64Array.from({ length: 400 }, () => 0.6 + 0.04 * random.normal());
    const ratios = shares.map((share) => share / (1 - share));
    const linear = linearIntervals(outputs(1.5, 0.6), [], new Float64Array(0), new Float64Array(0), 0);
    const rows = Float64Array.from({ length: 800 }, (_, i) => (i % 2 === 0 ? ratios[i >> 1] : shares[i >> 1]));
    const both = drawnIntervals({ ...outputs(1.5, 0.6), scales: ['share', null] }, rows, 400, linear);
    expectClose(both.upper[0], both.upper[1] / (1 - both.upper[1]), 1e-9, 'upper');
    expectClose(both.lower[0], both.lower[1] / (1 - both.lower[1]), 1e-9, 'lower');
  });
});
