import { describe, expect, test } from '@jest/globals';
import fc from 'fast-check';
import {
  apply3Into,
  multiply3,
  nearestRotation,
  rotationAboutY,
  rotationFromVector,
  transpose3,
  vectorFromRotation,
} from '../../src/numerics/rotation.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { reference } from '../reference.ts';

interface RotationCase {
  case: string;
  vector: number[];
  matrix: number[];
}
const scipy = reference<RotationCase>('numerics-scipy-rotation');
const nearest = scipy.nearest as { m: number[]; r: number[]; det: number }[];
const identity = [1, 0, 0, 0, 1, 0, 0, 0, 1];

describe('rotation vector and matrix', () => {
  test.each(scipy.cases)('$case: matrix as SciPy', ({ vector, matrix }) => {
    expectAllClose(rotationFromVector(vector), matrix, scipy.tolerance, 'R');
  });

  test.each(scipy.cases)('$case: vector back from the matrix of SciPy', ({ vector, matrix }) => {
    const found = vectorFromRotation(matrix);
    const size = Math.hypot(...vector);
    // The matrix holds elements to 1.1e-16: a vector from it cannot be better than a few of these, at any angle.
    expectAllClose(found, vector, 4e-15, `${size}`);
  });

  const axes = fc
    .tuple(...Array.from({ length: 3 }, () => fc.double({ min: -1, max: 1, noNaN: true })))
    .filter((v) => Math.hypot(...v) > 0.05);
  const angles = fc.oneof(
    fc.double({ min: 0, max: Math.PI - 1e-6, noNaN: true }),
    fc.double({ min: 1e-12, max: 1e-3, noNaN: true }),
    fc.double({ min: 1e-6, max: 1e-3, noNaN: true }).map((d) => Math.PI - d),
  );

  test('there and back for any axis and angle; the matrix is orthonormal', () => {
    fc.assert(
      fc.property(axes, angles, (axis, angle) => {
        const size = Math.hypot(...axis);
        const v = axis.map((part) => (part / size) * angle);
        const r = rotationFromVector(v);
        expectAllClose(vectorFromRotation(r), v, 1e-14, 'v');
        expectAllClose(multiply3(r, transpose3(r)), identity, 1e-15 * 4, 'R Rᵀ');
      }),
      { seed: 1, numRuns: 500 },
    );
  });

  test('a half turn: the axis up to its sign', () => {
    for (const v of [[Math.PI, 0, 0], [0, -Math.PI, 0], [0, 0, Math.PI], [-2, 1, -2].map((a) => (a / 3) * Math.PI)]) {
      const found = vectorFromRotation(rotationFromVector(v));
      const sign = Math.sign(found[0] * v[0] + found[1] * v[1] + found[2] * v[2]);
      expectAllClose(
        found,
        v.map((a) => sign * a),
        1e-14,
        'half turn',
      );
    }
  });

  test('right-hand rule: a quarter turn about Z takes X to Y; about Y takes Z to X', () => {
    const out = new Float64Array(3);
    apply3Into(out, 0, rotationFromVector([0, 0, Math.PI / 2]), [1, 0, 0], 0);
    expectAllClose(out, [0, 1, 0], 1e-15, 'Z');
    apply3Into(out, 0, rotationAboutY(Math.PI / 2), [0, 0, 1], 0);
    expectAllClose(out, [1, 0, 0], 1e-15, 'Y');
    expectAllClose(rotationAboutY(0.7), rotationFromVector([0, 0.7, 0]), 1e-15, 'about Y');
  });

  test('apply3Into: any offset, safe in place', () => {
    const r = rotationFromVector([0.3, -0.2, 0.9]);
    const points = Float64Array.of(9, 1, 2, 3, 9);
    const out = new Float64Array(4);
    apply3Into(out, 1, r, points, 1);
    apply3Into(points, 1, r, points, 1);
    expect([...points.subarray(1, 4)]).toEqual([...out.subarray(1)]);
    expect([points[0], points[4], out[0]]).toEqual([9, 9, 0]);
  });
});

describe('nearest rotation', () => {
  test.each(nearest)('as SciPy’s solution of Wahba’s problem (determinant of the matrix $det)', ({ m, r }) => {
    expectAllClose(nearestRotation(m), r, scipy.tolerance * 20, 'R');
  });

  test('both signs of the determinant are among the cases', () => {
    expect(new Set(nearest.map(({ det }) => Math.sign(det))).size).toBe(2);
  });

  test('a rotation stays itself; scaled, too', () => {
    const r = rotationFromVector([1, -0.4, 2]);
    expectAllClose(nearestRotation(r), r, 2e-15, 'R');
    expectAllClose(nearestRotation(r.map((v) => 7.5 * v)), r, 2e-15, '7.5 R');
  });

  test('rank two (three directions in a plane) still gives a rotation', () => {
    const found = nearestRotation([1, 0, 0, 0, 1, 0, 0, 0, 0]);
    expectAllClose(found, identity, 1e-15, 'R');
    expectClose(nearestRotation([1, 0, 0, 0, -1, 0, 0, 0, 0])[8], -1, 1e-15, 'turned about X');
  });

  test('a missing element is refused', () => {
    expect(() => nearestRotation([1, 0, 0, 0, Number.NaN, 0, 0, 0, 1])).toThrow(RangeError);
  });
});
