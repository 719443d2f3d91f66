import type { SegmentMotion } from '../../body/body-motion.ts';
import { firstDifferenceInto } from '../../numerics/differences.ts';

/** How a body moves: velocity of its centre of mass and angular velocity, lab axes, `3 * frame`, m/s and rad/s. */
export interface BodyRates {
  readonly velocity: Float64Array;
  /** A slender body's spin about its long axis is not seen and is taken as none; a point mass has no angular velocity (0). */
  readonly angularVelocity: Float64Array;
}

/** By central differences; NaN in the first and last frame. */
export function bodyRates(body: SegmentMotion, frameRateHz: number): BodyRates {
  const { centre, axis, solid, transverseInertiaKgM2 } = body;
  const dt = 1 / frameRateHz;
  const velocity = new Float64Array(centre.length);
  firstDifferenceInto(velocity, centre, 3, dt);
  const angularVelocity = new Float64Array(centre.length);
  if (solid) spinOfInto(angularVelocity, solid.labFromSegment, dt);
  else if (transverseInertiaKgM2 !== 0) turnOfInto(angularVelocity, axis, dt);
  return { velocity, angularVelocity };
}

/** ω = u × u̇ of a unit axis u, `3 * frame`. */
function turnOfInto(out: Float64Array, axis: Float64Array, dt: number): void {
  const rate = new Float64Array(axis.length);
  firstDifferenceInto(rate, axis, 3, dt);
  for (let i = 0; i < out.length; i += 3) {
    out[i] = axis[i + 1] * rate[i + 2] - axis[i + 2] * rate[i + 1];
    out[i + 1] = axis[i + 2] * rate[i] - axis[i] * rate[i + 2];
    out[i + 2] = axis[i] * rate[i + 1] - axis[i + 1] * rate[i];
  }
}

/** ω, the axial vector of the skew part of Ṙ Rᵀ; `rotation` R is `9 * frame`. */
function spinOfInto(out: Float64Array, rotation: Float64Array, dt: number): void {
  const rate = new Float64Array(rotation.length);
  firstDifferenceInto(rate, rotation, 9, dt);
  for (let i = 0, k = 0; i < out.length; i += 3, k += 9) {
    const product = (row: number, column: number) =>
      rate[k + 3 * row] * rotation[k + 3 * column] +
      rate[k + 3 * row + 1] * rotation[k + 3 * column + 1] +
      rate[k + 3 * row + 2] * rotation[k + 3 * column + 2];
    out[i] = (product(2, 1) - product(1, 2)) / 2;
    out[i + 1] = (product(0, 2) - product(2, 0)) / 2;
    out[i + 2] = (product(1, 0) - product(0, 1)) / 2;
  }
}
