import type { SmoothnessOrder } from './spline-bandwidth.ts';

/** What the recursions of `stateSpacePlan` need, by step; matrices are m × m, row-major, in a list shared by like steps. */
export interface StateSpaceGains {
  /** Which set the step from sample i − 1 to sample i uses; 0 for i = 0. */
  readonly index: Int32Array;
  /** (I + M Q)⁻¹ F⁻ᵀ. */
  readonly forward: Float64Array;
  /** F⁻¹ (I − Q Λ⁻). */
  readonly backward: Float64Array;
  /** F⁻¹ Q. */
  readonly input: Float64Array;
  /** F⁻¹ (Q − Q Λ⁻ Q) F⁻ᵀ: covariance of a state where the next one is known. */
  readonly spread: Float64Array;
  /** Λ⁻¹ after the last sample. */
  readonly lastCovariance: Float64Array;
}

/** Λ, and steps, that agree to this relative difference share their matrices. */
const LIKE = 1e-14;
const LIKE_STEP = 1e-9;

/** The gains for sample times (seconds) in units of `unit`, white noise of `density` in these units. Errors of `stateSpacePlan`. */
export function stateSpaceGains(
  times: ArrayLike<number>,
  weights: ArrayLike<number> | null,
  order: SmoothnessOrder,
  unit: number,
  density: number,
): StateSpaceGains {
  const n = times.length;
  const m = order;
  const sets: { forward: Matrix; backward: Matrix; input: Matrix; spread: Matrix }[] = [];
  const index = new Int32Array(n);
  let information: Matrix = new Float64Array(m * m);
  let known = 0;
  let step = Number.NaN;
  let settled = false;
  for (let i = 0; i < n; i++) {
    const weight = weights === null ? 1 : weights[i];
    if (!Number.isFinite(times[i]) || !(weight >= 0)) {
      throw new RangeError(`state-space smoother: time ${times[i]}, weight ${weight} of sample ${i}`);
    }
    if (weight > 0) known++;
    if (i > 0) {
      const width = (times[i] - times[i - 1]) / unit;
      if (!(width > 0)) throw new RangeError(`state-space smoother: time ${i} (${times[i]}) does not increase`);
      const before = weights === null || i === 1 ? 1 : weights[i - 1];
      const like = Math.abs(width - step) <= LIKE_STEP * width && weight === before;
      if (settled && like) {
        index[i] = index[i - 1];
        continue;
      }
      step = width;
      const found = stepGains(information, step, density, m);
      index[i] = sets.push(found.gains) - 1;
      const updated = found.predicted;
      updated[0] += weight;
      settled = like && alike(updated, information);
      information = updated;
    } else information[0] = weight;
  }
  if (known < m) throw new RangeError(`state-space smoother: ${known} samples; at least ${m} wanted`);
  const flat = (pick: (set: (typeof sets)[number]) => Matrix) => {
    const all = new Float64Array(sets.length * m * m);
    for (let g = 0; g < sets.length; g++) all.set(pick(sets[g]), g * m * m);
    return all;
  };
  return {
    index,
    forward: flat((set) => set.forward),
    backward: flat((set) => set.backward),
    input: flat((set) => set.input),
    spread: flat((set) => set.spread),
    lastCovariance: inverse(information, m),
  };
}

/** Variance of every smoothed value: P ← C P Cᵀ + spread backward from Λ⁻¹, C the backward matrix. */
export function smoothedVariances(
  { index, backward, spread, lastCovariance }: StateSpaceGains,
  m: number,
): Float64Array {
  const n = index.length;
  const variances = new Float64Array(n);
  let covariance: Matrix = lastCovariance;
  variances[n - 1] = covariance[0];
  for (let i = n - 2; i >= 0; i--) {
    const at = index[i + 1] * m * m;
    const c = backward.subarray(at, at + m * m);
    covariance = product(product(c, covariance, m), transposed(c, m), m);
    for (let e = 0; e < m * m; e++) covariance[e] += spread[at + e];
    variances[i] = covariance[0];
  }
  return variances;
}

type Matrix = Float64Array;

