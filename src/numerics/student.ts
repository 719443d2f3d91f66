/* Quantiles of the normal and Student's t distribution. No installed library offers them; checked against SciPy. */

import { normalProbability } from './normal.ts';

/**
 * Quantile of the standard normal: algorithm AS 241 (PPND16) of Wichura (1988, Appl. Stat. 37:477–484), relative error
 * about 1e-16. p within 0 … 1 (the ends give ∓Infinity), else RangeError.
 */
export function normalQuantile(p: number): number {
  if (!(p >= 0 && p <= 1)) throw new RangeError(`normalQuantile: probability ${p} is not within 0 to 1`);
  const q = p - 0.5;
  if (Math.abs(q) <= 0.425) {
    const r = 0.180625 - q * q;
    return (q * polynomial(CENTRE_OVER, r)) / polynomial(CENTRE_UNDER, r);
  }
  const r = Math.sqrt(-Math.log(q < 0 ? p : 1 - p));
  const size =
    r <= 5
      ? polynomial(MIDDLE_OVER, r - 1.6) / polynomial(MIDDLE_UNDER, r - 1.6)
      : polynomial(TAIL_OVER, r - 5) / polynomial(TAIL_UNDER, r - 5);
  if (r === Number.POSITIVE_INFINITY) return q < 0 ? Number.NEGATIVE_INFINITY : Number.POSITIVE_INFINITY;
  return q < 0 ? -size : size;
}

/** Probability that Student's t with `degreesOfFreedom` > 0 (Infinity is the normal) does not exceed t. */
export function studentProbability(t: number, degreesOfFreedom: number): number {
  requireFreedom(degreesOfFreedom);
  if (degreesOfFreedom === Number.POSITIVE_INFINITY) return normalProbability(t);
  const tail = upperTail(Math.abs(t), degreesOfFreedom);
  return t > 0 ? 1 - tail : tail;
}

/**
 * Quantile of Student's t with `degreesOfFreedom` > 0 (need not be whole; Infinity is the normal): the root of the tail
 * probability, by Newton's method kept in a shrinking bracket. p within 0 … 1, else RangeError.
 */
export function studentQuantile(p: number, degreesOfFreedom: number): number {
  if (!(p >= 0 && p <= 1)) throw new RangeError(`studentQuantile: probability ${p} is not within 0 to 1`);
  requireFreedom(degreesOfFreedom);
  if (p === 0.5) return 0;
  if (p === 0) return Number.NEGATIVE_INFINITY;
  if (p === 1) return Number.POSITIVE_INFINITY;
  const tail = Math.min(p, 1 - p);
  const size =
    degreesOfFreedom >= NEARLY_NORMAL ? expandedQuantile(tail, degreesOfFreedom) : rootOfTail(tail, degreesOfFreedom);
  return p < 0.5 ? -size : size;
}

/** From here two terms of the expansion about the normal leave less than 1e-14. */
const NEARLY_NORMAL = 1e6;

/** z + (z³ + z)/(4ν) + (5z⁵ + 16z³ + 3z)/(96ν²) (Abramowitz & Stegun 1964, 26.7.5). */
function expandedQuantile(tail: number, nu: number): number {
  const z = -normalQuantile(tail);
  if (nu === Number.POSITIVE_INFINITY) return z;
  const z3 = z ** 3;
  return z + (z3 + z) / (4 * nu) + (5 * z ** 5 + 16 * z3 + 3 * z) / (96 * nu * nu);
}

function rootOfTail(tail: number, nu: number): number {
  let low = 0;
  let high = Math.max(1, expandedQuantile(tail, nu));
  while (upperTail(high, nu) > tail) {
    low = high;
    high *= 2;
  }
  // Newton on the logarithm of the tail, which is nearly straight in log t far out.
  let t = high / 2 > low ? high / 2 : (low + high) / 2;
  for (let iteration = 0; iteration < 200; iteration++) {
    const here = upperTail(t, nu);
    if (here > tail) low = t;
    else high = t;
    const step = Math.log(here / tail) * (here / density(t, nu));
    let next = t + step;
    if (!(next > low && next < high)) next = low > 0 ? Math.sqrt(low) * Math.sqrt(high) : high / 2;
    if (Math.abs(next - t) <= 4e-16 * t) return next;
    t = next;
  }
  return t;
}

