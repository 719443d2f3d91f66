import { projectCameraPointInto } from './camera-model.ts';
import type { Camera } from './rig.ts';

/** Names of the lens parameters in the order of the columns of `lens` below. */
export const LENS_PARAMETERS = ['fx', 'fy', 'cx', 'cy', 'skew', 'k1', 'k2', 'p1', 'p2', 'k3'] as const;
export type LensParameter = (typeof LENS_PARAMETERS)[number];

/** One image point and its derivatives; filled by `deriveProjectionInto`, allocated once by `projectionDerivatives`. */
export interface ProjectionDerivatives {
  /** (u, v), pixels. */
  readonly uv: Float64Array;
  /** 2 × 3, by the world point, px/m. */
  readonly point: Float64Array;
  /** 2 × 6, by a small rotation δ (rad, cameraFromWorld becomes exp(δ) R) and by the translation (px/m). */
  readonly pose: Float64Array;
  /** 2 × 10, by LENS_PARAMETERS. */
  readonly lens: Float64Array;
}

export function projectionDerivatives(): ProjectionDerivatives {
  return {
    uv: new Float64Array(2),
    point: new Float64Array(6),
    pose: new Float64Array(12),
    lens: new Float64Array(20),
  };
}

const byCameraPoint = new Float64Array(6);

/**
 * Pixels of a world point (metres) and their derivatives by point, pose and lens. NaN at a depth ≤ 0.
 * With y = R X: ∂(R X)/∂δ = −[y]ₓ, so a row g of ∂(u, v)/∂(camera point) gives y × g for the rotation.
 * Lens derivatives do not exist beside a `pixelLens` (a published lens is not fitted): they are NaN there.
 */
export function deriveProjectionInto(
  out: ProjectionDerivatives,
  camera: Camera,
  x: number,
  y: number,
  z: number,
): void {
  const r = camera.rotation;
  const t = camera.translation;
  const rx = r[0] * x + r[1] * y + r[2] * z;
  const ry = r[3] * x + r[4] * y + r[5] * z;
  const rz = r[6] * x + r[7] * y + r[8] * z;
  projectCameraPointInto(out.uv, 0, byCameraPoint, 0, camera, rx + t[0], ry + t[1], rz + t[2]);
  for (let row = 0; row < 2; row++) {
    const a = byCameraPoint[3 * row];
    const b = byCameraPoint[3 * row + 1];
    const c = byCameraPoint[3 * row + 2];
    out.point[3 * row] = a * r[0] + b * r[3] + c * r[6];
    out.point[3 * row + 1] = a * r[1] + b * r[4] + c * r[7];
    out.point[3 * row + 2] = a * r[2] + b * r[5] + c * r[8];
    out.pose[6 * row] = ry * c - rz * b;
    out.pose[6 * row + 1] = rz * a - rx * c;
    out.pose[6 * row + 2] = rx * b - ry * a;
    out.pose[6 * row + 3] = a;
    out.pose[6 * row + 4] = b;
    out.pose[6 * row + 5] = c;
  }
  deriveLensInto(out.lens, camera, (rx + t[0]) / (rz + t[2]), (ry + t[1]) / (rz + t[2]));
}

function deriveLensInto(lens: Float64Array, camera: Camera, x: number, y: number): void {
  if (camera.pixelLens !== undefined) {
    lens.fill(Number.NaN);
    return;
  }
  const { fx, fy, skew, distortion: d } = camera;
  const r2 = x * x + y * y;
  const g = 1 + r2 * (d[0] + r2 * (d[1] + r2 * d[4]));
  const xd = x * g + 2 * d[2] * x * y + d[3] * (r2 + 2 * x * x);
  const yd = y * g + d[2] * (r2 + 2 * y * y) + 2 * d[3] * x * y;
  lens.fill(0);
  lens[0] = xd;
  lens[2] = 1;
  lens[4] = yd;
  lens[11] = yd;
  lens[13] = 1;
  // ∂(x', y')/∂(k1, k2, p1, p2, k3)
  const r4 = r2 * r2;
  distortionColumn(lens, 5, fx, fy, skew, x * r2, y * r2);
  distortionColumn(lens, 6, fx, fy, skew, x * r4, y * r4);
  distortionColumn(lens, 7, fx, fy, skew, 2 * x * y, r2 + 2 * y * y);
  distortionColumn(lens, 8, fx, fy, skew, r2 + 2 * x * x, 2 * x * y);
  distortionColumn(lens, 9, fx, fy, skew, x * r4 * r2, y * r4 * r2);
}

function distortionColumn(
  lens: Float64Array,
  column: number,
  fx: number,
  fy: number,
  skew: number,
  dx: number,
  dy: number,
): void {
  lens[column] = fx * dx + skew * dy;
  lens[10 + column] = fy * dy;
}

/**
 * Left Jacobian of the rotation vector ω (rad), row-major 3 × 3: exp(ω + dω) = exp(Jₗ dω) exp(ω) to first order.
 * Jₗ = I + (1 − cos θ)/θ² [ω]ₓ + (θ − sin θ)/θ³ [ω]ₓ² (closed form of the rotation group, common practice).
 * Singular at θ = 2π only.
 */
export function leftJacobian(w: ArrayLike<number>): Float64Array {
  const [x, y, z] = [w[0], w[1], w[2]];
  const t2 = x * x + y * y + z * z;
  const t = Math.sqrt(t2);
  const a = t2 < 1e-8 ? 0.5 - t2 / 24 : (1 - Math.cos(t)) / t2;
  const b = t2 < 1e-8 ? 1 / 6 - t2 / 120 : (t - Math.sin(t)) / (t2 * t);
  return Float64Array.of(
    1 - b * (y * y + z * z),
    -a * z + b * x * y,
    a * y + b * x * z,
    a * z + b * x * y,
    1 - b * (x * x + z * z),
    -a * x + b * y * z,
    -a * y + b * x * z,
    a * x + b * y * z,
    1 - b * (x * x + y * y),
  );
}

/** Turns the first three columns of a 2 × 6 pose derivative from δ to the rotation vector: times Jₗ. In place. */
export function rotationVectorColumnsInto(pose: Float64Array, jl: Float64Array): void {
  for (let row = 0; row < 12; row += 6) {
    const a = pose[row];
    const b = pose[row + 1];
    const c = pose[row + 2];
    pose[row] = a * jl[0] + b * jl[3] + c * jl[6];
    pose[row + 1] = a * jl[1] + b * jl[4] + c * jl[7];
    pose[row + 2] = a * jl[2] + b * jl[5] + c * jl[8];
  }
}
