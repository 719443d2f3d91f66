import { projectWithPointJacobianInto, undistortInto } from './camera-model.ts';
import { invertibleRadius } from './distortion.ts';
import type { Camera } from './rig.ts';

/**
 * Cameras prepared once for many points: what the hot kernels need of each, side by side in one array, so that a point costs
 * no object and no look-up. The numbers are those of the cameras at the time of packing.
 */
export interface PackedCameras {
  readonly cameras: readonly Camera[];
  /** CAMERA_NUMBERS a camera, in the order of the constants below. */
  readonly numbers: Float64Array;
  /** One a camera: 1 = its lens has a second part (`pixelLens`) and goes through camera-model.ts. */
  readonly hasPixelLens: Uint8Array;
}

/** Where each number of a camera stands: rotation (9) and translation (3) cameraFromWorld, centre (3) in the world, … */
const R = 0;
const T = 9;
const CENTRE = 12;
const FX = 15;
const FY = 16;
const CX = 17;
const CY = 18;
const SKEW = 19;
const K1 = 20;
const K2 = 21;
const P1 = 22;
const P2 = 23;
const K3 = 24;
/** Square of the invertible radius of the distortion. */
const LIMIT2 = 25;
const CAMERA_NUMBERS = 26;

export function packCameras(cameras: readonly Camera[]): PackedCameras {
  const numbers = new Float64Array(CAMERA_NUMBERS * cameras.length);
  cameras.forEach((camera, v) => {
    const { rotation: r, translation: t, distortion } = camera;
    const centre = [0, 1, 2].map((axis) => -(r[axis] * t[0] + r[3 + axis] * t[1] + r[6 + axis] * t[2]));
    const lens = [camera.fx, camera.fy, camera.cx, camera.cy, camera.skew, ...distortion];
    numbers.set([...r, ...t, ...centre, ...lens, invertibleRadius(distortion) ** 2], CAMERA_NUMBERS * v);
  });
  return { cameras, numbers, hasPixelLens: Uint8Array.from(cameras, ({ pixelLens }) => (pixelLens ? 1 : 0)) };
}

/** The last Newton step is below this: the error behind it is of the order of its square, a ten-thousandth of a pixel at a focal length of 1000 px. */
const LAST_STEP = 3e-4;
const MOST_PLAIN_STEPS = 8;

/**
 * `undistortInto` of camera `v` for the pixel at pixel[2 v], normalised image coordinates to ray[2 v]; correct to about 1e-7, for
 * a start or a test of angles. Plain Newton steps from the distorted point; wherever they do not settle at once inside the
 * invertible disc, `undistortInto` decides.
 */
export function undistortPackedInto(ray: Float64Array, packed: PackedCameras, v: number, pixel: Float64Array): boolean {
  const { numbers: n } = packed;
  const o = 2 * v;
  if (packed.hasPixelLens[v] === 1) return undistortInto(ray, o, packed.cameras[v], pixel[o], pixel[o + 1]);
  const m = CAMERA_NUMBERS * v;
  const k1 = n[m + K1];
  const k2 = n[m + K2];
  const p1 = n[m + P1];
  const p2 = n[m + P2];
  const k3 = n[m + K3];
  const limit2 = n[m + LIMIT2];
  const yd = (pixel[o + 1] - n[m + CY]) / n[m + FY];
  const xd = (pixel[o] - n[m + CX] - n[m + SKEW] * yd) / n[m + FX];
  let x = xd;
  let y = yd;
  let r2 = x * x + y * y;
  for (let step = 0; step < MOST_PLAIN_STEPS && r2 < limit2; step++) {
    const xx = x * x;
    const yy = y * y;
    const xy = x * y;
    const g = 1 + r2 * (k1 + r2 * (k2 + r2 * k3));
    const dg = k1 + r2 * (2 * k2 + 3 * k3 * r2);
    const ex = xd - (x * g + 2 * p1 * xy + p2 * (r2 + 2 * xx));
    const ey = yd - (y * g + p1 * (r2 + 2 * yy) + 2 * p2 * xy);
    const a = g + 2 * xx * dg + 2 * p1 * y + 6 * p2 * x;
    const b = 2 * (xy * dg + p1 * x + p2 * y);
    const d = g + 2 * yy * dg + 6 * p1 * y + 2 * p2 * x;
    const determinant = a * d - b * b;
    if (!(determinant > 0)) break;
    const scale = 1 / determinant;
    const dx = (d * ex - b * ey) * scale;
    const dy = (a * ey - b * ex) * scale;
    x += dx;
    y += dy;
    r2 = x * x + y * y;
    if (dx * dx + dy * dy < LAST_STEP * LAST_STEP && r2 < limit2) {
      ray[o] = x;
      ray[o + 1] = y;
      return true;
    }
  }
  return undistortInto(ray, o, packed.cameras[v], pixel[o], pixel[o + 1]);
}

/** Direction in the world of the ray at ray[2 v], not of unit length, to direction[4 v]; the square of its length behind it. */
export function rayDirectionInto(direction: Float64Array, packed: PackedCameras, v: number, ray: Float64Array): void {
  const { numbers: n } = packed;
  const m = CAMERA_NUMBERS * v + R;
  const o = 4 * v;
  const x = ray[2 * v];
  const y = ray[2 * v + 1];
  direction[o] = n[m] * x + n[m + 3] * y + n[m + 6];
  direction[o + 1] = n[m + 1] * x + n[m + 4] * y + n[m + 7];
  direction[o + 2] = n[m + 2] * x + n[m + 5] * y + n[m + 8];
  direction[o + 3] = x * x + y * y + 1;
}

