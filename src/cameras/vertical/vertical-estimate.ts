import { inverse, Matrix } from 'ml-matrix';
import { verticalsDisagree } from '../../messages/moving-points.ts';
import { eigenSymmetric } from '../../numerics/symmetric-eigen.ts';

/** The direction straight up, found from one source, in the rig's frame of that moment (any frame; the same for all sources). */
export interface VerticalEstimate {
  /** In plain words, for instance 'plumb line'. */
  readonly from: string;
  /** Unit vector. */
  readonly up: Float64Array;
  /** Covariance of the unit vector, 3 × 3 row-major, rad²; singular along `up`. */
  readonly covariance: Float64Array;
  /** The true vertical lies within this angle of `up` with probability 95 %, degrees. */
  readonly halfWidth95Deg: number;
}

/** Half width of the 95 % interval up to which a vertical is accepted, degrees: 1° moves the hip share of a posture by about 0.013. */
export const VERTICAL_LIMIT_DEG = 0.5;

const DEG = 180 / Math.PI;

/** An estimate with its half width, from a direction (any length) and the covariance of the unit vector. */
export function verticalEstimate(
  from: string,
  direction: ArrayLike<number>,
  covariance: ArrayLike<number>,
): VerticalEstimate {
  const length = Math.hypot(direction[0], direction[1], direction[2]);
  const up = Float64Array.from([0, 1, 2], (i) => direction[i] / length);
  const flat = tangentCovariance(up, covariance);
  return { from, up, covariance: flat, halfWidth95Deg: angleOf95(flat) * DEG };
}

/** P C P with P = I − u uᵀ: what of a covariance (3 × 3) turns the direction. */
export function tangentCovariance(up: ArrayLike<number>, covariance: ArrayLike<number>): Float64Array {
  const p = Float64Array.from({ length: 9 }, (_, k) => (k % 4 === 0 ? 1 : 0) - up[Math.floor(k / 3)] * up[k % 3]);
  const out = new Float64Array(9);
  for (let a = 0; a < 3; a++) {
    for (let b = 0; b < 3; b++) {
      for (let i = 0; i < 3; i++) {
        for (let j = 0; j < 3; j++) out[3 * a + b] += p[3 * a + i] * covariance[3 * i + j] * p[3 * j + b];
      }
    }
  }
  return out;
}

/** Covariance of a direction that errs alike to all sides: variance (sdRad²) per axis across it. */
export function roundCovariance(up: ArrayLike<number>, sdRad: number): Float64Array {
  return Float64Array.from(
    { length: 9 },
    (_, k) => sdRad * sdRad * ((k % 4 === 0 ? 1 : 0) - up[Math.floor(k / 3)] * up[k % 3]),
  );
}

/** Of the quarter circle; the other three are alike. */
const QUARTER_STEPS = 64;

/**
 * Angle (rad) that a normal error of a direction with this tangent covariance stays below with probability 95 %. With the
 * variances a ≥ b across it, P(angle ≤ r) = mean over φ of 1 − exp(−r² / 2 (a cos²φ + b sin²φ)): polar coordinates of the
 * two standard normal errors. Round errors: 2.448 standard deviations (Rayleigh); one axis alone: 1.960.
 */
