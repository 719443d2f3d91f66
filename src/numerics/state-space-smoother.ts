import type { PlannedSmoother } from './planned-smoother.ts';
import type { SmoothnessOrder } from './spline-bandwidth.ts';
import { smoothedVariances, stateSpaceGains } from './state-space-gains.ts';

/** Fixed-interval smoother of one pattern of times and missing samples: runs on many series. */
export interface StateSpacePlan extends PlannedSmoother {
  /** Variance of each smoothed value, in units of the variance of a sample of weight 1; grows inside gaps. */
  variances(): Float64Array;
  /** Smoothed value and its first m − 1 time derivatives, `order * sample + derivative`. */
  states(y: ArrayLike<number>): Float64Array;
}

/**
 * Best estimate of a motion whose m-th derivative is white noise, from samples with independent errors, nothing known of
 * its start: Kalman filter forward in information form, Rauch–Tung–Striebel recursion backward (Rauch et al. 1965). Missing
 * samples need no filling. λ is the ratio of sample variance to the density of the white noise: the estimate is that of the
 * smoothing spline of degree 2m − 1 with the same λ (Wahba 1978).
 *
 * Forward, information matrix Λ and vector η (state = value and m − 1 derivatives, F and Q of one step):
 *   M = F⁻ᵀ Λ F⁻¹,  Λ⁻ = (I + M Q)⁻¹ M,  η⁻ = (I + M Q)⁻¹ F⁻ᵀ η,  Λ = Λ⁻ + w e eᵀ,  η = η⁻ + w e y, from Λ = 0.
 * Backward, s at the next time and Λ⁻, η⁻ there:  s ← F⁻¹ ((I − Q Λ⁻) s + Q η⁻), from s = Λ⁻¹ η.
 * Neither needs the inverse of Q or of a Λ that is still singular. All matrices depend on times and weights only; at
 * equal steps they settle and are stored once.
 *
 * times: seconds, strictly increasing. weights: null = 1; 0 = missing, not read. RangeError: times that do not increase, a
 * weight below 0, fewer than m samples with weight above 0, λ not above 0.
 */
export function stateSpacePlan(
  times: ArrayLike<number>,
  lambda: number,
  order: SmoothnessOrder,
  weights: ArrayLike<number> | null = null,
): StateSpacePlan {
  const n = times.length;
  if (!(lambda > 0 && lambda < Number.POSITIVE_INFINITY)) {
    throw new RangeError(`state-space smoother: ratio of variances ${lambda} is not above 0`);
  }
  if (weights !== null && weights.length !== n) {
    throw new RangeError(`state-space smoother: ${weights.length} weights at ${n} times`);
  }
  // Time in units of the smoother's memory: all elements of Λ and of the states are then of like size.
  const meanStep = n > 1 ? (times[n - 1] - times[0]) / (n - 1) : 1;
  const unit = (lambda * meanStep) ** (1 / (2 * order));
  const density = unit ** (2 * order - 1) / lambda;
  const gains = stateSpaceGains(times, weights, order, unit, density);
  const { index, forward, backward, input } = gains;
  const m = order;
  const mm = m * m;
  const predicted = new Float64Array(n * m);
  const last = new Float64Array(m);

  function run(out: Float64Array, outAt: number, x: Float64Array, xAt: number, stride: number, whole: boolean): void {
    // Forward: η of sample i in e0, e1, e2; the predicted one of sample i + 1 is kept.
    let e0 = 0;
    let e1 = 0;
    let e2 = 0;
    for (let i = 0, at = xAt; i < n; i++, at += stride) {
      if (i > 0) {
        const g = index[i] * mm;
        const here = i * m;
        if (m === 2) {
          const p0 = forward[g] * e0 + forward[g + 1] * e1;
          e1 = forward[g + 2] * e0 + forward[g + 3] * e1;
          e0 = p0;
        } else {
          const p0 = forward[g] * e0 + forward[g + 1] * e1 + forward[g + 2] * e2;
          const p1 = forward[g + 3] * e0 + forward[g + 4] * e1 + forward[g + 5] * e2;
          e2 = forward[g + 6] * e0 + forward[g + 7] * e1 + forward[g + 8] * e2;
          e0 = p0;
          e1 = p1;
          predicted[here + 2] = e2;
        }
        predicted[here] = e0;
        predicted[here + 1] = e1;
      }
      const weight = weights === null ? 1 : weights[i];
      if (weight > 0) e0 += weight * x[at];
    }
    last[0] = e0;
    last[1] = e1;
    if (m === 3) last[2] = e2;
    // Backward from s = Λ⁻¹ η.
    let s0 = 0;
    let s1 = 0;
    let s2 = 0;
    for (let r = 0; r < m; r++) {
      s0 += gains.lastCovariance[r] * last[r];
      s1 += gains.lastCovariance[m + r] * last[r];
      if (m === 3) s2 += gains.lastCovariance[2 * m + r] * last[r];
    }
    for (let i = n - 1, at = outAt + (n - 1) * stride; i >= 0; i--, at -= stride) {
      if (i < n - 1) {
        const g = index[i + 1] * mm;
        const next = (i + 1) * m;
        const p0 = predicted[next];
        const p1 = predicted[next + 1];
        if (m === 2) {
          const t0 = backward[g] * s0 + backward[g + 1] * s1 + input[g] * p0 + input[g + 1] * p1;
          s1 = backward[g + 2] * s0 + backward[g + 3] * s1 + input[g + 2] * p0 + input[g + 3] * p1;
          s0 = t0;
        } else {
          const p2 = predicted[next + 2];
          const t0 =
            backward[g] * s0 +
            backward[g + 1] * s1 +
            backward[g + 2] * s2 +
            (input[g] * p0 + input[g + 1] * p1 + input[g + 2] * p2);
          const t1 =
            backward[g + 3] * s0 +
            backward[g + 4] * s1 +
            backward[g + 5] * s2 +
            (input[g + 3] * p0 + input[g + 4] * p1 + input[g + 5] * p2);
          s2 =
            backward[g + 6] * s0 +
            backward[g + 7] * s1 +
            backward[g + 8] * s2 +
            (input[g + 6] * p0 + input[g + 7] * p1 + input[g + 8] * p2);
          s0 = t0;
          s1 = t1;
        }
      }
      if (whole) {
        out[i * m] = s0;
        out[i * m + 1] = s1 / unit;
        if (m === 3) out[i * m + 2] = s2 / (unit * unit);
      } else out[at] = s0;
    }
  }

  return {
    samples: n,
    applyInto(out, outAt, x, xAt, stride) {
      run(out, outAt, x, xAt, stride, false);
    },
    states(y) {
      if (y.length !== n) throw new RangeError(`state-space smoother: ${y.length} values at ${n} times`);
      const out = new Float64Array(n * m);
      run(out, 0, Float64Array.from(y), 0, 1, true);
      return out;
    },
    variances: () => smoothedVariances(gains, m),
  };
}
