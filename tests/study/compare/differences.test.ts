import { describe, expect, test } from '@jest/globals';
import { normalQuantile, studentQuantile } from '../../../src/numerics/student.ts';
import { differencesOf } from '../../../src/study/compare/differences.ts';
import { CAUSE_GROUPS } from '../../../src/uncertainty/causes/cause.ts';
import { expectClose } from '../../expect-close.ts';
import { madeSide, normalRows } from './made-sides.ts';

describe('B − A of first order, by hand', () => {
  test('one unknown in both: effects 3 and 5 leave 2, of 34 apart 30 cancel', () => {
    const found = differencesOf(
      madeSide({ source: 'a', values: [10], effects: { body: [3] } }),
      madeSide({ source: 'b', values: [12], effects: { body: [5] } }),
    );
    expectClose(found.value[0], 2, 0, 'value');
    expectClose(found.sd[0], 2, 1e-12, 'sd');
    expectClose(found.variance[0] / found.apart[0], 4 / 34, 1e-12, 'part left');
    expectClose(found.upper[0], 2 + 2 * normalQuantile(0.975), 1e-12, 'upper end');
  });

  test('unknowns of their own do not cancel: 3² + 4² = 5²; kinds of doubt add up to the whole', () => {
    const found = differencesOf(
      madeSide({ source: 'a', values: [0], effects: { 'clock a': [3] } }),
      madeSide({ source: 'b', values: [0], effects: { 'clock b': [4] } }),
    );
    expectClose(found.sd[0], 5, 1e-12, 'sd');
    expectClose(found.apart[0], 25, 1e-12, 'apart');
    expectClose(found.varianceOf[CAUSE_GROUPS.indexOf('segments')], 25, 1e-12, 'all of one kind');
  });

  test('noise of two recordings adds up, with Student’s quantile at the freedom of Welch and Satterthwaite', () => {
    // Draws −1, 0, 1: mean 0, variance 1, freedom 2 each; together variance 2, freedom (1 + 1)² / (1/2 + 1/2) = 4.
    const noise = [[-1], [0], [1]];
    const found = differencesOf(
      madeSide({ source: 'a', values: [0], noise }),
      madeSide({ source: 'b', values: [0], noise }),
    );
    expectClose(found.sd[0], Math.SQRT2, 1e-12, 'sd');
    expectClose(found.freedom[0], 4, 1e-12, 'freedom');
    expectClose(found.upper[0], studentQuantile(0.975, 4) * Math.sqrt(2 + 2 / 3), 1e-12, 'upper end');
  });

  test('noise of one recording is subtracted inside each draw: two repetitions that tremble alike are sure', () => {
    const noise = [[-1], [0], [1]];
    const alike = differencesOf(
      madeSide({ source: 'one', values: [0], noise }),
      madeSide({ source: 'one', values: [7], noise: noise.map(([value]) => [7 + value]) }),
    );
    expect([alike.value[0], alike.sd[0], alike.lower[0], alike.upper[0]]).toEqual([7, 0, 7, 7]);
    expectClose(alike.apart[0], 2, 1e-12, 'apart');
    // Trembling against each other: differences 2, 0, −2, variance 4, twice what independence would give.
    const against = differencesOf(
      madeSide({ source: 'one', values: [0], noise }),
      madeSide({ source: 'one', values: [0], noise: [[1], [0], [-1]] }),
    );
    expectClose(against.sd[0], 2, 1e-12, 'sd');
  });

  test('the bias of the noise is taken off: a largest value that noise pushes up by 1 in B only', () => {
    const found = differencesOf(
      madeSide({ source: 'a', values: [5], noise: [[4], [5], [6]] }),
      madeSide({ source: 'b', values: [5], noise: [[5], [6], [7]] }),
    );
    expectClose((found.lower[0] + found.upper[0]) / 2, -1, 1e-12, 'middle');
  });

  test('a side without an interval, or an effect that is unknown, gives none', () => {
    const a = madeSide({ source: 'a', values: [1, 1], effects: { body: [1, Number.NaN] } });
    const b = { ...madeSide({ source: 'b', values: [2, 2] }), lower: Float64Array.of(Number.NaN, 2) };
    const found = differencesOf(a, b);
    expect(Array.from(found.value)).toEqual([1, 1]);
    expect(Array.from(found.lower)).toEqual([Number.NaN, Number.NaN]);
    expect(Array.from(found.sd)).toEqual([Number.NaN, Number.NaN]);
  });
});

