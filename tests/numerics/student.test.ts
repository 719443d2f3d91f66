import { describe, expect, test } from '@jest/globals';
import { normalQuantile, studentProbability, studentQuantile } from '../../src/numerics/student.ts';
import { expectClose } from '../expect-close.ts';
import { reference } from '../reference.ts';

const scipy = reference<{ p: number; freedom: number; t: number }>('numerics-scipy-student');
const normal = scipy.normal as { p: number; z: number }[];
const probability = scipy.probability as { t: number; freedom: number; p: number }[];

test.each(scipy.cases)('t quantile of $p, $freedom degrees of freedom: as SciPy', ({ p, freedom, t }) => {
  expectClose(studentQuantile(p, freedom), t, scipy.tolerance * Math.max(Math.abs(t), 1e-3), 't');
});

test.each(normal)('normal quantile of $p: as SciPy', ({ p, z }) => {
  expectClose(normalQuantile(p), z, 1e-14 * Math.max(1, Math.abs(z)), 'z');
});

test.each(probability)('P(T < $t), $freedom degrees of freedom: as SciPy', ({ t, freedom, p }) => {
  expectClose(studentProbability(t, freedom) / p, 1, 1e-12, 'probability ratio');
});

describe('closed forms', () => {
  const ps = [1e-9, 0.003, 0.1, 0.4, 0.6, 0.975];
  test.each(ps)('one and two degrees of freedom at %s: tan(π(p − ½)) and (2p − 1)/√(2p(1 − p))', (p) => {
    const cauchy = p < 0.5 ? -1 / Math.tan(Math.PI * p) : Math.tan(Math.PI * (p - 0.5));
    expectClose(studentQuantile(p, 1) / cauchy, 1, 1e-13, 'one');
    expectClose(studentQuantile(p, 2) / ((2 * p - 1) / Math.sqrt(2 * p * (1 - p))), 1, 1e-13, 'two');
  });

  test('printed table (Student’s t, two-sided 95 %): 12.706, 2.776, 2.228, 2.042, 1.980, 1.960', () => {
    const printed: [number, number][] = [
      [1, 12.706],
      [4, 2.776],
      [10, 2.228],
      [30, 2.042],
      [120, 1.98],
      [Number.POSITIVE_INFINITY, 1.96],
    ];
    for (const [nu, t] of printed) expectClose(studentQuantile(0.975, nu), t, 5.1e-4, `${nu}`);
  });

  test('the quantile undoes the probability; symmetric', () => {
    for (const nu of [0.8, 3, 17.5, 400]) {
      for (const p of [1e-10, 0.02, 0.3, 0.55]) {
        expectClose(studentProbability(studentQuantile(p, nu), nu) / p, 1, 1e-12, `p ${p}, ν ${nu}`);
      }
      expectClose(studentQuantile(0.1, nu), -studentQuantile(0.9, nu), 1e-13, 'symmetry');
    }
  });

  test('one degree of freedom far out: −1/(πp)', () => {
    for (const p of [1e-100, 1e-250]) expectClose(studentQuantile(p, 1) * Math.PI * p, -1, 1e-12, `${p}`);
  });

  test('the middle and the ends', () => {
    expect(studentQuantile(0.5, 3)).toBe(0);
    expect(studentQuantile(0, 3)).toBe(Number.NEGATIVE_INFINITY);
    expect(normalQuantile(1)).toBe(Number.POSITIVE_INFINITY);
    expect(normalQuantile(0)).toBe(Number.NEGATIVE_INFINITY);
    expect(studentProbability(0, 3)).toBe(0.5);
    expect(studentProbability(Number.POSITIVE_INFINITY, 3)).toBe(1);
  });

  test('infinitely many degrees of freedom: the normal distribution', () => {
    for (const { p, z } of normal) {
      if (p > 1e-12 && p < 0.5) expectClose(studentProbability(z, Number.POSITIVE_INFINITY), p, 1e-9 * p, `${p}`);
    }
  });

  test('what is no probability or freedom is refused', () => {
    for (const bad of [-0.1, 1.1, Number.NaN]) {
      expect(() => normalQuantile(bad)).toThrow(RangeError);
      expect(() => studentQuantile(bad, 3)).toThrow(RangeError);
    }
    expect(() => studentQuantile(0.5, 0)).toThrow(RangeError);
  });
});
