import { bSplinesInto } from './b-spline.ts';
import { factorBandedInPlace, solveBandedInPlace } from './banded-cholesky.ts';
import type { PlannedSmoother } from './planned-smoother.ts';
import type { SmoothnessOrder } from './spline-bandwidth.ts';

/** Smoothing splines of one set of times: runs on many series. */
export interface SmoothingSplinePlan extends PlannedSmoother {
  /** The spline through one series as a function of time; `derivative` 0 … 2m − 1. */
  fit(y: ArrayLike<number>): (t: number, derivative?: number) => number;
}

/**
 * Natural smoothing spline of degree 2m − 1: the function that minimises Σ wᵢ (yᵢ − f(tᵢ))² + λ ∫ (f⁽ᵐ⁾)² dt from the first
 * to the last time (Reinsch 1967 for m = 2; Woltring 1986 for m = 3), as B-splines with a knot at every time. Banded normal
 * equations, time and memory in proportion to n. Polynomials of degree m − 1 pass unchanged.
 *
 * times: seconds, strictly increasing. weights: null = 1; 0 = missing: not read, and filled by the spline. λ: from
 * `smoothnessWeight`. RangeError: times that do not increase, a weight below 0, fewer than m samples with weight above 0, λ
 * not above 0, or so large that the equations keep too few digits (`LEAST_DIGITS`).
 */
export function smoothingSplinePlan(
  times: ArrayLike<number>,
  lambda: number,
  order: SmoothnessOrder,
  weights: ArrayLike<number> | null = null,
): SmoothingSplinePlan {
  const n = times.length;
  const degree = 2 * order - 1;
  checkTimes(times, weights, order);
  if (!(lambda > 0 && lambda < Number.POSITIVE_INFINITY)) {
    throw new RangeError(`smoothing spline: weight of smoothness ${lambda} is not above 0`);
  }
  // Time in units of the mean step, so that the two terms of the equations are of like size.
  const unit = (times[n - 1] - times[0]) / (n - 1);
  const knots = extendedKnots(times, unit, degree);
  const stiffness = lambda / unit ** (2 * order - 1);
  if (stiffness > STIFFEST) {
    throw new RangeError(`smoothing spline: cut-off too low for the sampling rate (stiffness ${stiffness})`);
  }
  const size = n + degree - 1;
  const atData = dataSplines(knots, n, degree);
  const factors = normalEquations(knots, atData, n, degree, order, stiffness, weights);
  if (!factorBandedInPlace(factors, size, degree)) {
    throw new RangeError('smoothing spline: the samples do not determine the spline');
  }
  const coefficients = new Float64Array(size);
  return {
    samples: n,
    applyInto(out, outAt, x, xAt, stride) {
      coefficients.fill(0);
      for (let i = 0, at = xAt; i < n; i++, at += stride) {
        const weight = weights === null ? 1 : weights[i];
        if (weight === 0) continue;
        const y = weight * x[at];
        for (let r = 0; r < degree; r++) coefficients[i + r] += atData[i * degree + r] * y;
      }
      solveBandedInPlace(coefficients, factors, size, degree);
      for (let i = 0, at = outAt; i < n; i++, at += stride) {
        let sum = 0;
        for (let r = 0; r < degree; r++) sum += atData[i * degree + r] * coefficients[i + r];
        out[at] = sum;
      }
    },
    fit(y) {
      if (y.length !== n) throw new RangeError(`smoothing spline: ${y.length} values at ${n} times`);
      const series = Float64Array.from(y);
      this.applyInto(new Float64Array(n), 0, series, 0, 1);
      const own = coefficients.slice();
      const values = new Float64Array(degree + 1);
      return (t, derivative = 0) => {
        const u = (t - times[0]) / unit;
        const interval = intervalOf(knots, degree, n, u);
        bSplinesInto(values, knots, interval, u, degree, derivative);
        let sum = 0;
        for (let r = 0; r <= degree; r++) sum += values[r] * own[interval - degree + r];
        return sum / unit ** derivative;
      };
    },
  };
}

/**
 * Largest λ in units of (mean step)^(2m − 1). The equations lose about log10 of it in digits: at 1e9 some 1e-7 of the
 * motion is left (docs/method/derivatives.md), below any measurement. Reached at a rate of about 170 cut-offs (m = 3).
 */
const STIFFEST = 1e9;

function checkTimes(times: ArrayLike<number>, weights: ArrayLike<number> | null, order: SmoothnessOrder): void {
  const n = times.length;
  if (weights !== null && weights.length !== n) {
    throw new RangeError(`smoothing spline: ${weights.length} weights at ${n} times`);
  }
  let known = 0;
  for (let i = 0; i < n; i++) {
    if (!Number.isFinite(times[i]) || (i > 0 && !(times[i] > times[i - 1]))) {
      throw new RangeError(`smoothing spline: time ${i} (${times[i]}) does not increase`);
    }
    const weight = weights === null ? 1 : weights[i];
    if (!(weight >= 0)) throw new RangeError(`smoothing spline: weight ${i} (${weight}) is below 0`);
    if (weight > 0) known++;
  }
  if (known < order) throw new RangeError(`smoothing spline: ${known} samples; at least ${order} wanted`);
}

