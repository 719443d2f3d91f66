import { describe, expect, test } from '@jest/globals';
import { changePoint, FALSE_ALARM, type RepeatedMeasure } from '../../../src/lift/across-set/change-point.ts';
import { standTogether } from '../../../src/lift/across-set/several-measures.ts';
import { seededRandom } from '../../../src/numerics/random.ts';
import { expectClose } from '../../expect-close.ts';

const of = (values: readonly number[], change: Partial<RepeatedMeasure> = {}): RepeatedMeasure => ({
  values,
  effects: [],
  causes: 0,
  noiseVariance: 0,
  noiseFreedom: 39,
  ...change,
});

describe('by hand', () => {
  test('0 1 0 | 5 6 5: split after the third, difference 5, pooled variance 1/3, t = 5 / √(1/3 · 2/3) on 4 freedoms', () => {
    const found = changePoint(of([0, 1, 0, 5, 6, 5]))!;
    expect(found.from).toBe(3);
    expectClose(found.difference, 5, 1e-12);
    // P(|t| > 10.607) on 4 freedoms: that t distribution has the closed tail below; five steps and four drifts are looked at.
    const t = 5 / Math.sqrt(2 / 9);
    const x = t / Math.sqrt(4 + t * t);
    expect(found.shape).toBe('at once');
    expectClose(found.probability, 9 * (1 - (3 * x - x ** 3) / 2), 1e-9);
    expect(found.verdict).toBe('changed');
    // Quantile of t on 4 freedoms at 1 − 0.05/9/2: scipy.stats.t.ppf.
    expectClose(found.upper - found.difference, 5.4366 * Math.sqrt(2 / 9), 1e-4);
    expectClose(found.difference - found.lower, 5.4366 * Math.sqrt(2 / 9), 1e-4);
  });

  test('what a cause does to all alike cancels; what it does to the later ones more widens the interval', () => {
    const values = [0, 1, 0, 5, 6, 5];
    const alike = changePoint(of(values, { causes: 1, effects: [9, 9, 9, 9, 9, 9] }))!;
    expect(alike).toEqual(changePoint(of(values)));
    const more = changePoint(of(values, { causes: 1, effects: [9, 9, 9, 12, 12, 12] }))!;
    // 3² + 2/9: freedom (83/9)² / (2/9)² · 4, so a normal quantile at 1 − 0.05/9/2: scipy.stats.norm.ppf.
    expectClose(more.upper - more.difference, 2.7729 * Math.sqrt(9 + 2 / 9), 1e-2);
    expect(more.verdict).toBe('cannot tell');
  });

  test('two repetitions that differ beyond the measurement are different, never changed: nothing tells their scatter', () => {
    const found = changePoint(of([10, 14], { noiseVariance: 0.5 }))!;
    expect(found).toMatchObject({ from: 1, difference: 4, verdict: 'different' });
    expect([found.lower, found.upper, found.probability]).toEqual([Number.NaN, Number.NaN, Number.NaN]);
    expect(changePoint(of([10, 11], { noiseVariance: 0.5 }))!.verdict).toBe('cannot tell');
  });

  test('repetitions that scatter widely differ, and do not change', () => {
    expect(changePoint(of([10, 14, 9, 13, 10, 14], { noiseVariance: 0.1 }))!.verdict).toBe('different');
  });

  test('values that are equal to the last digit cannot tell; one alone is no set', () => {
    const same = changePoint(of([3, 3, 3, 3]))!;
    expect(same.verdict).toBe('cannot tell');
    expect(same.difference).toBe(0);
    expect(changePoint(of([3]))).toBeNull();
  });
});