describe('joint draws', () => {
  const common = normalRows(3, 400, [0], 5).map(([z]) => z);
  const own = (seed: number, value: number) => normalRows(seed, 400, [value], 1).map(([v], d) => [v + common[d]]);

  test('the difference is taken draw by draw: an error of 5 that both share leaves √2 of their own', () => {
    const found = differencesOf(
      madeSide({ source: 'a', values: [10], drawn: own(1, 10) }),
      madeSide({ source: 'b', values: [13], drawn: own(2, 13) }),
    );
    // A standard deviation from 400 draws is known within 3.5 %: three of those.
    expectClose(found.sd[0], Math.SQRT2, 0.11 * Math.SQRT2, 'sd');
    expect(found.lower[0]).toBeGreaterThan(-1);
    expect(found.upper[0]).toBeLessThan(7);
  });

  test('quantiles are turned over: errors that only push B up say that B is less', () => {
    const a = madeSide({ source: 'a', values: [0], drawn: Array.from({ length: 100 }, () => [0]) });
    const b = madeSide({ source: 'b', values: [0], drawn: Array.from({ length: 100 }, (_, d) => [d / 10]) });
    const found = differencesOf(a, b);
    expect(found.upper[0]).toBeLessThan(0);
    expectClose(found.lower[0], -9.7475, 1e-9, 'twice the value less the 97.5 % quantile, type 6 of 0 … 9.9');
  });

  test('a difference that more than 5 % of the draws do not know has no interval', () => {
    const a = madeSide({ source: 'a', values: [0], drawn: own(1, 0) });
    const b = madeSide({ source: 'b', values: [0], drawn: own(2, 0).map((row, d) => (d < 21 ? [Number.NaN] : row)) });
    expect(differencesOf(a, b).lower[0]).toBeNaN();
  });
});

test.each([
  ['first order', undefined],
  ['joint draws', 100],
])('exchanging A and B turns every sign and nothing else, to the last digit: %s', (_, draws) => {
  const numbers = [1, 2.5, -3, 0.1];
  const side = (source: string, seed: number) =>
    madeSide({
      source,
      values: numbers.map((value) => value * (1 + 0.1 * seed)),
      effects: {
        [`${source}/clock`]: numbers.map((value) => 0.3 * value),
        body: numbers.map((value, i) => 0.1 * value + 0.01 * seed * i),
        'another body part': numbers.map((value) => 0.2 * value * seed),
      },
      noise: normalRows(seed, 40, numbers, 0.3),
      drawn: draws === undefined ? undefined : normalRows(10 + seed, draws, numbers, 0.5),
    });
  const there = differencesOf(side('mon', 1), side('fri', 2));
  const back = differencesOf(side('fri', 2), side('mon', 1));
  for (let i = 0; i < numbers.length; i++) {
    expect(back.value[i]).toBe(-there.value[i]);
    expect(back.sd[i]).toBe(there.sd[i]);
    if (draws === undefined) {
      expect(back.lower[i]).toBe(-there.upper[i]);
      expect(back.upper[i]).toBe(-there.lower[i]);
    } else {
      // Quantiles interpolate from the other end.
      expectClose(back.lower[i], -there.upper[i], 1e-12, 'lower end');
      expectClose(back.upper[i], -there.lower[i], 1e-12, 'upper end');
    }
    expect(back.apart[i]).toBe(there.apart[i]);
  }
});
