import { Matrix, SingularValueDecomposition } from 'ml-matrix';
import { multiply3, nearestRotation, transpose3 } from '../../numerics/rotation.ts';
import { eigenSymmetric } from '../../numerics/symmetric-eigen.ts';
import type { Pose } from '../pose.ts';

/**
 * Pairs of normalised image coordinates (lens removed, dimensionless), n of them: `4 * i` holds x1 y1 of the first camera
 * and x2 y2 of the second.
 */
export type RayPairs = Float64Array;

/** Pairs that the linear solution needs. */
export const FEWEST_PAIRS = 8;

/**
 * Essential matrix E with x2ᵀ E x1 = 0 by the eight-point algorithm (Longuet-Higgins 1981) on coordinates moved to their
 * centroid and scaled to a mean distance of √2 (Hartley 1997); row-major 3 × 3, singular values 1 1 0. `at`: indices of the
 * pairs used, at least 8. Null where those pairs do not determine it (all in a plane: the ninth and eighth singular values
 * both vanish; then it is still returned when noise hides that, and its cost tells).
 */
export function essentialFromPairs(pairs: RayPairs, at: ArrayLike<number>): Float64Array | null {
  const n = at.length;
  if (n < FEWEST_PAIRS) return null;
  const first = normalisationOf(pairs, at, 0);
  const second = normalisationOf(pairs, at, 2);
  if (!(first.scale < 1e12 && second.scale < 1e12)) return null;
  const normal = new Float64Array(81);
  const row = new Float64Array(9);
  for (let i = 0; i < n; i++) {
    const o = 4 * at[i];
    const x1 = first.scale * (pairs[o] - first.x);
    const y1 = first.scale * (pairs[o + 1] - first.y);
    const x2 = second.scale * (pairs[o + 2] - second.x);
    const y2 = second.scale * (pairs[o + 3] - second.y);
    row.set([x2 * x1, x2 * y1, x2, y2 * x1, y2 * y1, y2, x1, y1, 1]);
    for (let a = 0; a < 9; a++) for (let b = a; b < 9; b++) normal[9 * a + b] += row[a] * row[b];
  }
  const { vectors } = eigenSymmetric(normal, 9);
  const f = Float64Array.from({ length: 9 }, (_, k) => vectors[9 * k]);
  const e = multiply3(transpose3(second.matrix), multiply3(f, first.matrix));
  return withEqualSingularValues(e);
}

/**
 * The four relative poses (secondFromFirst, ‖t‖ = 1) of an essential matrix E = [t]× R (Hartley & Zisserman 2004,
 * result 9.19).
 */
export function posesOfEssential(e: ArrayLike<number>): Pose[] {
  const svd = new SingularValueDecomposition(Matrix.from1DArray(3, 3, Array.from(e)));
  const u = Float64Array.from(svd.leftSingularVectors.to1DArray());
  const v = Float64Array.from(svd.rightSingularVectors.to1DArray());
  const w = Float64Array.of(0, -1, 0, 1, 0, 0, 0, 0, 1);
  const poses: Pose[] = [];
  for (const middle of [w, transpose3(w)]) {
    const m = multiply3(u, multiply3(middle, transpose3(v)));
    const sign = determinant(m) < 0 ? -1 : 1;
    const rotation = nearestRotation(m.map((x) => sign * x));
    for (const s of [1, -1]) {
      poses.push({ rotation, translation: Float64Array.of(s * u[2], s * u[5], s * u[8]) });
    }
  }
  return poses;
}

/** [t]× R, row-major. */
export function essentialOfPose({ rotation: r, translation: t }: Pose): Float64Array {
  return multiply3(Float64Array.of(0, -t[2], t[1], t[2], 0, -t[0], -t[1], t[0], 0), r);
}

/**
 * Depths of the point where two rays pass nearest, in units of ‖t‖, to out[0] (first camera) and out[1] (second): the least
 * squares solution of λ2 x2 = λ1 R x1 + t. NaN for parallel rays.
 */
export function depthsInto(out: Float64Array, pose: Pose, x1: number, y1: number, x2: number, y2: number): void {
  const { rotation: r, translation: t } = pose;
  const a0 = r[0] * x1 + r[1] * y1 + r[2];
  const a1 = r[3] * x1 + r[4] * y1 + r[5];
  const a2 = r[6] * x1 + r[7] * y1 + r[8];
  const aa = a0 * a0 + a1 * a1 + a2 * a2;
  const bb = x2 * x2 + y2 * y2 + 1;
  const ab = a0 * x2 + a1 * y2 + a2;
  const at = a0 * t[0] + a1 * t[1] + a2 * t[2];
  const bt = x2 * t[0] + y2 * t[1] + t[2];
  const determinant2 = aa * bb - ab * ab;
  out[0] = (ab * bt - bb * at) / determinant2;
  out[1] = (aa * bt - ab * at) / determinant2;
}

/** Share of the pairs that lie in front of both cameras. */
export function shareInFront(pose: Pose, pairs: RayPairs, at: ArrayLike<number>): number {
  const depth = new Float64Array(2);
  let inFront = 0;
  for (let i = 0; i < at.length; i++) {
    const o = 4 * at[i];
    depthsInto(depth, pose, pairs[o], pairs[o + 1], pairs[o + 2], pairs[o + 3]);
    if (depth[0] > 0 && depth[1] > 0) inFront++;
  }
  return inFront / at.length;
}

function withEqualSingularValues(m: Float64Array): Float64Array | null {
  if (!m.every(Number.isFinite)) return null;
  const svd = new SingularValueDecomposition(Matrix.from1DArray(3, 3, Array.from(m)));
  const u = svd.leftSingularVectors;
  const v = svd.rightSingularVectors;
  const d = Matrix.diag([1, 1, 0]);
  return Float64Array.from(u.mmul(d).mmul(v.transpose()).to1DArray());
}

/** Centroid, and the scale that brings the mean distance from it to √2; `matrix` does both. */
export function normalisationOf(pairs: RayPairs, at: ArrayLike<number>, column: 0 | 2) {
  let x = 0;
  let y = 0;
  for (let i = 0; i < at.length; i++) {
    x += pairs[4 * at[i] + column] / at.length;
    y += pairs[4 * at[i] + column + 1] / at.length;
  }
  let distance = 0;
  for (let i = 0; i < at.length; i++) {
    distance += Math.hypot(pairs[4 * at[i] + column] - x, pairs[4 * at[i] + column + 1] - y) / at.length;
  }
  const scale = Math.SQRT2 / distance;
  return { x, y, scale, matrix: Float64Array.of(scale, 0, -scale * x, 0, scale, -scale * y, 0, 0, 1) };
}

export function determinant(a: ArrayLike<number>): number {
  return a[0] * (a[4] * a[8] - a[5] * a[7]) - a[1] * (a[3] * a[8] - a[5] * a[6]) + a[2] * (a[3] * a[7] - a[4] * a[6]);
}
