import { cameraCentre, projectWithPointJacobianInto, undistortInto } from './camera-model.ts';
import type { Camera } from './rig.ts';

/** Steps of Gauss and Newton; three are enough from the rays' nearest point, the rest is for wide lenses. */
const STEPS = 8;

/**
 * The point (metres) seen at pixel (u, v) = `pixels[2 c …]` by camera c: nearest to all rays, then refined to the least
 * sum of squared pixel distances. Cameras with NaN pixels take no part. Null where fewer than two see it, where the rays
 * are parallel, or where it comes out behind a camera.
 *
 * For checks of a calibration; points of a recording are placed, weighted and judged by `src/reconstruction`.
 */
export function pointFromViews(cameras: readonly Camera[], pixels: ArrayLike<number>): Float64Array | null {
  const seeing = cameras.flatMap((camera, c) =>
    Number.isFinite(pixels[2 * c]) && Number.isFinite(pixels[2 * c + 1])
      ? [{ camera, u: pixels[2 * c], v: pixels[2 * c + 1] }]
      : [],
  );
  if (seeing.length < 2) return null;
  const start = nearestToRays(seeing);
  if (start === null) return null;
  const uv = new Float64Array(2);
  const jacobian = new Float64Array(6);
  const point = start;
  for (let step = 0; step < STEPS; step++) {
    const normal = new Float64Array(9);
    const right = new Float64Array(3);
    for (const { camera, u, v } of seeing) {
      const depth = projectWithPointJacobianInto(uv, 0, jacobian, 0, camera, point[0], point[1], point[2]);
      if (!(depth > 0)) return null;
      addRow(normal, right, jacobian, 0, u - uv[0]);
      addRow(normal, right, jacobian, 3, v - uv[1]);
    }
    const move = solved(normal, right);
    if (move === null) return null;
    for (let k = 0; k < 3; k++) point[k] += move[k];
    if (Math.hypot(move[0], move[1], move[2]) < 1e-12) break;
  }
  return point.every(Number.isFinite) ? point : null;
}

/** Σ (I − d dᵀ) X = Σ (I − d dᵀ) C over the rays C + s d. */
function nearestToRays(
  seeing: readonly { readonly camera: Camera; readonly u: number; readonly v: number }[],
): Float64Array | null {
  const normal = new Float64Array(9);
  const right = new Float64Array(3);
  const ray = new Float64Array(2);
  for (const { camera, u, v } of seeing) {
    if (!undistortInto(ray, 0, camera, u, v)) return null;
    const { rotation: r } = camera;
    const d = [0, 1, 2].map((k) => r[k] * ray[0] + r[3 + k] * ray[1] + r[6 + k]);
    const length = Math.hypot(...d);
    const centre = cameraCentre(camera);
    for (let a = 0; a < 3; a++) {
      for (let b = 0; b < 3; b++) {
        const part = (a === b ? 1 : 0) - (d[a] * d[b]) / length ** 2;
        normal[3 * a + b] += part;
        right[a] += part * centre[b];
      }
    }
  }
  return solved(normal, right);
}

function addRow(normal: Float64Array, right: Float64Array, row: Float64Array, o: number, residual: number): void {
  for (let a = 0; a < 3; a++) {
    for (let b = 0; b < 3; b++) normal[3 * a + b] += row[o + a] * row[o + b];
    right[a] += row[o + a] * residual;
  }
}

/** Determinant over the cube of the mean diagonal below which rays count as parallel (common practice, no source). */
const PARALLEL = 1e-10;

/** Solution of a symmetric 3 × 3 system by its adjugate, or null where it is singular. */
function solved(m: Float64Array, right: Float64Array): Float64Array | null {
  const c = [
    m[4] * m[8] - m[5] * m[7],
    m[2] * m[7] - m[1] * m[8],
    m[1] * m[5] - m[2] * m[4],
    m[5] * m[6] - m[3] * m[8],
    m[0] * m[8] - m[2] * m[6],
    m[2] * m[3] - m[0] * m[5],
    m[3] * m[7] - m[4] * m[6],
    m[1] * m[6] - m[0] * m[7],
    m[0] * m[4] - m[1] * m[3],
  ];
  const determinant = m[0] * c[0] + m[1] * c[3] + m[2] * c[6];
  if (!(determinant > PARALLEL * ((m[0] + m[4] + m[8]) / 3) ** 3)) return null;
  return Float64Array.from(
    { length: 3 },
    (_, i) => (c[3 * i] * right[0] + c[3 * i + 1] * right[1] + c[3 * i + 2] * right[2]) / determinant,
  );
}