export function angleOf95(covariance: ArrayLike<number>): number {
  const { values } = eigenSymmetric(covariance, 3);
  const a = Math.max(0, values[2]);
  const b = Math.max(0, values[1]);
  if (a === 0) return 0;
  const within = (r: number) => {
    let sum = 0;
    for (let k = 0; k < QUARTER_STEPS; k++) {
      const c = Math.cos((Math.PI * (k + 0.5)) / 2 / QUARTER_STEPS) ** 2;
      sum += 1 - Math.exp((-r * r) / (2 * (a * c + b * (1 - c))));
    }
    return sum / QUARTER_STEPS;
  };
  let low = 0;
  let high = 4 * Math.sqrt(a);
  for (let i = 0; i < 44; i++) {
    const middle = (low + high) / 2;
    if (within(middle) < 0.95) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** χ² with two degrees of freedom is below this with probability 99.9 %: 2 ln 1000. */
const DISAGREE_CHI_SQUARE = 2 * Math.log(1000);

/**
 * All sources in one: weighted by the inverse of their covariances in the plane across their mean direction. Throws
 * `verticals-disagree` where a source lies farther from the others together than their uncertainties allow (99.9 %).
 */
export function combineVerticals(estimates: readonly VerticalEstimate[]): VerticalEstimate {
  if (estimates.length === 1) return estimates[0];
  refuseDisagreement(estimates);
  const joint = weighted(estimates);
  return verticalEstimate(estimates.map(({ from }) => from).join(' + '), joint.up, joint.covariance);
}

function refuseDisagreement(estimates: readonly VerticalEstimate[]): void {
  let worst = { chiSquare: DISAGREE_CHI_SQUARE, index: -1, angleDeg: 0 };
  estimates.forEach((one, index) => {
    const rest = weighted(estimates.filter((_, i) => i !== index));
    const { a, b } = basisAcross(rest.up);
    const d = [dot(one.up, a), dot(one.up, b)];
    const sum = one.covariance.map((x, k) => x + rest.covariance[k]);
    const c = inverse(inBasis(sum, a, b));
    const chiSquare = d[0] ** 2 * c.get(0, 0) + 2 * d[0] * d[1] * c.get(0, 1) + d[1] ** 2 * c.get(1, 1);
    // Nearly opposite directions have a small tangent part: they disagree all the same.
    const angleDeg = Math.acos(Math.max(-1, Math.min(1, dot(one.up, rest.up)))) * DEG;
    if (chiSquare > worst.chiSquare || angleDeg > 90) worst = { chiSquare, index, angleDeg };
  });
  if (worst.index < 0) return;
  const others = estimates.filter((_, i) => i !== worst.index).map(({ from }) => from);
  throw verticalsDisagree(estimates[worst.index].from, others, worst.angleDeg, estimates[worst.index].halfWidth95Deg);
}

function weighted(estimates: readonly VerticalEstimate[]): { up: Float64Array; covariance: Float64Array } {
  let up: Float64Array = best(estimates).up;
  let covariance = new Float64Array(9);
  for (let round = 0; round < 3; round++) {
    const { a, b } = basisAcross(up);
    const information = new Matrix(2, 2);
    const right = [0, 0];
    for (const one of estimates) {
      const w = inverse(inBasis(one.covariance, a, b));
      information.add(w);
      const d = [dot(one.up, a), dot(one.up, b)];
      for (let i = 0; i < 2; i++) right[i] += w.get(i, 0) * d[0] + w.get(i, 1) * d[1];
    }
    const c = inverse(information);
    const step = [0, 1].map((i) => c.get(i, 0) * right[0] + c.get(i, 1) * right[1]);
    const next = [0, 1, 2].map((k) => up[k] + step[0] * a[k] + step[1] * b[k]);
    const length = Math.hypot(...next);
    up = Float64Array.from(next, (x) => x / length);
    covariance = Float64Array.from({ length: 9 }, (_, k) => {
      const [i, j] = [Math.floor(k / 3), k % 3];
      return c.get(0, 0) * a[i] * a[j] + c.get(0, 1) * (a[i] * b[j] + b[i] * a[j]) + c.get(1, 1) * b[i] * b[j];
    });
  }
  return { up, covariance };
}

const best = (estimates: readonly VerticalEstimate[]): VerticalEstimate =>
  estimates.reduce((x, y) => (x.halfWidth95Deg <= y.halfWidth95Deg ? x : y));

/** aᵀ C b …, 2 × 2; a variance of 0 becomes a millionth of a degree, so that it can be inverted. */
function inBasis(c: ArrayLike<number>, a: ArrayLike<number>, b: ArrayLike<number>): Matrix {
  const least = (1e-6 / DEG) ** 2;
  const form = (x: ArrayLike<number>, y: ArrayLike<number>) => {
    let sum = 0;
    for (let i = 0; i < 3; i++) for (let j = 0; j < 3; j++) sum += x[i] * c[3 * i + j] * y[j];
    return sum;
  };
  return new Matrix([
    [form(a, a) + least, form(a, b)],
    [form(a, b), form(b, b) + least],
  ]);
}

/** Two unit vectors across `up` and each other. */
export function basisAcross(up: ArrayLike<number>): { a: number[]; b: number[] } {
  const pivot = Math.abs(up[0]) < 0.6 ? [1, 0, 0] : [0, 0, 1];
  const raw = crossed(up, pivot);
  const length = Math.hypot(...raw);
  const a = raw.map((x) => x / length);
  return { a, b: crossed(up, a) };
}

export const dot = (a: ArrayLike<number>, b: ArrayLike<number>): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

export const crossed = (a: ArrayLike<number>, b: ArrayLike<number>): number[] => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
