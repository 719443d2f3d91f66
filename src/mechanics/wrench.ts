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

export function copyWrench({ force, moment }: Wrench): Wrench {
  return { force: force.slice(), moment: moment.slice() };
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

/**
 * The second moment of mass J = ∫ ξ ξᵀ dm of a body (kg·m², 3 × 3 row-major, any frame through its centre of mass) from its
 * inertia tensor in that frame: I = tr(J) 1 − J, so J = ½ tr(I) 1 − I.
 */
export function secondMomentOf(inertiaKgM2: ArrayLike<number>): Float64Array {
  const half = (inertiaKgM2[0] + inertiaKgM2[4] + inertiaKgM2[8]) / 2;
  return Float64Array.from({ length: 9 }, (_, i) => (i % 4 === 0 ? half : 0) - inertiaKgM2[i]);
}

/**
 * Adds what a rigid body of any shape needs from its surroundings beside gravity.
 *
 * A point of the body at ξ (its own axes) lies at R ξ from the centre of mass and accelerates by R̈ ξ relative to it, so
 *   Ḣ = ∫ (R ξ) × (R̈ ξ) dm, the axial vector of R̈ J Rᵀ,  J = ∫ ξ ξᵀ dm,
 * which is Euler's I α + ω × I ω without forming ω and α, and is I (u × ü) for a slender body.
 * secondMoment: J, 3 × 3 row-major, kg·m², constant in the body's axes. rotation, rotationAcceleration: R and R̈, row-major
 * `9 * frame`, 1 and 1/s². centre, acceleration: `3 * frame`, m, m/s².
 */
export function addSolidInto(
  total: Wrench,
  massKg: number,
  secondMoment: ArrayLike<number>,
  centre: Float64Array,
  acceleration: Float64Array,
  rotation: Float64Array,
  rotationAcceleration: Float64Array,
): void {
  const { force, moment } = total;
  const [jxx, jxy, jxz, , jyy, jyz, , , jzz] = Array.from(secondMoment);
  for (let i = 0, k = 0; i < force.length; i += 3, k += 9) {
    const fx = massKg * acceleration[i];
    const fy = massKg * (acceleration[i + 1] + GRAVITY_M_PER_S2);
    const fz = massKg * acceleration[i + 2];
    force[i] += fx;
    force[i + 1] += fy;
    force[i + 2] += fz;
    let mx = centre[i + 1] * fz - centre[i + 2] * fy;
    let my = centre[i + 2] * fx - centre[i] * fz;
    let mz = centre[i] * fy - centre[i + 1] * fx;
    // Column b of J Rᵀ, b = x, y, z, is J times row b of R; Σ over the body of r̈_a r_b is row a of R̈ times it.
    for (let b = 0; b < 3; b++) {
      const rx = rotation[k + 3 * b];
      const ry = rotation[k + 3 * b + 1];
      const rz = rotation[k + 3 * b + 2];
      const qx = jxx * rx + jxy * ry + jxz * rz;
      const qy = jxy * rx + jyy * ry + jyz * rz;
      const qz = jxz * rx + jyz * ry + jzz * rz;
      const ax = rotationAcceleration[k] * qx + rotationAcceleration[k + 1] * qy + rotationAcceleration[k + 2] * qz;
      const ay = rotationAcceleration[k + 3] * qx + rotationAcceleration[k + 4] * qy + rotationAcceleration[k + 5] * qz;
      const az = rotationAcceleration[k + 6] * qx + rotationAcceleration[k + 7] * qy + rotationAcceleration[k + 8] * qz;
      if (b === 0) {
        my -= az;
        mz += ay;
      } else if (b === 1) {
        mx += az;
        mz -= ax;
      } else {
        mx -= ay;
        my += ax;
      }
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

/** Moment about a moving point, M − P × F, `3 * frame`, N·m, lab axes. */
export function momentAbout({ force, moment }: Wrench, point: Float64Array): Float64Array {
  const out = new Float64Array(moment.length);
  for (let i = 0; i < out.length; i += 3) {
    out[i] = moment[i] - (point[i + 1] * force[i + 2] - point[i + 2] * force[i + 1]);
    out[i + 1] = moment[i + 1] - (point[i + 2] * force[i] - point[i] * force[i + 2]);
    out[i + 2] = moment[i + 2] - (point[i] * force[i + 1] - point[i + 1] * force[i]);
  }
  return out;
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
