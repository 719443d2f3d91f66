/**
 * What goes with the motion in the residuals of triangulation. Errors of calibration change with the place of a point, errors of
 * clocks and readouts with its velocity: they are no noise of the detector, and have causes of their own.
 */

/** A point that moves less (root mean square about its mean, m; m/s) shows no such errors beside its noise. Common practice, no source. */
const LEAST_WAY_M = 0.02;
const LEAST_SPEED_M_PER_S = 0.1;
/** Frames on either side over which a velocity is taken, so that noise is little of it. */
const REACH = 5;
/** Regressors may take this share of the variance of the slow noise at most: beyond, little is left to tell it from. */
const MOST_TAKEN = 0.5;

const { max, min, sqrt } = Math;

/** Square-summable column over the frames, of length 1 and square to the others; 0 where the point is not seen. */
export type Regressor = Float64Array;

export function constantOver(isSeen: Uint8Array, samples: number): Regressor {
  return Float64Array.from(isSeen, (seen) => seen / sqrt(samples));
}

/**
 * A constant, the place and the velocity of a landmark along each axis, made square to each other in this order; what hardly
 * moves is left out, and what would take too much of the slow noise of a short recording.
 *
 * keep: correlation of the slow noise from one frame to the next.
 */
export function motionRegressors(
  position: Float64Array,
  isSeen: Uint8Array,
  landmarks: number,
  landmark: number,
  frameRateHz: number,
  keep: number,
): Regressor[] {
  const frames = isSeen.length;
  const samples = isSeen.reduce((sum, seen) => sum + seen, 0);
  const place = (k: number, axis: number) => position[3 * (k * landmarks + landmark) + axis];
  const velocity = (k: number, axis: number) => {
    const [from, to] = [max(0, k - REACH), min(frames - 1, k + REACH)];
    if (isSeen[from] === 0 || isSeen[to] === 0 || from === to) return 0;
    return ((place(to, axis) - place(from, axis)) * frameRateHz) / (to - from);
  };
  const found = [constantOver(isSeen, samples)];
  let taken = slowTaken(found[0], keep) / samples;
  for (const [of, least] of [
    [place, LEAST_WAY_M],
    [velocity, LEAST_SPEED_M_PER_S],
  ] as const) {
    for (let axis = 0; axis < 3; axis++) {
      const column = Float64Array.from(isSeen, (seen, k) => (seen ? of(k, axis) : 0));
      for (const before of found) takeOff(column, before, 1);
      const length = sqrt(column.reduce((sum, value) => sum + value * value, 0));
      if (!(length >= least * sqrt(samples))) continue;
      for (let k = 0; k < frames; k++) column[k] /= length;
      const more = slowTaken(column, keep) / samples;
      if (taken + more > MOST_TAKEN) continue;
      taken += more;
      found.push(column);
    }
  }
  return found;
}

/** Takes the part along a regressor off every column of `rows`, `frame * width + column`; frames not seen stay 0. */
export function takeOff(rows: Float64Array, regressor: Regressor, width: number): void {
  for (let i = 0; i < width; i++) {
    let along = 0;
    for (let k = 0; k < regressor.length; k++) along += regressor[k] * rows[k * width + i];
    for (let k = 0; k < regressor.length; k++) rows[k * width + i] -= along * regressor[k];
  }
}

/** Variance along a regressor of a first-order process of variance 1: Σ Σ uₜ uₛ keep^|t − s|. */
function slowTaken(u: Regressor, keep: number): number {
  let sum = 0;
  let before = 0;
  for (let k = 0; k < u.length; k++) {
    sum += u[k] * u[k] + 2 * u[k] * before;
    before = keep * (before + u[k]);
  }
  return sum;
}

/**
 * Gives white and slow noise back, on average, what fitting the regressors took of them. In: mean squares and mean products at
 * the lags (each over keep^lag), per view. Out: `square` is white + slow variance, `lagged` the slow one.
 *
 * With r′ = (I − U Uᵀ) r the mean product at lag k lacks Σⱼ Sⱼ ρⱼ(k) / pairs, Sⱼ = uⱼᵀ Γ uⱼ and ρⱼ(k) = Σ uⱼ(t) uⱼ(t + k), as far as
 * Γ uⱼ ≈ Sⱼ uⱼ, which holds for columns that change slowly beside the noise. Sⱼ is w² + s² times that of a process of variance 1, so
 * that two equations give w² and s².
 */
export function giveBackFitted(
  square: Float64Array,
  lagged: Float64Array,
  regressors: readonly Regressor[],
  isSeen: Uint8Array,
  samples: number,
  lags: readonly number[],
  keep: number,
): void {
  let slowAtZero = 0;
  let whiteAtLags = 0;
  let slowAtLags = 0;
  for (const u of regressors) {
    const slow = slowTaken(u, keep);
    slowAtZero += slow / samples;
    for (const lag of lags) {
      let [product, pairs] = [0, 0];
      for (let k = 0; k + lag < u.length; k++) {
        product += u[k] * u[k + lag];
        pairs += isSeen[k] & isSeen[k + lag];
      }
      if (pairs === 0) continue;
      const lost = (product / pairs) * (keep ** -lag / lags.length);
      whiteAtLags += lost;
      slowAtLags += slow * lost;
    }
  }
  const [a, b, c, d] = [1 - regressors.length / samples, 1 - slowAtZero, -whiteAtLags, 1 - slowAtLags];
  const determinant = a * d - b * c;
  for (let v = 0; v < square.length; v++) {
    const white = (d * square[v] - b * lagged[v]) / determinant;
    const slow = (a * lagged[v] - c * square[v]) / determinant;
    square[v] = white + slow;
    lagged[v] = slow;
  }
}
