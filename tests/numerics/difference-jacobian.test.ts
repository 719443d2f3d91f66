import { expect, test } from '@jest/globals';
import { centralDifferenceJacobianInto } from '../../src/numerics/difference-jacobian.ts';
import { triangulariseInPlace } from '../../src/numerics/householder.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';

test('central differences against closed-form derivatives, to 1e-9 of each', () => {
  const p = Float64Array.of(2, -0.3, 400);
  const problem = {
    residualCount: 3,
    parameterCount: 3,
    residualsInto: (out: Float64Array, b: Float64Array) =>
      out.set([b[0] * Math.exp(b[1]), Math.sin(b[0] * b[1]), b[2] ** 2 / b[0]]),
  };
  const r = new Float64Array(3);
  problem.residualsInto(r, p);
  const found = new Float64Array(9);
  centralDifferenceJacobianInto(problem, p)(found, p, r);
  const e = Math.exp(-0.3);
  const c = Math.cos(-0.6);
  const wanted = [e, 2 * e, 0, -0.3 * c, 2 * c, 0, -40000, 0, 400];
  wanted.forEach((value, i) => {
    expectClose(found[i], value, 1e-9 * Math.max(1, Math.abs(value)), `element ${i}`);
  });
});

test('beside a region without values the difference is one-sided', () => {
  const problem = {
    residualCount: 1,
    parameterCount: 1,
    residualsInto: (out: Float64Array, b: Float64Array) => out.set([b[0] < 1 ? Number.NaN : b[0] * b[0]]),
  };
  const found = new Float64Array(1);
  centralDifferenceJacobianInto(problem, [1])(found, Float64Array.of(1), Float64Array.of(1));
  expectClose(found[0], 2, 1e-4, 'slope');
});

test('Householder triangle: RᵀR = AᵀA, zeros below, appended column becomes Qᵀb; also wide and zero columns', () => {
  const random = seededRandom(6);
  for (const [rows, columns] of [
    [7, 4],
    [4, 4],
    [3, 5],
    [1, 2],
    [6, 1],
  ]) {
    const a = Float64Array.from({ length: rows * columns }, (_, i) => (i % columns === 1 ? 0 : random.normal()));
    const r = a.slice();
    triangulariseInPlace(r, rows, columns, new Float64Array(columns));
    const product = (m: Float64Array) =>
      Array.from({ length: columns * columns }, (_, at) => {
        let sum = 0;
        for (let i = 0; i < rows; i++)
          sum += m[i * columns + Math.floor(at / columns)] * m[i * columns + (at % columns)];
        return sum;
      });
    expectAllClose(product(r), product(a), 2e-14, `${rows} × ${columns}`);
    for (let i = 0; i < rows; i++) for (let j = 0; j < Math.min(i, columns); j++) expect(r[i * columns + j]).toBe(0);
  }
});
