import type { BodyMotion, SegmentMotion } from '../../body/body-motion.ts';
import { fivePointDifference, fivePointDifferenceInto } from '../../numerics/differences.ts';
import { type demandAdder, zeroDemand } from '../body-wrenches.ts';
import { momentAbout } from '../wrench.ts';

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
  fivePointDifferenceInto(velocity, centre, 3, dt);
  const angularVelocity = new Float64Array(centre.length);
  if (solid) spinOfInto(angularVelocity, solid.labFromSegment, dt);
  else if (transverseInertiaKgM2 !== 0) turnOfInto(angularVelocity, axis, dt);
  return { velocity, angularVelocity };
}

/**
 * Power that a body takes up from its surroundings, F · v + Ḣ · ω, watts: the rate of change of its energy by Newton and
 * Euler. Exact for a slender body although its spin is not seen, because its Ḣ has no part along its axis.
 */
export function powerTakenUp(
  body: SegmentMotion,
  { frames, frameRateHz }: BodyMotion,
  addDemand: ReturnType<typeof demandAdder>,
): Float64Array {
  const { velocity, angularVelocity } = bodyRates(body, frameRateHz);
  const demand = zeroDemand(frames);
  addDemand(demand, body);
  const { force } = demand.total;
  const moment = momentAbout(demand.total, body.centre);
  const out = new Float64Array(frames);
  for (let f = 0, i = 0; f < frames; f++, i += 3)
    for (let k = i; k < i + 3; k++) out[f] += force[k] * velocity[k] + moment[k] * angularVelocity[k];
  return out;
}

/**
 * How fast a unit axis turns in the picture seen along lab Z, rad/s about +Z: (u_x u̇_y − u_y u̇_x) / (u_x² + u_y²), the
 * rate of change of its angle there. For a body that turns about Z it is the angular velocity, whatever its slant sideways.
 */
export function turnSeenFromTheSide(axis: Float64Array | undefined, frames: number, frameRateHz: number): Float64Array {
  const out = new Float64Array(frames).fill(Number.NaN);
  if (!axis) return out;
  const rate = fivePointDifference(axis, 3, 1 / frameRateHz);
  for (let f = 0, i = 0; f < frames; f++, i += 3)
    out[f] = (axis[i] * rate[i + 1] - axis[i + 1] * rate[i]) / (axis[i] ** 2 + axis[i + 1] ** 2);
  return out;
}

/** ω = u × u̇ of a unit axis u, `3 * frame`. */
export function turnOfInto(out: Float64Array, axis: Float64Array, dt: number): void {
  const rate = new Float64Array(axis.length);
  fivePointDifferenceInto(rate, axis, 3, dt);
  for (let i = 0; i < out.length; i += 3) {
    out[i] = axis[i + 1] * rate[i + 2] - axis[i + 2] * rate[i + 1];
    out[i + 1] = axis[i + 2] * rate[i] - axis[i] * rate[i + 2];
    out[i + 2] = axis[i] * rate[i + 1] - axis[i + 1] * rate[i];
  }
}

/** ω, the axial vector of the skew part of Ṙ Rᵀ; `rotation` R is `9 * frame`. */
export function spinOfInto(out: Float64Array, rotation: Float64Array, dt: number): void {
  const rate = new Float64Array(rotation.length);
  fivePointDifferenceInto(rate, rotation, 9, dt);
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
