import { expect, test } from '@jest/globals';
import { nonCentralStudentQuantile } from '../../src/numerics/non-central-student.ts';
import { normalProbability } from '../../src/numerics/normal.ts';
import { studentQuantile } from '../../src/numerics/student.ts';
import { expectClose } from '../expect-close.ts';
import { reference } from '../reference.ts';

const scipy = reference<{ p: number; freedom: number; noncentrality: number; t: number }>(
  'numerics-scipy-non-central-student',
);

test.each(scipy.cases)('quantile of $p, ν $freedom, δ $noncentrality: as SciPy', ({ p, freedom, noncentrality, t }) => {
  expectClose(nonCentralStudentQuantile(p, freedom, noncentrality), t, scipy.tolerance * t, 't');
});

test.each(scipy.normal as { x: number; p: number }[])('Φ($x): as SciPy', ({ x, p }) => {
  // Relative where the value is a tail by the fraction, absolute where it is a difference from a half.
  expectClose(normalProbability(x), p, x < -6 ? 1e-12 * p : 1e-15, 'Φ');
});

test.each([0.9, 3, 17.5, 400])('without noncentrality it is Student’s t, ν %s', (nu) => {
  for (const p of [0.025, 0.4, 0.975]) {
    const t = studentQuantile(p, nu);
    expectClose(nonCentralStudentQuantile(p, nu, 0), t, 1e-9 * Math.max(1, Math.abs(t)), `p ${p}`);
  }
});

test('mirrored: quantile of 1 − p with −δ', () => {
  expectClose(nonCentralStudentQuantile(0.1, 6, -3), -nonCentralStudentQuantile(0.9, 6, 3), 1e-10, 't');
});

test('refuses what has no quantile', () => {
  for (const [p, nu, delta] of [
    [0, 3, 1],
    [1, 3, 1],
    [0.5, 0, 1],
    [0.5, 3, Number.NaN],
  ])
    expect(() => nonCentralStudentQuantile(p, nu, delta)).toThrow(RangeError);
});
