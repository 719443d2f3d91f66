import { eigenSymmetric } from '../../../numerics/symmetric-eigen.ts';

/** A smooth function of few variables. */
export interface SmoothFunction {
  /** Writes the slope at x to `slope`; +Infinity where the function does not exist. */
  value(slope: Float64Array, x: Float64Array): number;
  /** Second derivatives at x, row-major. */
  curvature(x: Float64Array): Float64Array;
}

export interface Minimum {
  readonly x: Float64Array;
  readonly value: number;
  readonly iterations: number;
  /** False: the limit of iterations was reached, or no step lowered the value although the slope says it should. */
  readonly converged: boolean;
}

const MAX_ITERATIONS = 200;
const MAX_REFUSED = 60;
/** Forecast fall at which a value is settled: of −2 ln L this is nothing, and the place is then good to about 1e-7. */
const SETTLED = 1e-13;
/** A forecast below this share of |value| cannot be checked against the value, which is rounded there. */
const ROUNDING = 1e-12;
const FIRST_RADIUS = 1;

/**
 * A local minimum by Newton's method in a trust region, also from a saddle or where the curvature is negative (Moré &
 * Sorensen 1983, SIAM J Sci Stat Comput 4:553–572; Nocedal & Wright 2006, ch. 4).
 */
export function newtonMinimum(of: SmoothFunction, start: Float64Array): Minimum {
  const n = start.length;
  let x = start.slice();
  let slope = new Float64Array(n);
  let value = of.value(slope, x);
  if (n === 0 || !Number.isFinite(value)) return { x, value, iterations: 0, converged: Number.isFinite(value) };
  let radius = FIRST_RADIUS;
  for (let iterations = 0; iterations < MAX_ITERATIONS; iterations++) {
    const { values, vectors } = eigenSymmetric(of.curvature(x), n);
    for (let refused = 0; ; refused++) {
      const { step, fall } = trustStep(values, vectors, slope, radius);
      const trial = x.map((xi, i) => xi + step[i]);
      // The last step is taken unseen: it costs nothing and doubles the digits of the place.
      if (!(fall > SETTLED)) return { x: fall > 0 ? trial : x, value, iterations, converged: fall >= 0 };
      if (refused > MAX_REFUSED) return { x, value, iterations, converged: false };
      const trialSlope = new Float64Array(n);
      const trialValue = of.value(trialSlope, trial);
      const length = norm(step);
      const rounded = fall < ROUNDING * (1 + Math.abs(value));
      // Within rounding of the value the slope decides; where it no longer falls the minimum is as near as it gets.
      if (rounded && !(norm(trialSlope) < norm(slope))) return { x, value, iterations, converged: true };
      const gain = rounded ? 1 : (value - trialValue) / fall;
      if (gain > 0.75 && length > 0.9 * radius) radius *= 3;
      else if (!(gain > 0.25)) radius = length / 4;
      if (!(gain > 1e-4)) continue;
      x = trial;
      value = trialValue;
      slope = trialSlope;
      break;
    }
  }
  return { x, value, iterations: MAX_ITERATIONS, converged: false };
}

function norm(v: Float64Array): number {
  let square = 0;
  for (let i = 0; i < v.length; i++) square += v[i] * v[i];
  return Math.sqrt(square);
}

/** The step of at most `radius` that the quadratic model likes best, and how far the model falls. */
function trustStep(values: Float64Array, vectors: Float64Array, slope: Float64Array, radius: number) {
  const n = slope.length;
  const along = new Float64Array(n);
  for (let k = 0; k < n; k++) for (let i = 0; i < n; i++) along[k] += vectors[i * n + k] * slope[i];
  const scale = Math.max(Math.abs(values[0]), Math.abs(values[n - 1]), 1e-300);
  const at = (shift: number) => along.map((g, k) => (g === 0 ? 0 : -g / (values[k] + shift)));
  let part: Float64Array;
  const newton = values[0] > 1e-12 * scale ? at(0) : null;
  if (newton && norm(newton) <= radius) part = newton;
  else {
    let low = Math.max(0, -values[0]) + 1e-12 * scale;
    part = at(low);
    if (norm(part) <= radius) {
      // Hard case: no slope along the direction that curves down most; either way along it is as good.
      if (values[0] < -1e-9 * scale) part[0] += Math.sqrt(Math.max(0, radius ** 2 - norm(part) ** 2));
    } else {
      let high = low + norm(along) / radius;
      for (let i = 0; i < 100 && high - low > 1e-12 * high; i++) {
        const middle = (low + high) / 2;
        if (norm(at(middle)) > radius) low = middle;
        else high = middle;
      }
      part = at(high);
    }
  }
  const step = new Float64Array(n);
  let fall = 0;
  for (let k = 0; k < n; k++) {
    fall -= along[k] * part[k] + 0.5 * values[k] * part[k] ** 2;
    for (let i = 0; i < n; i++) step[i] += vectors[i * n + k] * part[k];
  }
  return { step, fall };
}
