import type { SegmentMotion } from '../body/body-motion.ts';
import { GRAVITY_M_PER_S2 } from '../numerics/constants.ts';

/**
 * A force (N) and its moment about the origin of the lab frame (N·m), `3 * frame`. Sums of wrenches are plain sums; the
 * moment about any other point P is moment − P × force.
 */
export interface Wrench {
  readonly force: Float64Array;
  readonly moment: Float64Array;
}

export function zeroWrench(frames: number): Wrench {
  return { force: new Float64Array(3 * frames), moment: new Float64Array(3 * frames) };
}

/**
 * Adds what a slender rigid body needs from its surroundings beside gravity (Newton–Euler):
 *   F = m (a − g),   moment about the origin = r × F + I (u × ü).
 *
 * u is the unit long axis. I (u × ü) is the rate of change of the angular momentum I (u × u̇) of a body whose inertia is I
 * about every axis across u and that does not spin about u; in planar motion it is exactly I α (docs/method/mechanics.md).
 * centre, acceleration, axis, axisAcceleration: `3 * frame`, m, m/s², 1, 1/s². A body without inertia is a point mass, its
 * axis is not read.
 */
export function addBodyInto(
  total: Wrench,
  body: Pick<SegmentMotion, 'massKg' | 'transverseInertiaKgM2' | 'centre' | 'axis'>,
  acceleration: Float64Array,
  axisAcceleration: Float64Array,
): void {
  const { massKg, transverseInertiaKgM2: inertia, centre, axis } = body;
  const { force, moment } = total;
  for (let i = 0; i < force.length; i += 3) {
    const fx = massKg * acceleration[i];
    const fy = massKg * (acceleration[i + 1] + GRAVITY_M_PER_S2);
    const fz = massKg * acceleration[i + 2];
    force[i] += fx;
    force[i + 1] += fy;
    force[i + 2] += fz;
    let mx = centre[i + 1] * fz - centre[i + 2] * fy;
    let my = centre[i + 2] * fx - centre[i] * fz;
    let mz = centre[i] * fy - centre[i + 1] * fx;
    if (inertia !== 0) {
      mx += inertia * (axis[i + 1] * axisAcceleration[i + 2] - axis[i + 2] * axisAcceleration[i + 1]);
      my += inertia * (axis[i + 2] * axisAcceleration[i] - axis[i] * axisAcceleration[i + 2]);
      mz += inertia * (axis[i] * axisAcceleration[i + 1] - axis[i + 1] * axisAcceleration[i]);
    }
    moment[i] += mx;
    moment[i + 1] += my;
    moment[i + 2] += mz;
  }
}

/** Adds what the same body needs when it stands still: F = −m g, acting through its centre. */
export function addRestingBodyInto(total: Wrench, massKg: number, centre: Float64Array): void {
  const weightN = massKg * GRAVITY_M_PER_S2;
  const { force, moment } = total;
  for (let i = 0; i < force.length; i += 3) {
    // The sum spreads NaN of any coordinate: a body that is not placed leaves no part of the wrench known.
    force[i + 1] += weightN + 0 * (centre[i] + centre[i + 1] + centre[i + 2]);
    moment[i] -= centre[i + 2] * weightN;
    moment[i + 2] += centre[i] * weightN;
  }
}

/** Adds `sign` times another wrench. */
export function addWrenchInto(total: Wrench, other: Wrench, sign: 1 | -1 = 1): void {
  for (let i = 0; i < total.force.length; i++) {
    total.force[i] += sign * other.force[i];
    total.moment[i] += sign * other.moment[i];
  }
}

/** Moment about the medio-lateral axis (`sign` · Z) through a moving point, N·m, one value a frame. */
export function momentAboutZ(wrench: Wrench, point: Float64Array, sign: 1 | -1 = 1): Float64Array {
  const { force, moment } = wrench;
  const out = new Float64Array(force.length / 3);
  for (let frame = 0, i = 0; frame < out.length; frame++, i += 3) {
    out[frame] = sign * (moment[i + 2] - (point[i] * force[i + 1] - point[i + 1] * force[i]));
  }
  return out;
}

/**
 * The point of the plane y = heightM about which the wrench has no moment but a vertical one, `3 * frame`, metres.
 * From M_P = M − P × F with (M_P)_x = (M_P)_z = 0:  x = (M_z + h F_x) / F_y,  z = (h F_z − M_x) / F_y.
 * NaN where the vertical force is below `leastVerticalN`: the point runs away as the force goes to zero.
 */
export function centreOfPressure(wrench: Wrench, heightM: number, leastVerticalN: number): Float64Array {
  const { force, moment } = wrench;
  const out = new Float64Array(force.length).fill(Number.NaN);
  for (let i = 0; i < out.length; i += 3) {
    if (!(force[i + 1] >= leastVerticalN)) continue;
    out[i] = (moment[i + 2] + heightM * force[i]) / force[i + 1];
    out[i + 1] = heightM;
    out[i + 2] = (heightM * force[i + 2] - moment[i]) / force[i + 1];
  }
  return out;
}
