import { projectWithPointJacobianInto } from '../cameras/camera-model.ts';
import type { Camera } from '../cameras/rig.ts';
import { multiply3 } from '../numerics/rotation.ts';
import { eigenSymmetric } from '../numerics/symmetric-eigen.ts';

const pixel = new Float64Array(2);
const jacobian = new Float64Array(6);

/**
 * Covariance (m², upper triangle xx xy xz yy yz zz) of a point triangulated with equal weights, to out[o … o + 5].
 *
 * Linear propagation of the least reprojection distance (Hartley & Zisserman 2004, sec. 5.2.1, 12.3): with
 * N = Σ JᵥᵀJᵥ over the views, C = N⁻¹ (Σ σᵥ² JᵥᵀJᵥ) N⁻¹; with equal σ this is σ² N⁻¹.
 * variancePx2: σᵥ² of a coordinate, one a camera; NaN = the point is not seen there. NaN where fewer than two views see
 * the point, or it lies behind one of them.
 */
export function pointCovarianceInto(
  out: Float64Array,
  o: number,
  cameras: readonly Camera[],
  variancePx2: ArrayLike<number>,
  x: number,
  y: number,
  z: number,
): void {
  const normal = new Float64Array(6);
  const noise = new Float64Array(6);
  let views = 0;
  for (let v = 0; v < cameras.length; v++) {
    const variance = variancePx2[v];
    if (Number.isNaN(variance)) continue;
    projectWithPointJacobianInto(pixel, 0, jacobian, 0, cameras[v], x, y, z);
    views++;
    for (let row = 0, at = 0; row < 3; row++) {
      for (let column = row; column < 3; column++, at++) {
        const product = jacobian[row] * jacobian[column] + jacobian[3 + row] * jacobian[3 + column];
        normal[at] += product;
        noise[at] += variance * product;
      }
    }
  }
  const inverse = views >= 2 ? inverse3(normal) : null;
  if (inverse === null) {
    out.fill(Number.NaN, o, o + 6);
    return;
  }
  const sandwich = multiply3(multiply3(inverse, square(noise)), inverse);
  out[o] = sandwich[0];
  out[o + 1] = sandwich[1];
  out[o + 2] = sandwich[2];
  out[o + 3] = sandwich[4];
  out[o + 4] = sandwich[5];
  out[o + 5] = sandwich[8];
}

/**
 * Variance of g · point, without the covariance: with u = N⁻¹ g it is Σ σᵥ² |Jᵥ u|². The same as `pointCovarianceInto` and
 * `variancePropagated` together, and allocates nothing: for trying thousands of placements.
 * variancePx2: at `from`, one a camera. NaN as there.
 */
export function varianceAlong(
  cameras: readonly Camera[],
  variancePx2: ArrayLike<number>,
  from: number,
  point: ArrayLike<number>,
  gradient: ArrayLike<number>,
  o: number,
): number {
  let [n0, n1, n2, n3, n4, n5] = [0, 0, 0, 0, 0, 0];
  let views = 0;
  for (let v = 0; v < cameras.length; v++) {
    if (Number.isNaN(variancePx2[from + v])) continue;
    projectWithPointJacobianInto(pixel, 0, jacobian, 0, cameras[v], point[o], point[o + 1], point[o + 2]);
    views++;
    n0 += jacobian[0] ** 2 + jacobian[3] ** 2;
    n1 += jacobian[0] * jacobian[1] + jacobian[3] * jacobian[4];
    n2 += jacobian[0] * jacobian[2] + jacobian[3] * jacobian[5];
    n3 += jacobian[1] ** 2 + jacobian[4] ** 2;
    n4 += jacobian[1] * jacobian[2] + jacobian[4] * jacobian[5];
    n5 += jacobian[2] ** 2 + jacobian[5] ** 2;
  }
  const c0 = n3 * n5 - n4 * n4;
  const c1 = n2 * n4 - n1 * n5;
  const c2 = n1 * n4 - n2 * n3;
  const determinant = n0 * c0 + n1 * c1 + n2 * c2;
  if (views < 2 || !(determinant > 0)) return Number.NaN;
  const [gx, gy, gz] = [gradient[o] / determinant, gradient[o + 1] / determinant, gradient[o + 2] / determinant];
  const ux = c0 * gx + c1 * gy + c2 * gz;
  const uy = c1 * gx + (n0 * n5 - n2 * n2) * gy + (n1 * n2 - n0 * n4) * gz;
  const uz = c2 * gx + (n1 * n2 - n0 * n4) * gy + (n0 * n3 - n1 * n1) * gz;
  let variance = 0;
  for (let v = 0; v < cameras.length; v++) {
    if (Number.isNaN(variancePx2[from + v])) continue;
    projectWithPointJacobianInto(pixel, 0, jacobian, 0, cameras[v], point[o], point[o + 1], point[o + 2]);
    const du = jacobian[0] * ux + jacobian[1] * uy + jacobian[2] * uz;
    const dv = jacobian[3] * ux + jacobian[4] * uy + jacobian[5] * uz;
    variance += variancePx2[from + v] * (du * du + dv * dv);
  }
  return variance;
}

/** Standard deviation along a point's worst direction, metres, and that direction (unit vector); NaN where not known. */
export function worstAxis(covariance: ArrayLike<number>, o: number): { sdM: number; axis: readonly number[] } {
  const [xx, xy, xz, yy, yz, zz] = [0, 1, 2, 3, 4, 5].map((i) => covariance[o + i]);
  if (Number.isNaN(xx)) return { sdM: Number.NaN, axis: [Number.NaN, Number.NaN, Number.NaN] };
  const { values, vectors } = eigenSymmetric([xx, xy, xz, xy, yy, yz, xz, yz, zz], 3);
  return { sdM: Math.sqrt(values[2]), axis: [vectors[2], vectors[5], vectors[8]] };
}

/** gᵀ C g of one point. */
export function variancePropagated(
  covariance: ArrayLike<number>,
  o: number,
  gx: number,
  gy: number,
  gz: number,
): number {
  return (
    gx * gx * covariance[o] +
    gy * gy * covariance[o + 3] +
    gz * gz * covariance[o + 5] +
    2 * (gx * gy * covariance[o + 1] + gx * gz * covariance[o + 2] + gy * gz * covariance[o + 4])
  );
}

/** Inverse of an upper triangle as a full row-major 3 × 3; null where it is singular. */
function inverse3(n: Float64Array): Float64Array | null {
  const c0 = n[3] * n[5] - n[4] * n[4];
  const c1 = n[2] * n[4] - n[1] * n[5];
  const c2 = n[1] * n[4] - n[2] * n[3];
  const determinant = n[0] * c0 + n[1] * c1 + n[2] * c2;
  if (!(determinant > 0)) return null;
  const d3 = n[0] * n[5] - n[2] * n[2];
  const d4 = n[1] * n[2] - n[0] * n[4];
  const d5 = n[0] * n[3] - n[1] * n[1];
  return Float64Array.of(c0, c1, c2, c1, d3, d4, c2, d4, d5).map((value) => value / determinant);
}

function square(n: Float64Array): Float64Array {
  return Float64Array.of(n[0], n[1], n[2], n[1], n[3], n[4], n[2], n[4], n[5]);
}
