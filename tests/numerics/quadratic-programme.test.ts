import { describe, expect, test } from '@jest/globals';
import fc from 'fast-check';
import numeric from 'numeric';
import { type QuadraticProgramme, quadraticProgramme } from '../../src/numerics/quadratic-programme.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';

const programme = (
  hessian: readonly number[],
  linear: readonly number[],
  rows: readonly number[],
  bounds: readonly number[],
): QuadraticProgramme => ({
  hessian: Float64Array.from(hessian),
  linear: Float64Array.from(linear),
  rows: Float64Array.from(rows),
  bounds: Float64Array.from(bounds),
});
const IDENTITY = [1, 0, 0, 0, 1, 0, 0, 0, 1];

test('the example in the manual of the R package quadprog', () => {
  // Turlach & Weingessel, quadprog, help page solve.QP, from memory: solution (0.476190, 1.047619, 2.095238) = (10, 22, 44) / 21,
  // which also follows by hand: constraints 2 and 3 active, x = (2 λ₂, 5 + λ₂ − 2 λ₃, λ₃).
  const out = new Float64Array(3);
  expect(quadraticProgramme(out, programme(IDENTITY, [0, 5, 0], [-4, -3, 0, 2, 1, 0, 0, -2, 1], [-8, 2, 0]))).toBe(
    true,
  );
  expectAllClose(out, [10 / 21, 22 / 21, 44 / 21], 1e-12, 'x');
});

/** Programmes of the kind met in sharing: a box for x and one for a linear function of it, tight enough to be felt. */
function boxed(seed: number): QuadraticProgramme {
  const random = seededRandom(seed);
  const even = () => 2 * random.uniform() - 1;
  const factors = Array.from({ length: 5 }, () => [even(), even(), even() / 2]);
  const hessian = [0, 1, 2].flatMap((i) =>
    [0, 1, 2].map((j) => factors.reduce((sum, row) => sum + row[i] * row[j], i === j ? 1e-3 : 0)),
  );
  const rows: number[] = [];
  const bounds: number[] = [];
  const [dx, dz, share] = [0.1 * even(), 0.4 + 0.2 * even(), 0.5 + 0.4 * even()];
  const usual = [even(), even(), 0.1 * even()];
  const most = [1, 1, 0.15];
  for (const [part, turn] of [
    [
      share,
      [
        [1, 0, 0],
        [0, 1, 0],
        [0, 0, 1],
      ],
    ],
    [
      1 - share,
      [
        [-1, 0, 0],
        [0, -1, 0],
        [dz, -dx, -1],
      ],
    ],
  ] as const)
    turn.forEach((row, kind) => {
      for (const way of [1, -1]) {
        rows.push(...row.map((value) => way * value));
        bounds.push(-most[kind] * part - way * usual[kind] * part);
      }
    });
  return programme(hessian, [3 * even(), 3 * even(), 3 * even()], rows, bounds);
}
const value = ({ hessian, linear }: QuadraticProgramme, x: ArrayLike<number>) => {
  let sum = 0;
  for (let i = 0; i < 3; i++) {
    sum -= linear[i] * x[i];
    for (let j = 0; j < 3; j++) sum += (hessian[3 * i + j] * x[i] * x[j]) / 2;
  }
  return sum;
};
const least = ({ rows, bounds }: QuadraticProgramme, x: ArrayLike<number>) =>
  Math.min(...bounds.map((bound, k) => rows[3 * k] * x[0] + rows[3 * k + 1] * x[1] + rows[3 * k + 2] * x[2] - bound));
const bySolveQp = ({ hessian, linear, rows, bounds }: QuadraticProgramme) =>
  numeric.solveQP(
    [0, 1, 2].map((i) => [...hessian.subarray(3 * i, 3 * i + 3)]),
    [...linear],
    [0, 1, 2].map((j) => [...bounds].map((_, k) => rows[3 * k + j])),
    [...bounds],
  );

describe('constraints that are felt', () => {
  test('the solution fulfils them, and no point near it or between it and a random feasible one is better', () => {
    fc.assert(
      fc.property(fc.nat(1e6), (seed) => {
        const one = boxed(seed);
        const out = new Float64Array(3);
        // x = 0 is the proportional sharing and always feasible here.
        expect(least(one, [0, 0, 0])).toBeGreaterThanOrEqual(0);
        expect(quadraticProgramme(out, one)).toBe(true);
        expect(least(one, out)).toBeGreaterThan(-1e-8);
        const best = value(one, out);
        const random = seededRandom(seed + 1);
        for (let k = 0; k < 200; k++) {
          const step = k < 100 ? 0.02 : 1;
          const other = Array.from(out, (x) => x + step * (2 * random.uniform() - 1));
          if (least(one, other) >= 0) expect(value(one, other)).toBeGreaterThan(best - 1e-8);
        }
      }),
      { seed: 3, numRuns: 300 },
    );
  });

  test('solveQP of numeric alone calls some of them inconsistent and stops short in others: why its word is not taken', () => {
    let refused = 0;
    let worse = 0;
    for (let seed = 0; seed < 400; seed++) {
      const one = boxed(seed);
      const out = new Float64Array(3);
      quadraticProgramme(out, one);
      const found = bySolveQp(one);
      if (found.message !== '') refused++;
      else if (value(one, found.solution) > value(one, out) + 1e-6) worse++;
    }
    expect(refused).toBeGreaterThan(0);
    expect(worse).toBeGreaterThan(0);
  });
});

test('no constraint felt: D x = d', () => {
  const out = new Float64Array(3);
  quadraticProgramme(out, programme([2, 0, 0, 0, 4, 0, 0, 0, 8], [2, 2, 2], [1, 0, 0], [-9]));
  expectAllClose(out, [1, 0.5, 0.25], 1e-14, 'x');
});

test('constraints that exclude each other: false, and nothing is written', () => {
  const out = Float64Array.of(7, 7, 7);
  expect(quadraticProgramme(out, programme(IDENTITY, [0, 0, 0], [1, 0, 0, -1, 0, 0], [1, 1]))).toBe(false);
  expectAllClose(out, [7, 7, 7], 0, 'out');
});

test('a matrix that is not positive definite, or a number that is none, is refused', () => {
  const out = new Float64Array(3);
  expect(() => quadraticProgramme(out, programme([1, 2, 0, 2, 1, 0, 0, 0, 1], [0, 0, 0], [1, 0, 0], [0]))).toThrow(
    RangeError,
  );
  expect(() => quadraticProgramme(out, programme(IDENTITY, [0, Number.NaN, 0], [1, 0, 0], [0]))).toThrow(RangeError);
  expect(() => quadraticProgramme(out, programme(IDENTITY, [0, 0, 0], [1, 0, 0], [Number.POSITIVE_INFINITY]))).toThrow(
    RangeError,
  );
});

test('one variable, by hand: least (x − 3)² / 2 under x ≤ 2', () => {
  const out = new Float64Array(1);
  expect(quadraticProgramme(out, programme([1], [3], [-1], [-2]))).toBe(true);
  expectClose(out[0], 2, 1e-12, 'x');
});
