import { describe, expect, test } from '@jest/globals';
import { seededRandom } from '../../../src/numerics/random.ts';
import { correlation, mean } from '../../../src/numerics/statistics.ts';
import { studentProbability } from '../../../src/numerics/student.ts';
import { clusterBootstrap } from '../../../src/study/statistics/cluster-bootstrap.ts';
import { intervalsFromResamples } from '../../../src/study/statistics/cluster-bootstrap-intervals.ts';
import { expectClose } from '../../expect-close.ts';
import { reference } from '../../reference.ts';

type Ends = [number, number];
interface LawSchool {
  lsat: number[];
  gpa: number[];
  value: number;
  without: number[];
  drawn: number[];
  percentile: Ends;
  basic: Ends;
  bca: Ends;
  scipyBca: Ends;
  acceleration: number;
  standardError: number;
}
const program = reference<LawSchool>('study-scipy-bootstrap');
const law = program.cases[0];

describe('law school data, against SciPy', () => {
  test('from the same resamples the same intervals', () => {
    const found = intervalsFromResamples(law.drawn, law.value, law.without, 0.95);
    for (const kind of ['percentile', 'basic', 'bca'] as const) {
      expectClose(found[kind].lower, law[kind][0], program.tolerance, `${kind}, lower`);
      expectClose(found[kind].upper, law[kind][1], program.tolerance, `${kind}, upper`);
    }
    expectClose(found.acceleration, law.acceleration, program.tolerance, 'acceleration');
    expect(found.reason).toBe('');
  });

  test('own resamples: value, standard error and ends as SciPy’s within what 4000 and 499 resamples leave open', () => {
    const clusters = law.lsat.map((lsat, i) => [{ lsat, gpa: law.gpa[i] }]);
    const found = clusterBootstrap(
      clusters,
      (drawn) => {
        const rows = drawn.flat();
        return correlation(
          rows.map(({ lsat }) => lsat),
          rows.map(({ gpa }) => gpa),
        );
      },
      { seed: 1, resamples: 4000 },
    );
    expectClose(found.value, 0.776, 0.0005, 'correlation as in the book');
    // Standard deviation of a standard deviation of 499 skewed values, about 5 %; four times that.
    expectClose(found.standardError, law.standardError, 0.2 * law.standardError, 'standard error');
    // A quantile of 2.5 % of 499: √(0.025 · 0.975 / 499) / density; the density there about 0.4 a unit of 1: 0.0175. Four times that.
    expectClose(found.percentile.lower, law.percentile[0], 0.07, 'percentile, lower');
    expectClose(found.bca.lower, law.bca[0], 0.09, 'BCa, lower');
    expectClose(found.bca.upper, law.bca[1], 0.02, 'BCa, upper');
    expect([found.clusters, found.rows, found.failed, found.resamples, found.level]).toEqual([15, 15, 0, 4000, 0.95]);
  });
});

describe('spatial test data: Efron & Tibshirani (1993), chapter 14', () => {
  const table = reference<number>('study-efron-spatial-test');
  const found = clusterBootstrap(
    table.cases.map((value) => [value]),
    (drawn) => {
      const values = drawn.flat();
      const centre = mean(values);
      return mean(values.map((value) => (value - centre) ** 2));
    },
    { seed: 2, resamples: 8000, level: 0.9 },
  );

  test('variance and acceleration as printed', () => {
    expectClose(found.value, table.variance as number, 0.05, 'variance');
    expectClose(found.acceleration, table.acceleration as number, table.tolerance, 'acceleration');
  });

  test('bias correction and 90 % intervals as printed, within what 2000 resamples leave open', () => {
    // z₀ of 2000: √(¼ / 2000) / 0.4 = 0.028. Ends: √(0.05 · 0.95 / 2000) / density, 0.1 of the SD of 43: about 2.5 below, 4 above (thinner tail); each four times.
    expectClose(found.bias, table.bias as number, 0.12, 'z0');
    const [bca, percentile] = [table.bca90, table.percentile90] as [Ends, Ends];
    expectClose(found.bca.lower, bca[0], 10, 'BCa, lower');
    expectClose(found.bca.upper, bca[1], 16, 'BCa, upper');
    expectClose(found.percentile.lower, percentile[0], 10, 'percentile, lower');
    expectClose(found.percentile.upper, percentile[1], 16, 'percentile, upper');
  });
});