/** Times from 0 in mean steps, with `degree` more knots on each side at the spacing of the end. */
function extendedKnots(times: ArrayLike<number>, unit: number, degree: number): Float64Array {
  const n = times.length;
  const knots = new Float64Array(n + 2 * degree);
  for (let i = 0; i < n; i++) knots[degree + i] = (times[i] - times[0]) / unit;
  const first = knots[degree + 1] - knots[degree];
  const last = knots[degree + n - 1] - knots[degree + n - 2];
  for (let e = 1; e <= degree; e++) {
    knots[degree - e] = knots[degree] - e * first;
    knots[degree + n - 1 + e] = knots[degree + n - 1] + e * last;
  }
  return knots;
}

/** Values at data point i of splines i … i + degree − 1, the only ones that are not zero there; n × degree. */
function dataSplines(knots: Float64Array, n: number, degree: number): Float64Array {
  const values = new Float64Array(degree + 1);
  const found = new Float64Array(n * degree);
  const even = evenlySpaced(knots);
  for (let i = 0; i < n; i++) {
    // The last point belongs to the interval before it, where its first spline has come down to 0.
    const last = i === n - 1 ? 1 : 0;
    if (!even || i === 0) bSplinesInto(values, knots, degree + i - last, knots[degree + i], degree, 0);
    const from = even ? 0 : last;
    for (let r = 0; r < degree; r++) found[i * degree + r] = values[r + from];
  }
  return found;
}

/** Bᵀ W B + λ E in band layout; E holds the integrals of products of m-th derivatives, exact by Gauss's rule with m points. */
function normalEquations(
  knots: Float64Array,
  atData: Float64Array,
  n: number,
  degree: number,
  order: SmoothnessOrder,
  stiffness: number,
  weights: ArrayLike<number> | null,
): Float64Array {
  const width = degree + 1;
  const a = new Float64Array((n + degree - 1) * width);
  for (let i = 0; i < n; i++) {
    const weight = weights === null ? 1 : weights[i];
    for (let r = 0; r < degree; r++) {
      for (let q = 0; q <= r; q++) {
        a[(i + r) * width + r - q] += weight * atData[i * degree + r] * atData[i * degree + q];
      }
    }
  }
  const block = new Float64Array(width * width);
  const even = evenlySpaced(knots);
  for (let i = 0; i + 1 < n; i++) {
    if (!even || i === 0) bendingInto(block, knots, degree + i, degree, order, stiffness);
    for (let r = 0; r < width; r++) {
      for (let q = 0; q <= r; q++) a[(i + r) * width + r - q] += block[r * width + q];
    }
  }
  return a;
}

/** λ times the integrals over one knot interval of products of m-th derivatives, lower triangle. */
function bendingInto(
  block: Float64Array,
  knots: Float64Array,
  interval: number,
  degree: number,
  order: SmoothnessOrder,
  stiffness: number,
): void {
  const width = degree + 1;
  const values = new Float64Array(width);
  const { nodes, shares } = GAUSS[order];
  const step = knots[interval + 1] - knots[interval];
  block.fill(0);
  for (let g = 0; g < order; g++) {
    bSplinesInto(values, knots, interval, knots[interval] + nodes[g] * step, degree, order);
    const weight = stiffness * step * shares[g];
    for (let r = 0; r < width; r++) for (let q = 0; q <= r; q++) block[r * width + q] += weight * values[r] * values[q];
  }
}

/** True where all knots, in units of their mean step, lie one apart to rounding: all rows are then alike. */
function evenlySpaced(knots: Float64Array): boolean {
  for (let i = 1; i < knots.length; i++) if (Math.abs(knots[i] - knots[i - 1] - 1) > 1e-12) return false;
  return true;
}

/** Gauss–Legendre rules on 0 … 1, exact to degree 2m − 1 ≥ 2(m − 1). */
const GAUSS = {
  2: { nodes: [0.5 - Math.sqrt(1 / 12), 0.5 + Math.sqrt(1 / 12)], shares: [0.5, 0.5] },
  3: { nodes: [0.5 - Math.sqrt(0.15), 0.5, 0.5 + Math.sqrt(0.15)], shares: [5 / 18, 8 / 18, 5 / 18] },
} as const;

/** Knot interval that holds u; the end intervals reach to infinity. */
function intervalOf(knots: Float64Array, degree: number, n: number, u: number): number {
  let low = degree;
  let high = degree + n - 1;
  while (high - low > 1) {
    const middle = (low + high) >>> 1;
    if (knots[middle] <= u) low = middle;
    else high = middle;
  }
  return low;
}
