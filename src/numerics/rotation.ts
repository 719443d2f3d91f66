import { Matrix, SVD } from 'ml-matrix';

/*
 * Rotations as row-major 3 × 3 Float64Array(9) acting on column vectors, and as rotation vectors (unit axis times angle
 * in radians, right-hand rule).
 */

/** Rotation matrix of a rotation vector v (3, radians): R = I + sinθ/θ [v]× + (1 − cosθ)/θ² [v]×² (Rodrigues 1840). */
export function rotationFromVector(v: ArrayLike<number>): Float64Array {
  const x = v[0];
  const y = v[1];
  const z = v[2];
  const angle = Math.hypot(x, y, z);
  const half = angle / 2;
  // sin(h)/h is accurate down to the smallest angle; 1 − cosθ = 2 sin²(θ/2) avoids cancellation.
  const halfRatio = half > 0 ? Math.sin(half) / half : 1;
  const first = halfRatio * Math.cos(half);
  const second = (halfRatio * halfRatio) / 2;
  const r = new Float64Array(9);
  r[0] = 1 - second * (y * y + z * z);
  r[1] = second * x * y - first * z;
  r[2] = second * x * z + first * y;
  r[3] = second * x * y + first * z;
  r[4] = 1 - second * (x * x + z * z);
  r[5] = second * y * z - first * x;
  r[6] = second * x * z - first * y;
  r[7] = second * y * z + first * x;
  r[8] = 1 - second * (x * x + y * y);
  return r;
}

/**
 * Rotation vector (3, radians, length 0 … π) of a rotation matrix r (9), by way of the quaternion with the largest
 * component as pivot (Shepperd 1978, J. Guid. Control 1:223–224), accurate near 0 and near π. At a half turn both signs
 * of the axis are right and rounding chooses. `r` must be a rotation: see nearestRotation.
 */
export function vectorFromRotation(r: ArrayLike<number>): Float64Array {
  const trace = r[0] + r[4] + r[8];
  let w: number;
  let x: number;
  let y: number;
  let z: number;
  // The four components, each times the same positive factor.
  if (trace >= r[0] && trace >= r[4] && trace >= r[8]) {
    w = 1 + trace;
    x = r[7] - r[5];
    y = r[2] - r[6];
    z = r[3] - r[1];
  } else if (r[0] >= r[4] && r[0] >= r[8]) {
    x = 1 + r[0] - r[4] - r[8];
    w = r[7] - r[5];
    y = r[3] + r[1];
    z = r[2] + r[6];
  } else if (r[4] >= r[8]) {
    y = 1 - r[0] + r[4] - r[8];
    w = r[2] - r[6];
    x = r[3] + r[1];
    z = r[7] + r[5];
  } else {
    z = 1 - r[0] - r[4] + r[8];
    w = r[3] - r[1];
    x = r[2] + r[6];
    y = r[7] + r[5];
  }
  const sine = Math.hypot(x, y, z);
  const sign = w < 0 ? -1 : 1;
  const scale = sine > 0 ? (sign * 2 * Math.atan2(sine, Math.abs(w))) / sine : 0;
  return Float64Array.of(scale * x, scale * y, scale * z);
}

/** Rotation by `angleRad` about +Y: turns +Z towards +X. */
export function rotationAboutY(angleRad: number): Float64Array {
  const c = Math.cos(angleRad);
  const s = Math.sin(angleRad);
  return Float64Array.of(c, 0, s, 0, 1, 0, -s, 0, c);
}

/** Matrix product a b of two 3 × 3 matrices. */
export function multiply3(a: ArrayLike<number>, b: ArrayLike<number>): Float64Array {
  const out = new Float64Array(9);
  for (let i = 0; i < 3; i++) {
    for (let j = 0; j < 3; j++) out[3 * i + j] = a[3 * i] * b[j] + a[3 * i + 1] * b[3 + j] + a[3 * i + 2] * b[6 + j];
  }
  return out;
}

/** Transpose of a 3 × 3 matrix; of a rotation, its inverse. */
export function transpose3(a: ArrayLike<number>): Float64Array {
  return Float64Array.of(a[0], a[3], a[6], a[1], a[4], a[7], a[2], a[5], a[8]);
}

/** out[outOffset …+3] = r · v[vOffset …+3]. Allocates nothing; safe when `out` is `v`. */
export function apply3Into(
  out: Float64Array,
  outOffset: number,
  r: ArrayLike<number>,
  v: ArrayLike<number>,
  vOffset: number,
): void {
  const x = v[vOffset];
  const y = v[vOffset + 1];
  const z = v[vOffset + 2];
  out[outOffset] = r[0] * x + r[1] * y + r[2] * z;
  out[outOffset + 1] = r[3] * x + r[4] * y + r[5] * z;
  out[outOffset + 2] = r[6] * x + r[7] * y + r[8] * z;
}

/**
 * The rotation (determinant +1) nearest to m (9) in the Frobenius norm: U diag(1, 1, det UVᵀ) Vᵀ of the singular value
 * decomposition (Kabsch 1976; Umeyama 1991, eq. 40). Not unique where the two smallest singular values are both 0 or,
 * for det m < 0, equal. Throws RangeError for an element that is not finite.
 */
export function nearestRotation(m: ArrayLike<number>): Float64Array {
  const rows = [0, 3, 6].map((at) => [m[at], m[at + 1], m[at + 2]]);
  if (!rows.flat().every(Number.isFinite))
    throw new RangeError('nearestRotation: the matrix has an element that is not finite');
  const svd = new SVD(new Matrix(rows), { autoTranspose: true });
  const u = Float64Array.from(svd.leftSingularVectors.to1DArray());
  const vTransposed = Float64Array.from(svd.rightSingularVectors.transpose().to1DArray());
  if (determinant3(u) * determinant3(vTransposed) < 0) for (let i = 0; i < 3; i++) u[3 * i + 2] = -u[3 * i + 2];
  return multiply3(u, vTransposed);
}

function determinant3(a: ArrayLike<number>): number {
  return a[0] * (a[4] * a[8] - a[5] * a[7]) - a[1] * (a[3] * a[8] - a[5] * a[6]) + a[2] * (a[3] * a[7] - a[4] * a[6]);
}