describe('clusters', () => {
  const meanOf = (drawn: readonly (readonly number[])[]) => mean(drawn.flat());

  test('equal seeds give equal results, another seed others; no row leaves its athlete', () => {
    const clusters = [
      [1, 2],
      [3, 4],
      [5, 6],
      [9, 9],
      [2, 2],
      [7, 7],
      [8, 1],
      [0, 3],
    ];
    const seen = new Set<string>();
    const of = (seed: number) =>
      clusterBootstrap(
        clusters,
        (drawn) => {
          for (const cluster of drawn) seen.add(JSON.stringify(cluster));
          return meanOf(drawn);
        },
        { seed, resamples: 300 },
      );
    expect(of(5)).toEqual(of(5));
    expect(of(6).percentile).not.toEqual(of(5).percentile);
    expect([...seen].sort()).toEqual(clusters.map((cluster) => JSON.stringify(cluster)).sort());
  });

  test('few athletes are said; failed resamples are counted, too many leave no interval', () => {
    const few = clusterBootstrap([[1], [2], [4], [8]], meanOf, { seed: 1, resamples: 400 });
    expect(few.reason).toMatch(/4 athletes/);
    const knows = (share: number) =>
      clusterBootstrap(
        Array.from({ length: 10 }, (_, i) => [i]),
        // A mean of ten draws of 0 … 9 exceeds this mark in a known share of the resamples.
        (drawn) => (meanOf(drawn) > share ? Number.NaN : meanOf(drawn)),
        { seed: 1, resamples: 1000 },
      );
    const some = knows(6.3);
    expect(some.failed).toBeGreaterThan(0);
    expect(some.failed).toBeLessThanOrEqual(50);
    expect(some.percentile.upper).toBeLessThanOrEqual(6.3);
    const many = knows(5);
    expect(many.failed).toBeGreaterThan(50);
    expect([many.percentile.lower, many.bca.upper, many.standardError]).toEqual([Number.NaN, Number.NaN, Number.NaN]);
    expect(many.reason).toMatch(/of 1000/);
  });

  test('refused: one athlete, too few resamples, an unknown statistic', () => {
    const refused = (code: string, clusters: number[][], resamples: number, statistic = meanOf) =>
      expect(() => clusterBootstrap(clusters, statistic, { seed: 1, resamples })).toThrow(
        expect.objectContaining({ code }),
      );
    refused('bootstrap-too-few-clusters', [[1, 2]], 400);
    refused('bootstrap-resamples', [[1], [2]], 100);
    refused('bootstrap-statistic-unknown', [[1], [2]], 400, () => Number.NaN);
  });

  test('coverage of a mean: 20 athletes, 4 rows each (250 made studies); rows drawn singly would miss', () => {
    const random = seededRandom(12);
    const runs = 250;
    const held = { percentile: 0, bca: 0, singly: 0 };
    for (let run = 0; run < runs; run++) {
      const clusters = Array.from({ length: 20 }, () => {
        const athlete = random.normal();
        return Array.from({ length: 4 }, () => athlete + 0.5 * random.normal());
      });
      const whole = clusterBootstrap(clusters, meanOf, { seed: run, resamples: 300 });
      const singly = clusterBootstrap(
        clusters.flat().map((value) => [value]),
        meanOf,
        { seed: run, resamples: 200 },
      );
      if (whole.percentile.lower <= 0 && 0 <= whole.percentile.upper) held.percentile++;
      if (whole.bca.lower <= 0 && 0 <= whole.bca.upper) held.bca++;
      if (singly.percentile.lower <= 0 && 0 <= singly.percentile.upper) held.singly++;
    }
    // Of the mean of K athletes the interval is about ± 1.96 √((K − 1) / K) standard errors: Student's t of K − 1 lies within in 92.9 %.
    const t = 1.96 * Math.sqrt(19 / 20);
    const expected = 1 - 2 * studentProbability(-t, 19);
    const bound = 4 * Math.sqrt((expected * (1 - expected)) / runs);
    expectClose(held.percentile / runs, expected, bound, 'percentile');
    expectClose(held.bca / runs, expected, bound, 'BCa');
    expect(held.singly / runs).toBeLessThan(expected - 2 * bound);
  });
});
