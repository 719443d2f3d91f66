import { describe, expect, test } from '@jest/globals';
import { EigenvalueDecomposition, Matrix, SVD } from 'ml-matrix';
import { seededRandom } from '../../src/numerics/random.ts';
import { eigenSymmetric, smallestEigenvector4Into } from '../../src/numerics/symmetric-eigen.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { reference } from '../reference.ts';

interface EigenCase {
  n: number;
  a: number[];
  values: number[];
}
const scipy = reference<EigenCase>('numerics-scipy-eigen');

/** A rows × 4 matrix of random homogeneous equations and its 4 × 4 normal matrix. */
function randomSystem(rows: number, seed: number, rank = 4) {
  const random = seededRandom(seed);
  const system = Array.from({ length: rows }, () => {
    const row = Array.from({ length: 4 }, () => random.normal());
    if (rank === 3) row[3] = row[0] - 2 * row[1] + 0.5 * row[2];
    return row;
  });
  const normal = new Float64Array(16);
  for (let i = 0; i < 4; i++) {
    for (let j = 0; j < 4; j++) normal[4 * i + j] = system.reduce((sum, row) => sum + row[i] * row[j], 0);
  }
  return { system, normal };
}

describe('symmetric eigenproblem', () => {
  test.each(scipy.cases)('$n × $n: eigenvalues as SciPy, vectors orthonormal, A v = λ v', ({ n, a, values }) => {
    const found = eigenSymmetric(a, n);
    expectAllClose(found.values, values, scipy.tolerance, 'eigenvalues');
    for (let k = 0; k < n; k++) {
      for (let i = 0; i < n; i++) {
        let product = 0;
        for (let j = 0; j < n; j++) product += a[i * n + j] * found.vectors[j * n + k];
        expectClose(product, found.values[k] * found.vectors[i * n + k], 1e-13, `A v, value ${k}`);
      }
      for (let l = 0; l <= k; l++) {
        let dot = 0;
        for (let i = 0; i < n; i++) dot += found.vectors[i * n + k] * found.vectors[i * n + l];
        expectClose(dot, k === l ? 1 : 0, 1e-14, `v${k} · v${l}`);
      }
    }
  });

  test('200 random 4 × 4 matrices: eigenvalues as ml-matrix', () => {
    for (let seed = 1; seed <= 200; seed++) {
      const { normal } = randomSystem(6, seed);
      const theirs = new EigenvalueDecomposition(
        new Matrix([0, 4, 8, 12].map((at) => [...normal.subarray(at, at + 4)])),
        {
          assumeSymmetric: true,
        },
      ).realEigenvalues;
      const mine = eigenSymmetric(normal, 4).values;
      expectAllClose(
        mine,
        theirs.sort((p, q) => p - q),
        1e-13 * mine[3],
        `seed ${seed}`,
      );
    }
  });

  test('diagonal, zero, 1 × 1, equal eigenvalues, sizes far apart', () => {
    expect([...eigenSymmetric([3, 0, 0, 0, -1, 0, 0, 0, 2], 3).values]).toEqual([-1, 2, 3]);
    expect([...eigenSymmetric(new Float64Array(9), 3).values]).toEqual([0, 0, 0]);
    expect([...eigenSymmetric([5], 1).vectors]).toEqual([1]);
    expectAllClose(eigenSymmetric([2, 1, 1, 1, 2, 1, 1, 1, 2], 3).values, [1, 1, 4], 1e-15, 'J + I');
    expectAllClose(eigenSymmetric([0, 1, 1, 0], 2).values, [-1, 1], 1e-15, 'zero diagonal');
    // Graded positive definite: eigenvalues 1e20·(1 + …) and det / that, both to relative rounding (Demmel & Veselić 1992).
    const graded = eigenSymmetric([1e20, 0.5e10, 0.5e10, 1], 2).values;
    expectClose(graded[0], 0.75, 1e-15, 'small eigenvalue beside 1e20');
  });

  test('what is not square or not finite is refused', () => {
    expect(() => eigenSymmetric([1, 2, 3], 2)).toThrow(RangeError);
    expect(() => eigenSymmetric([1, Number.NaN, Number.NaN, 1], 2)).toThrow(RangeError);
  });
});

describe('smallest eigenvector of 4 × 4: the null direction of a homogeneous system', () => {
  test('300 random systems: direction and value as the singular value decomposition of ml-matrix', () => {
    const out = new Float64Array(4);
    for (let seed = 1; seed <= 300; seed++) {
      const { system, normal } = randomSystem(4 + (seed % 5), seed);
      const value = smallestEigenvector4Into(out, 0, normal);
      const svd = new SVD(new Matrix(system));
      const sizes = svd.diagonal;
      const theirs = svd.rightSingularVectors.getColumn(3);
      const sign = Math.sign(theirs.reduce((sum, v, i) => sum + v * out[i], 0));
      // AᵀA squares the condition: the direction is good to rounding · σ₁² / (σ₃² − σ₄²).
      const gap = sizes[0] ** 2 / (sizes[2] ** 2 - sizes[3] ** 2);
      expectAllClose(
        out.map((v) => sign * v),
        theirs,
        4e-15 * gap,
        `direction, seed ${seed}`,
      );
      expectClose(value, sizes[3] ** 2, 4e-15 * sizes[0] ** 2, `value, seed ${seed}`);
    }
  });

  test('consistent equations: the exact null vector (closed form)', () => {
    const out = new Float64Array(4);
    const wanted = [1, -2, 0.5, -1].map((v) => v / Math.sqrt(6.25));
    for (let seed = 1; seed <= 100; seed++) {
      const { normal } = randomSystem(4, seed, 3);
      smallestEigenvector4Into(out, 0, normal);
      const sign = Math.sign(out[0]);
      const spread = eigenSymmetric(normal, 4).values;
      expectAllClose(
        out.map((v) => sign * v),
        wanted,
        (4e-15 * spread[3]) / spread[1],
        `seed ${seed}`,
      );
    }
  });

  test('written at the offset; the input is untouched; agrees with eigenSymmetric', () => {
    const { normal } = randomSystem(6, 77);
    const copy = normal.slice();
    const out = new Float64Array(6).fill(9);
    const value = smallestEigenvector4Into(out, 1, normal);
    expect(normal).toEqual(copy);
    expect([out[0], out[5]]).toEqual([9, 9]);
    const all = eigenSymmetric(normal, 4);
    expect(value).toBe(all.values[0]);
    expect([...out.subarray(1, 5)]).toEqual([0, 4, 8, 12].map((at) => all.vectors[at]));
  });

  test('a missing element gives NaN throughout and does not spoil the next call', () => {
    const out = new Float64Array(4);
    const { normal } = randomSystem(6, 5);
    const before = smallestEigenvector4Into(out, 0, normal);
    expect(
      smallestEigenvector4Into(
        out,
        0,
        normal.map((v, i) => (i === 5 ? Number.NaN : v)),
      ),
    ).toBeNaN();
    expect([...out].every(Number.isNaN)).toBe(true);
    expect(smallestEigenvector4Into(out, 0, normal)).toBe(before);
  });
});