describe('false alarms', () => {
  const runs = 1000;
  /** Sets of n repetitions without a change: scatter of the lifter, noise of the measurement, and a cause that grows over the set. */
  const alarms = (n: number, scatterSd: number, noiseSd: number, driftSd: number, verdicts: readonly string[]) => {
    const random = seededRandom(100 * n + 7);
    let called = 0;
    for (let run = 0; run < runs; run++) {
      const common = driftSd * random.normal();
      const values = Array.from(
        { length: n },
        (_, i) => scatterSd * random.normal() + noiseSd * random.normal() + (common * i) / (n - 1),
      );
      // The variance of the noise is itself only known from 40 draws.
      const squares = Array.from({ length: 40 }, () => random.normal() ** 2).reduce((a, b) => a + b);
      const found = changePoint(
        of(values, {
          noiseVariance: (noiseSd ** 2 * squares) / 40,
          causes: 1,
          effects: values.map((_, i) => (driftSd * i) / (n - 1)),
        }),
      )!;
      if (verdicts.includes(found.verdict)) called++;
    }
    return called / runs;
  };
  // A rate of 5 % counted in 1000 sets has a standard deviation of 0.7 %.
  const LIMIT = FALSE_ALARM + 3 * Math.sqrt((FALSE_ALARM * (1 - FALSE_ALARM)) / runs);

  test.each([
    [3, 1, 0.3, 0],
    [5, 1, 0.3, 0],
    [5, 1, 1, 1],
    [5, 0, 1, 0],
    [8, 1, 0.2, 0.5],
    [10, 1, 0, 0],
  ])('%d repetitions, scatter %d, noise %d, common cause %d: changed in no more than 5 % of the sets', (n, s, w, d) => {
    expect(alarms(n, s, w, d, ['changed'])).toBeLessThan(LIMIT);
  });

  test('ten repetitions that scatter: the bound is nearly reached, so it costs little', () => {
    expect(alarms(10, 1, 0, 0, ['changed'])).toBeGreaterThan(0.02);
  });

  test.each([[2], [3], [5], [8]])(
    '%d repetitions that are all alike: anything is called in no more than 5 % of the sets',
    (n) => {
      expect(alarms(n, 0, 1, 1, ['different', 'changed'])).toBeLessThan(LIMIT);
    },
  );
});

describe('changes that are there', () => {
  const found = (n: number, from: number, size: number) => {
    const random = seededRandom(3 * n + from);
    let [called, placed] = [0, 0];
    for (let run = 0; run < 400; run++) {
      const values = Array.from({ length: n }, (_, i) => random.normal() + (i >= from ? size : 0));
      const one = changePoint(of(values, { noiseVariance: 0.01 }))!;
      if (one.verdict === 'changed') called++;
      if (one.from === from) placed++;
    }
    return { called: called / 400, placed: placed / 400 };
  };

  test('a shift of six scatters at the fourth of six is found, at its place', () => {
    const { called, placed } = found(6, 3, 6);
    expect(called).toBeGreaterThan(0.8);
    expect(placed).toBeGreaterThan(0.95);
  });

  test('a drift that begins after the third of eight is found as one, and begins about there', () => {
    const random = seededRandom(11);
    let [called, drifts, near] = [0, 0, 0];
    for (let run = 0; run < 300; run++) {
      const values = Array.from({ length: 8 }, (_, i) => random.normal() + 3 * Math.max(0, i - 2));
      const one = changePoint(of(values, { noiseVariance: 0.01 }))!;
      if (one.verdict === 'changed') called++;
      if (one.shape === 'little by little') drifts++;
      if (Math.abs(one.from - 3) <= 1) near++;
    }
    expect(called / 300).toBeGreaterThan(0.95);
    expect(drifts / 300).toBeGreaterThan(0.8);
    expect(near / 300).toBeGreaterThan(0.9);
  });

  test('an even loss from the first repetition on: all of it, from the second one on', () => {
    const one = changePoint(of([5, 4, 3, 2, 1], { noiseVariance: 0.01 }))!;
    expect(one).toMatchObject({ from: 1, shape: 'little by little', verdict: 'changed' });
    expectClose(one.difference, -4, 1e-12);
  });

  test('a larger shift is found more often, a longer set more surely', () => {
    expect(found(6, 3, 8).called).toBeGreaterThan(found(6, 3, 4).called);
    expect(found(10, 5, 4).called).toBeGreaterThan(found(5, 2, 4).called);
  });
});

describe('several measures together', () => {
  test('Holm by hand: 0.01 of four stands at 0.0125, 0.016 at 0.0167, 0.03 not at 0.025, and so 0.04 neither', () => {
    expect(standTogether([0.04, 0.01, 0.03, 0.016])).toEqual([false, true, false, true]);
    expect(standTogether([Number.NaN, 0.04])).toEqual([false, true]);
    expect(standTogether([])).toEqual([]);
  });

  test('twelve measures that hang together and none changes: any is called in no more than 5 % of the sets', () => {
    const random = seededRandom(5);
    const runs = 500;
    let called = 0;
    for (let run = 0; run < runs; run++) {
      const shared = Array.from({ length: 6 }, () => random.normal());
      const probabilities = Array.from(
        { length: 12 },
        () => changePoint(of(shared.map((x) => x + random.normal())))!.probability,
      );
      if (standTogether(probabilities).some((stands) => stands)) called++;
    }
    expect(called / runs).toBeLessThan(FALSE_ALARM + 3 * Math.sqrt((FALSE_ALARM * (1 - FALSE_ALARM)) / runs));
  });
});
