import { apply3Into, multiply3, transpose3 } from '../numerics/rotation.ts';

/** A rigid transform targetFromSource: x_target = rotation · x_source + translation; row-major 3 × 3, metres. */
export interface Pose {
  readonly rotation: Float64Array;
  readonly translation: Float64Array;
}

export const IDENTITY_POSE: Pose = {
  rotation: Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1),
  translation: new Float64Array(3),
};

/** c from a, given c from b and b from a. */
export function composePoses(cFromB: Pose, bFromA: Pose): Pose {
  const translation = turned(cFromB.rotation, bFromA.translation);
  for (let i = 0; i < 3; i++) translation[i] += cFromB.translation[i];
  return { rotation: multiply3(cFromB.rotation, bFromA.rotation), translation };
}

export function invertPose(bFromA: Pose): Pose {
  const rotation = transpose3(bFromA.rotation);
  return { rotation, translation: turned(rotation, bFromA.translation).map((x) => -x) };
}

/** r · v. */
export function turned(r: ArrayLike<number>, v: ArrayLike<number>): Float64Array {
  const out = new Float64Array(3);
  apply3Into(out, 0, r, v, 0);
  return out;
}

/** Angle between two rotations, radians, accurate near 0. */
export function angleBetween(a: Float64Array, b: Float64Array): number {
  // ‖A − B‖ (Frobenius) = 2 √2 sin(θ/2)
  let squares = 0;
  for (let i = 0; i < 9; i++) squares += (a[i] - b[i]) ** 2;
  return 2 * Math.asin(Math.min(1, Math.sqrt(squares / 8)));
}
