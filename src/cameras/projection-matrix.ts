import type { Camera } from './rig.ts';

/** K (upper triangular, positive diagonal), R and t of a 3 × 4 projection matrix; focal lengths and skew in pixels. */
export interface DecomposedProjection {
  readonly fx: number;
  readonly fy: number;
  readonly skew: number;
  readonly cx: number;
  readonly cy: number;
  /** Row-major 3 × 3, orthonormal; det = `handedness`. */
  readonly rotation: Float64Array;
  readonly translation: Float64Array;
  /** +1 for a camera; −1 where image or world is mirrored, given the sign of the matrix. */
  readonly handedness: 1 | -1;
}

/**
 * P = λ K [R | t] with λ > 0, by the RQ decomposition of the left 3 × 3 part (rows orthogonalised from the last to the
 * first: Hartley & Zisserman 2004, A4.1.1 and 6.2.4). The sign of P decides which way is "in front": give it so that
 * points that are seen have a positive third coordinate P X. The caller judges `handedness`.
 */
export function decomposeProjection(p: ArrayLike<number>): DecomposedProjection {
  const m1 = [p[0], p[1], p[2]];
  const m2 = [p[4], p[5], p[6]];
  const m3 = [p[8], p[9], p[10]];
  const k33 = norm(m3);
  const r3 = scaled(m3, 1 / k33);
  const k23 = dot(m2, r3);
  const left2 = plus(m2, r3, -k23);
  const k22 = norm(left2);
  const r2 = scaled(left2, 1 / k22);
  const k13 = dot(m1, r3);
  const k12 = dot(m1, r2);
  const left1 = plus(plus(m1, r3, -k13), r2, -k12);
  const k11 = norm(left1);
  const r1 = scaled(left1, 1 / k11);
  const tz = p[11] / k33;
  const ty = (p[7] - k23 * tz) / k22;
  const tx = (p[3] - k12 * ty - k13 * tz) / k11;
  return {
    fx: k11 / k33,
    fy: k22 / k33,
    skew: k12 / k33,
    cx: k13 / k33,
    cy: k23 / k33,
    rotation: Float64Array.of(...r1, ...r2, ...r3),
    translation: Float64Array.of(tx, ty, tz),
    handedness: dot(cross(r1, r2), r3) > 0 ? 1 : -1,
  };
}

/** K [R | t], 3 × 4 row-major: the projective part of a camera (distortion and `pixelLens` left out). */
export function projectionMatrix(camera: Camera): Float64Array {
  const { fx, fy, cx, cy, skew, rotation: r, translation: t } = camera;
  const p = new Float64Array(12);
  for (let c = 0; c < 4; c++) {
    const x = c < 3 ? r[c] : t[0];
    const y = c < 3 ? r[3 + c] : t[1];
    const z = c < 3 ? r[6 + c] : t[2];
    p[c] = fx * x + skew * y + cx * z;
    p[4 + c] = fy * y + cy * z;
    p[8 + c] = z;
  }
  return p;
}

function dot(a: readonly number[], b: readonly number[]): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

function norm(a: readonly number[]): number {
  return Math.hypot(a[0], a[1], a[2]);
}

function scaled(a: readonly number[], by: number): number[] {
  return [a[0] * by, a[1] * by, a[2] * by];
}

function plus(a: readonly number[], b: readonly number[], times: number): number[] {
  return [a[0] + times * b[0], a[1] + times * b[1], a[2] + times * b[2]];
}

function cross(a: readonly number[], b: readonly number[]): number[] {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}
