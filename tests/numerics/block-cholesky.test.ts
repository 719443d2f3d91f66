import { expect, test } from '@jest/globals';
import { choleskyInPlace, solveLowerInPlace, solveUpperInPlace } from '../../src/numerics/block-cholesky.ts';
import { expectAllClose } from '../expect-close.ts';

// 4 12 −16 / 12 37 −43 / −16 −43 98 has the factor 2 / 6 1 / −8 5 3: exact in whole numbers (Higham 2009, WIREs 1:251,
// from memory; the product is checked by hand: 6·6 + 1 = 37, −8·6 + 5 = −43, 64 + 25 + 9 = 98).
const MATRIX = [4, 0, 0, 12, 37, 0, -16, -43, 98];

test('factor of a matrix of whole numbers, at an offset; solves of its right-hand sides', () => {
  const a = Float64Array.of(9, ...MATRIX);
  expect(choleskyInPlace(a, 1, 3, 0)).toBe(3);
  expectAllClose(a, [9, 2, 0, 0, 6, 1, 0, -8, 5, 3], 0);
  // Two right-hand sides: A (1, 1, 1) = (0, 6, 39) and A (0, 0, 1).
  const b = Float64Array.of(0, -16, 6, -43, 39, 98);
  solveLowerInPlace(a, 1, 3, b, 0, 2);
  solveUpperInPlace(a, 1, 3, b, 0, 2);
  expectAllClose(b, [1, 0, 1, 0, 1, 1], 1e-13);
});

test('a dependent direction gets no pivot and the value 0; what is not finite or negative is told', () => {
  // Second parameter acts as twice the first.
  const a = Float64Array.of(1, 0, 0, 2, 4, 0, 1, 2, 5);
  expect(choleskyInPlace(a, 0, 3, 1e-12)).toBe(2);
  const b = Float64Array.of(1, 2, 3);
  solveLowerInPlace(a, 0, 3, b, 0, 1);
  solveUpperInPlace(a, 0, 3, b, 0, 1);
  expectAllClose(b, [0.5, 0, 0.5], 1e-15);
  expect(choleskyInPlace(Float64Array.of(1, 0, Number.NaN, 2), 0, 2, 0)).toBeLessThan(2);
  expect(choleskyInPlace(Float64Array.of(-1), 0, 1, 0)).toBe(-1);
});