function stepGains(information: Matrix, step: number, density: number, m: number) {
  const back = transition(-step, m);
  const backTurned = transposed(back, m);
  const noise = processNoise(step, density, m);
  const carried = product(product(backTurned, information, m), back, m);
  const whole = product(carried, noise, m);
  for (let r = 0; r < m; r++) whole[r * m + r] += 1;
  const shrink = inverse(whole, m);
  const predicted = symmetric(product(shrink, carried, m), m);
  const left = product(noise, predicted, m).map((value) => -value);
  for (let r = 0; r < m; r++) left[r * m + r] += 1;
  const spread = product(product(product(back, left, m), noise, m), backTurned, m);
  const gains = {
    forward: product(shrink, backTurned, m),
    backward: product(back, left, m),
    input: product(back, noise, m),
    spread,
  };
  return { gains, predicted };
}

/** Taylor: value and derivatives after a step. */
function transition(step: number, m: number): Matrix {
  const f = new Float64Array(m * m);
  for (let r = 0; r < m; r++) {
    for (let c = r; c < m; c++) f[r * m + c] = step ** (c - r) / factorial(c - r);
  }
  return f;
}

/** Covariance that an m-fold integrated white noise of this density gathers in a step. */
function processNoise(step: number, density: number, m: number): Matrix {
  const q = new Float64Array(m * m);
  for (let r = 0; r < m; r++) {
    for (let c = 0; c < m; c++) {
      const power = 2 * m - 1 - r - c;
      q[r * m + c] = (density * step ** power) / (power * factorial(m - 1 - r) * factorial(m - 1 - c));
    }
  }
  return q;
}

const factorial = (k: number): number => (k < 2 ? 1 : k * factorial(k - 1));

function alike(a: Matrix, b: Matrix): boolean {
  let largest = 0;
  let difference = 0;
  for (let e = 0; e < a.length; e++) {
    largest = Math.max(largest, Math.abs(a[e]));
    difference = Math.max(difference, Math.abs(a[e] - b[e]));
  }
  return difference <= LIKE * largest;
}

function product(a: Matrix, b: Matrix, m: number): Matrix {
  const out = new Float64Array(m * m);
  for (let r = 0; r < m; r++) {
    for (let c = 0; c < m; c++) {
      let sum = 0;
      for (let k = 0; k < m; k++) sum += a[r * m + k] * b[k * m + c];
      out[r * m + c] = sum;
    }
  }
  return out;
}

function transposed(a: Matrix, m: number): Matrix {
  const out = new Float64Array(m * m);
  for (let r = 0; r < m; r++) for (let c = 0; c < m; c++) out[c * m + r] = a[r * m + c];
  return out;
}

function symmetric(a: Matrix, m: number): Matrix {
  for (let r = 0; r < m; r++) {
    for (let c = 0; c < r; c++) {
      const mean = 0.5 * (a[r * m + c] + a[c * m + r]);
      a[r * m + c] = mean;
      a[c * m + r] = mean;
    }
  }
  return a;
}

/** Gauss–Jordan with row pivots. */
function inverse(matrix: Matrix, m: number): Matrix {
  const a = matrix.slice();
  const out = new Float64Array(m * m);
  for (let r = 0; r < m; r++) out[r * m + r] = 1;
  for (let c = 0; c < m; c++) {
    let pivot = c;
    for (let r = c + 1; r < m; r++) if (Math.abs(a[r * m + c]) > Math.abs(a[pivot * m + c])) pivot = r;
    for (let k = 0; k < m; k++) {
      swap(a, pivot * m + k, c * m + k);
      swap(out, pivot * m + k, c * m + k);
    }
    const scale = 1 / a[c * m + c];
    for (let k = 0; k < m; k++) {
      a[c * m + k] *= scale;
      out[c * m + k] *= scale;
    }
    for (let r = 0; r < m; r++) {
      const factor = a[r * m + c];
      if (r === c || factor === 0) continue;
      for (let k = 0; k < m; k++) {
        a[r * m + k] -= factor * a[c * m + k];
        out[r * m + k] -= factor * out[c * m + k];
      }
    }
  }
  return out;
}

function swap(a: Matrix, i: number, j: number): void {
  const kept = a[i];
  a[i] = a[j];
  a[j] = kept;
}
