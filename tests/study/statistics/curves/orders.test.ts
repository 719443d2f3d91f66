import { describe, expect, test } from '@jest/globals';
import { normalQuantile, studentProbability } from '../../../../src/numerics/student.ts';
import { statisticScale, tOfZ, zOf } from '../../../../src/study/statistics/curves/largest-statistic.ts';
import { distinctOrders, ordersOf } from '../../../../src/study/statistics/curves/orders.ts';
import {
  fewest,
  smallestCovariate,
  smallestGroups,
  smallestPaired,
} from '../../../../src/study/statistics/curves/reach.ts';
import { arrangementsOf, largestOfFlips } from '../../../../src/study/statistics/curves/sign-flips.ts';
import { expectClose } from '../../../expect-close.ts';

describe('rearrangements', () => {
  const labels = [0, 0, 1, 1, 1, 2];

  test('every different arrangement once: 6! / (2! 3! 1!) = 60', () => {
    expect(distinctOrders(labels)).toBe(60);
    const next = ordersOf(labels, arrangementsOf(60, 100, 0, 1));
    const order = new Int32Array(6);
    const seen = new Set<string>();
    for (let k = 0; k < 60; k++) {
      next(order);
      seen.add(order.join(''));
    }
    expect(seen.size).toBe(60);
    expect([...seen].every((text) => [...text].sort().join('') === '001112')).toBe(true);
  });

  test('random ones begin with the observed, keep the labels and are the same for the same seed', () => {
    const draw = () => {
      const next = ordersOf(labels, arrangementsOf(60, 10, 20, 7));
      return Array.from({ length: 21 }, () => {
        const order = new Int32Array(6);
        next(order);
        return order.join('');
      });
    };
    expect(draw()[0]).toBe('001112');
    expect(draw()).toEqual(draw());
    expect(new Set(draw()).size).toBeGreaterThan(10);
  });

  test('all sign patterns by Gray code: the same largest statistics as by going through them plainly', () => {
    const [athletes, places] = [5, 3];
    const x = Float64Array.from({ length: 15 }, (_, i) => Math.sin(3 * i + 1));
    const squares = [0, 1, 2].map((p) => [0, 1, 2, 3, 4].reduce((sum, i) => sum + x[i * places + p] ** 2, 0));
    const inverse = Float64Array.from(squares, (s) => 1 / (athletes * s));
    const scale = statisticScale([4, 4, 4]);
    const found = largestOfFlips(x, athletes, inverse, scale, arrangementsOf(32, 100, 0, 0)).sort();
    const plain = Float64Array.from({ length: 16 }, (_, pattern) =>
      Math.max(
        ...[0, 1, 2].map((p) => {
          let sum = 0;
          for (let i = 0; i < athletes; i++) sum += ((pattern >> i) & 1 ? -1 : 1) * x[i * places + p];
          return zOf((sum * sum) / (athletes * squares[p]), scale.weight[p]);
        }),
      ),
    ).sort();
    plain.forEach((z, k) => {
      expectClose(found[k], z, 1e-12, `pattern ${k}`);
    });
  });
});

describe('statistics of different freedom on one scale', () => {
  test.each([4, 7, 11, 30])('%i degrees: t and back, and within 2 % of the exact normal size', (nu) => {
    const { weight } = statisticScale([nu]);
    for (const t of [1, 2.5, 5]) {
      const z = zOf((t * t) / (nu + t * t), weight[0]);
      expectClose(tOfZ(z, nu), t, 1e-12 * t, `t ${t}`);
      expectClose(z, normalQuantile(studentProbability(t, nu)), 0.02 * z, `z of t ${t}`);
    }
  });

  test('equal freedoms have one weight, unequal ones none; places that take no part count neither way', () => {
    expect(statisticScale([5, 0, 5]).common).toBeGreaterThan(4);
    expect(statisticScale([5, 6]).common).toBeNaN();
  });
});

describe('what a number of athletes can reach', () => {
  test('two of 2^n signs, one or two of C(n, k) divisions, one or two of n! orders', () => {
    expect(smallestPaired(6)).toBe(1 / 32);
    expectClose(smallestGroups(4, 4), 2 / 70, 1e-15, '4 and 4');
    expectClose(smallestGroups(3, 4), 1 / 35, 1e-15, '3 and 4');
    expect(smallestCovariate([1, 2, 4], 6)).toBe(1 / 6);
    expect(smallestCovariate([1, 2, 3], 6)).toBe(1 / 3);
  });

  test('6 in pairs and 4 in each group for 0.05; 8 and 5 for 0.01', () => {
    expect([0.05, 0.01].map((alpha) => fewest(smallestPaired, alpha))).toEqual([6, 8]);
    expect([0.05, 0.01].map((alpha) => fewest((n) => smallestGroups(n, n), alpha))).toEqual([4, 5]);
  });
});