/** Adds a ray to the normal equations of the point nearest to several rays, Σ w (1 − u uᵀ) (X − centre) = 0: matrix to normal[0 … 5] (xx xy xz yy yz zz), right side to normal[6 … 8]. */
export function addRayInto(
  normal: Float64Array,
  packed: PackedCameras,
  v: number,
  direction: Float64Array,
  weight: Float64Array,
): void {
  const c = CAMERA_NUMBERS * v + CENTRE;
  const cx = packed.numbers[c];
  const cy = packed.numbers[c + 1];
  const cz = packed.numbers[c + 2];
  const x = direction[4 * v];
  const y = direction[4 * v + 1];
  const z = direction[4 * v + 2];
  const w = weight[v];
  const scale = w / direction[4 * v + 3];
  const xx = w - scale * x * x;
  const xy = -scale * x * y;
  const xz = -scale * x * z;
  const yy = w - scale * y * y;
  const yz = -scale * y * z;
  const zz = w - scale * z * z;
  normal[0] += xx;
  normal[1] += xy;
  normal[2] += xz;
  normal[3] += yy;
  normal[4] += yz;
  normal[5] += zz;
  normal[6] += xx * cx + xy * cy + xz * cz;
  normal[7] += xy * cx + yy * cy + yz * cz;
  normal[8] += xz * cx + yz * cy + zz * cz;
}

/** Depth of the point at position[0 … 2] along the optical axis of camera `v`, metres. */
export function depthInPacked(packed: PackedCameras, v: number, position: Float64Array): number {
  const { numbers: n } = packed;
  const m = CAMERA_NUMBERS * v;
  return n[m + 6] * position[0] + n[m + 7] * position[1] + n[m + 8] * position[2] + n[m + T + 2];
}

const projected = new Float64Array(2);

/**
 * Pixel at pixel[2 v] less the image of position[0 … 2], px, to residual[2 v], and the 2 × 3 Jacobian of the image, px/m,
 * row-major to jacobian[6 v]: as `projectWithPointJacobianInto`. Returns false, writing nothing, at a depth ≤ 0.
 */
export function residualInto(
  residual: Float64Array,
  jacobian: Float64Array,
  packed: PackedCameras,
  v: number,
  position: Float64Array,
  pixel: Float64Array,
): boolean {
  const { numbers: n } = packed;
  const m = CAMERA_NUMBERS * v;
  const o = 2 * v;
  const j = 6 * v;
  const px = position[0];
  const py = position[1];
  const pz = position[2];
  if (packed.hasPixelLens[v] === 1) {
    const depth = projectWithPointJacobianInto(projected, 0, jacobian, j, packed.cameras[v], px, py, pz);
    residual[o] = pixel[o] - projected[0];
    residual[o + 1] = pixel[o + 1] - projected[1];
    return depth > 0;
  }
  const r0 = n[m];
  const r1 = n[m + 1];
  const r2 = n[m + 2];
  const r3 = n[m + 3];
  const r4 = n[m + 4];
  const r5 = n[m + 5];
  const r6 = n[m + 6];
  const r7 = n[m + 7];
  const r8 = n[m + 8];
  const depth = r6 * px + r7 * py + r8 * pz + n[m + T + 2];
  if (!(depth > 0)) return false;
  const perDepth = 1 / depth;
  const x = (r0 * px + r1 * py + r2 * pz + n[m + T]) * perDepth;
  const y = (r3 * px + r4 * py + r5 * pz + n[m + T + 1]) * perDepth;
  const k1 = n[m + K1];
  const k2 = n[m + K2];
  const p1 = n[m + P1];
  const p2 = n[m + P2];
  const k3 = n[m + K3];
  const xx = x * x;
  const yy = y * y;
  const xy = x * y;
  const s = xx + yy;
  const g = 1 + s * (k1 + s * (k2 + s * k3));
  const dg = k1 + s * (2 * k2 + 3 * k3 * s);
  const xd = x * g + 2 * p1 * xy + p2 * (s + 2 * xx);
  const yd = y * g + p1 * (s + 2 * yy) + 2 * p2 * xy;
  const off = 2 * (xy * dg + p1 * x + p2 * y);
  const fx = n[m + FX];
  const fy = n[m + FY];
  const skew = n[m + SKEW];
  residual[o] = pixel[o] - (fx * xd + skew * yd + n[m + CX]);
  residual[o + 1] = pixel[o + 1] - (fy * yd + n[m + CY]);
  // Rows of d(u, v)/d(xc, yc, zc), then turned to the world.
  const acrossY = g + 2 * yy * dg + 6 * p1 * y + 2 * p2 * x;
  const a = (fx * (g + 2 * xx * dg + 2 * p1 * y + 6 * p2 * x) + skew * off) * perDepth;
  const b = (fx * off + skew * acrossY) * perDepth;
  const c = -(a * x + b * y);
  const d = fy * off * perDepth;
  const e = fy * acrossY * perDepth;
  const f = -(d * x + e * y);
  jacobian[j] = a * r0 + b * r3 + c * r6;
  jacobian[j + 1] = a * r1 + b * r4 + c * r7;
  jacobian[j + 2] = a * r2 + b * r5 + c * r8;
  jacobian[j + 3] = d * r0 + e * r3 + f * r6;
  jacobian[j + 4] = d * r1 + e * r4 + f * r7;
  jacobian[j + 5] = d * r2 + e * r5 + f * r8;
  return true;
}
