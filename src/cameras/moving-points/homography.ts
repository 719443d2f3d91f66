import { multiply3, nearestRotation, transpose3 } from '../../numerics/rotation.ts';
import { eigenSymmetric } from '../../numerics/symmetric-eigen.ts';
import type { Pose } from '../pose.ts';
import { determinant, normalisationOf, type RayPairs } from './essential.ts';

/** A relative pose seen by a plane: H ∝ R + t nᵀ / d. */
export interface PlanarPose {
  /** secondFromFirst, ‖t‖ = 1. */
  readonly pose: Pose;
  /** Unit normal of the plane in the first camera's frame, towards the plane (n · x = d > 0). */
  readonly normal: Float64Array;
  /** Distance of the plane from the first camera in units of the baseline. */
  readonly distance: number;
}

/**
 * Homography H with x2 ∝ H x1 by the direct linear transformation on normalised coordinates (Hartley & Zisserman 2004,
 * alg. 4.2); row-major, scaled so that its middle singular value is 1 and its sign puts points on the same side of both
 * cameras. At least 4 pairs; null where they do not determine it.
 */
export function homographyFromPairs(pairs: RayPairs, at: ArrayLike<number>): Float64Array | null {
  const n = at.length;
  if (n < 4) return null;
  const first = normalisationOf(pairs, at, 0);
  const second = normalisationOf(pairs, at, 2);
  if (!(first.scale < 1e12 && second.scale < 1e12)) return null;
  const normal = new Float64Array(81);
  for (let i = 0; i < n; i++) {
    const o = 4 * at[i];
    const x1 = first.scale * (pairs[o] - first.x);
    const y1 = first.scale * (pairs[o + 1] - first.y);
    const x2 = second.scale * (pairs[o + 2] - second.x);
    const y2 = second.scale * (pairs[o + 3] - second.y);
    accumulate(normal, [x1, y1, 1, 0, 0, 0, -x2 * x1, -x2 * y1, -x2]);
    accumulate(normal, [0, 0, 0, x1, y1, 1, -y2 * x1, -y2 * y1, -y2]);
  }
  const { vectors, values } = eigenSymmetric(normal, 9);
  if (!(values[1] > 1e-14 * values[8])) return null;
  const h = Float64Array.from({ length: 9 }, (_, k) => vectors[9 * k]);
  const { scale, x, y } = second;
  const back = Float64Array.of(1 / scale, 0, x, 0, 1 / scale, y, 0, 0, 1);
  return scaledHomography(multiply3(back, multiply3(h, first.matrix)), pairs, at);
}

function accumulate(normal: Float64Array, row: readonly number[]): void {
  for (let a = 0; a < 9; a++) for (let b = a; b < 9; b++) normal[9 * a + b] += row[a] * row[b];
}

/** Divides by the middle singular value (Ma et al. 2004, lemma 5.18); x2ᵀ H x1 > 0 fixes the sign (their (5.44)). */
function scaledHomography(h: Float64Array, pairs: RayPairs, at: ArrayLike<number>): Float64Array | null {
  const { values } = eigenSymmetric(multiply3(transpose3(h), h), 3);
  const middle = Math.sqrt(values[1]);
  if (!(middle > 0)) return null;
  let positive = 0;
  for (let i = 0; i < at.length; i++) {
    const o = 4 * at[i];
    const [x1, y1, x2, y2] = [pairs[o], pairs[o + 1], pairs[o + 2], pairs[o + 3]];
    const along =
      x2 * (h[0] * x1 + h[1] * y1 + h[2]) + y2 * (h[3] * x1 + h[4] * y1 + h[5]) + (h[6] * x1 + h[7] * y1 + h[8]);
    if (along > 0) positive++;
  }
  const sign = positive >= at.length / 2 ? 1 : -1;
  return h.map((value) => (sign * value) / middle);
}

/**
 * The poses that a scaled homography allows: up to four, of which those with the plane in front of the first camera
 * (n · x > 0 for the pairs) are returned: as a rule two, one where the roots fall together, none for a pure turn.
 *
 * Ma, Soatto, Košecká & Sastry (2004, "An Invitation to 3-D Vision", theorem 5.19): with HᵀH = V diag(s1², 1, s3²) Vᵀ the
 * vectors u = (√(1 − s3²) v1 ± √(s1² − 1) v3) / √(s1² − s3²) keep their length under H; v2 and u span the plane
 * orthogonal to n. The same roots were given by Faugeras & Lustman (1988) and in closed form by Malis & Vargas (2007).
 */
export function posesOfHomography(h: Float64Array, pairs: RayPairs, at: ArrayLike<number>): PlanarPose[] {
  const { values, vectors } = eigenSymmetric(multiply3(transpose3(h), h), 3);
  const [s3, , s1] = values;
  if (!(s1 - s3 > 1e-10)) return [];
  const v1 = [vectors[2], vectors[5], vectors[8]];
  const v2 = [vectors[1], vectors[4], vectors[7]];
  const v3 = [vectors[0], vectors[3], vectors[6]];
  const a = Math.sqrt(Math.max(0, 1 - s3) / (s1 - s3));
  const b = Math.sqrt(Math.max(0, s1 - 1) / (s1 - s3));
  const hv2 = times(h, v2);
  const found: PlanarPose[] = [];
  for (const sign of b > 0 && a > 0 ? [1, -1] : [1]) {
    const u = v1.map((x, i) => a * x + sign * b * v3[i]);
    const hu = times(h, u);
    const normal = cross(v2, u);
    const hn = cross(hv2, hu);
    // R [v2 u n] = [H v2, H u, H v2 × H u]
    const rotation = nearestRotation(multiply3(columns(hv2, hu, hn), transpose3(columns(v2, u, normal))));
    // (H − R) n = t / d
    const t = times(
      h.map((x, i) => x - rotation[i]),
      normal,
    );
    const length = Math.hypot(...t);
    if (!(length > 1e-9) || determinant(rotation) < 0) continue;
    const side = sideOf(normal, pairs, at);
    if (side === 0) continue;
    found.push({
      pose: { rotation, translation: Float64Array.from(t, (x) => (side * x) / length) },
      normal: Float64Array.from(normal, (x) => side * x),
      distance: 1 / length,
    });
  }
  return found;
}

/** +1 or −1: the sign of n · x common to nearly all pairs; 0 where the plane would pass through the cloud of rays. */
function sideOf(normal: readonly number[], pairs: RayPairs, at: ArrayLike<number>): number {
  let positive = 0;
  for (let i = 0; i < at.length; i++) {
    const o = 4 * at[i];
    if (normal[0] * pairs[o] + normal[1] * pairs[o + 1] + normal[2] > 0) positive++;
  }
  const share = positive / at.length;
  if (share > 0.9) return 1;
  return share < 0.1 ? -1 : 0;
}

const times = (m: ArrayLike<number>, v: ArrayLike<number>): number[] =>
  [0, 3, 6].map((at) => m[at] * v[0] + m[at + 1] * v[1] + m[at + 2] * v[2]);

const cross = (a: readonly number[], b: readonly number[]): number[] => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];

const columns = (a: readonly number[], b: readonly number[], c: readonly number[]): Float64Array =>
  Float64Array.of(a[0], b[0], c[0], a[1], b[1], c[1], a[2], b[2], c[2]);