/** P(T > t), t ≥ 0: half the regularised incomplete beta function I_x(ν/2, 1/2), x = ν/(ν + t²) (DLMF 8.17). */
function upperTail(t: number, nu: number): number {
  if (t === Number.POSITIVE_INFINITY) return 0;
  const a = nu / 2;
  const s = t / Math.sqrt(nu);
  const x = 1 / (1 + s * s);
  const y = 1 / (1 + 1 / (s * s));
  if (y === 0) return 0.5;
  // x^a √y / B(a, ½)
  const front = Math.exp(-a * logOnePlusSquare(s)) * Math.sqrt(y) * (gammaHalfStep(a) / Math.sqrt(Math.PI));
  if (x < (a + 1) / (a + 2.5)) return (front * betaFraction(a, 0.5, x)) / (2 * a);
  return 0.5 - front * betaFraction(0.5, a, y);
}

function density(t: number, nu: number): number {
  const s = t / Math.sqrt(nu);
  return (gammaHalfStep(nu / 2) / Math.sqrt(Math.PI * nu)) * Math.exp((-(nu + 1) / 2) * logOnePlusSquare(s));
}

/** ln(1 + s²) for small and for enormous s. */
function logOnePlusSquare(s: number): number {
  return s > 1e9 ? 2 * Math.log(s) : Math.log1p(s * s);
}

/** Γ(a + ½) / Γ(a), by its series for large a (DLMF 5.11.13) after stepping up. */
function gammaHalfStep(a: number): number {
  let factor = 1;
  let up = a;
  for (; up < 20; up++) factor *= up / (up + 0.5);
  const r = 1 / up;
  const series =
    1 +
    r *
      (-1 / 8 +
        r *
          (1 / 128 +
            r * (5 / 1024 + r * (-21 / 32768 + r * (-399 / 262144 + r * (869 / 4194304 + (r * 39325) / 33554432))))));
  return factor * Math.sqrt(up) * series;
}

/** Continued fraction of the incomplete beta function (DLMF 8.17.22) by the modified Lentz method. */
function betaFraction(a: number, b: number, x: number): number {
  const tiny = 1e-300;
  const guard = (value: number) => (Math.abs(value) < tiny ? tiny : value);
  let c = 1;
  let d = 1 / guard(1 - ((a + b) * x) / (a + 1));
  let h = d;
  for (let m = 1; m < 20000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / guard(1 + even * d);
    c = guard(1 + even / c);
    h *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / guard(1 + odd * d);
    c = guard(1 + odd / c);
    h *= d * c;
    if (Math.abs(d * c - 1) < 2e-16) break;
  }
  return h;
}

function requireFreedom(nu: number): void {
  if (!(nu > 0)) throw new RangeError(`Student's t: ${nu} degrees of freedom; above 0 wanted`);
}

function polynomial(coefficients: readonly number[], x: number): number {
  let sum = 0;
  for (let i = coefficients.length - 1; i >= 0; i--) sum = sum * x + coefficients[i];
  return sum;
}

// Coefficients of Wichura (1988), constant first, to the digits that a double holds.
const CENTRE_OVER = [
  3.3871328727963665, 133.14166789178438, 1971.5909503065513, 13731.69376550946, 45921.95393154987, 67265.7709270087,
  33430.57558358813, 2509.0809287301227,
];
const CENTRE_UNDER = [
  1, 42.31333070160091, 687.1870074920579, 5394.196021424751, 21213.794301586597, 39307.89580009271, 28729.085735721943,
  5226.495278852854,
];
const MIDDLE_OVER = [
  1.4234371107496835, 4.630337846156546, 5.769497221460691, 3.6478483247632045, 1.2704582524523684, 0.2417807251774506,
  0.022723844989269184, 0.0007745450142783414,
];
const MIDDLE_UNDER = [
  1, 2.053191626637759, 1.6763848301838038, 0.6897673349851, 0.14810397642748008, 0.015198666563616457,
  0.0005475938084995345, 1.0507500716444169e-9,
];
const TAIL_OVER = [
  6.657904643501103, 5.463784911164114, 1.7848265399172913, 0.29656057182850487, 0.026532189526576124,
  0.0012426609473880784, 2.7115555687434876e-5, 2.0103343992922881e-7,
];
const TAIL_UNDER = [
  1, 0.599832206555888, 0.1369298809227358, 0.014875361290850615, 0.0007868691311456133, 1.8463183175100548e-5,
  1.421511758316446e-7, 2.0442631033899397e-15,
];
