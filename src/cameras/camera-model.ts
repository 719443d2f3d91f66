import { distortInto, distortWithJacobianInto, undistortNormalisedInto } from './distortion.ts';
import type { Camera, PixelLens } from './rig.ts';

const normalised = new Float64Array(2);
const distortionSlope = new Float64Array(4);
const lensSlope = new Float64Array(4);

/** R X + t, metres, to out[o … o + 2]. */
export function pointInCameraInto(out: Float64Array, o: number, camera: Camera, x: number, y: number, z: number): void {
  const r = camera.rotation;
  const t = camera.translation;
  out[o] = r[0] * x + r[1] * y + r[2] * z + t[0];
  out[o + 1] = r[3] * x + r[4] * y + r[5] * z + t[1];
  out[o + 2] = r[6] * x + r[7] * y + r[8] * z + t[2];
}

/** The camera's centre of projection in the world, metres: −Rᵀ t. */
export function cameraCentre(camera: Camera): Float64Array {
  const r = camera.rotation;
  const t = camera.translation;
  return Float64Array.of(
    -(r[0] * t[0] + r[3] * t[1] + r[6] * t[2]),
    -(r[1] * t[0] + r[4] * t[1] + r[7] * t[2]),
    -(r[2] * t[0] + r[5] * t[1] + r[8] * t[2]),
  );
}

/**
 * Image of a world point (metres) in pixels, to out[o], out[o + 1]: K · distort(R X + t), then `pixelLens` where there
 * is one. Returns the depth along the optical axis, metres. At a depth ≤ 0 nothing is seen: the pixels are NaN.
 * A point beyond the invertible radius of the distortion gets the folded pixel that the model gives it, as in OpenCV;
 * `invertibleRadius` tells.
 */
export function projectInto(out: Float64Array, o: number, camera: Camera, x: number, y: number, z: number): number {
  const r = camera.rotation;
  const t = camera.translation;
  const depth = r[6] * x + r[7] * y + r[8] * z + t[2];
  if (!(depth > 0)) {
    out[o] = Number.NaN;
    out[o + 1] = Number.NaN;
    return depth;
  }
  const xn = (r[0] * x + r[1] * y + r[2] * z + t[0]) / depth;
  const yn = (r[3] * x + r[4] * y + r[5] * z + t[1]) / depth;
  distortInto(normalised, 0, camera.distortion, xn, yn);
  out[o] = camera.fx * normalised[0] + camera.skew * normalised[1] + camera.cx;
  out[o + 1] = camera.fy * normalised[1] + camera.cy;
  if (camera.pixelLens !== undefined) rawPixelInto(out, o, camera.pixelLens, out[o], out[o + 1]);
  return depth;
}

/**
 * `projectInto`, and the 2 × 3 Jacobian ∂(u, v)/∂(x, y, z), px/m, row-major at outJ[jOffset … jOffset + 5].
 * Returns the depth, metres; at a depth ≤ 0 pixels and Jacobian are NaN.
 */
export function projectWithPointJacobianInto(
  outUv: Float64Array,
  uvOffset: number,
  outJ: Float64Array,
  jOffset: number,
  camera: Camera,
  x: number,
  y: number,
  z: number,
): number {
  const r = camera.rotation;
  const t = camera.translation;
  const xc = r[0] * x + r[1] * y + r[2] * z + t[0];
  const yc = r[3] * x + r[4] * y + r[5] * z + t[1];
  const zc = r[6] * x + r[7] * y + r[8] * z + t[2];
  projectCameraPointInto(outUv, uvOffset, outJ, jOffset, camera, xc, yc, zc);
  for (let row = jOffset; row < jOffset + 6; row += 3) {
    const a = outJ[row];
    const b = outJ[row + 1];
    const c = outJ[row + 2];
    outJ[row] = a * r[0] + b * r[3] + c * r[6];
    outJ[row + 1] = a * r[1] + b * r[4] + c * r[7];
    outJ[row + 2] = a * r[2] + b * r[5] + c * r[8];
  }
  return zc;
}

/**
 * Pixels of a point already in the camera's frame (metres) and the 2 × 3 Jacobian ∂(u, v)/∂(xc, yc, zc) at j[jo …].
 * NaN at a depth ≤ 0.
 */
export function projectCameraPointInto(
  uv: Float64Array,
  o: number,
  j: Float64Array,
  jo: number,
  camera: Camera,
  xc: number,
  yc: number,
  zc: number,
): void {
  if (!(zc > 0)) {
    uv[o] = Number.NaN;
    uv[o + 1] = Number.NaN;
    j.fill(Number.NaN, jo, jo + 6);
    return;
  }
  const xn = xc / zc;
  const yn = yc / zc;
  distortWithJacobianInto(normalised, 0, distortionSlope, 0, camera.distortion, xn, yn);
  uv[o] = camera.fx * normalised[0] + camera.skew * normalised[1] + camera.cx;
  uv[o + 1] = camera.fy * normalised[1] + camera.cy;
  // d(u, v) / d(xn, yn)
  let a = camera.fx * distortionSlope[0] + camera.skew * distortionSlope[2];
  let b = camera.fx * distortionSlope[1] + camera.skew * distortionSlope[3];
  let c = camera.fy * distortionSlope[2];
  let d = camera.fy * distortionSlope[3];
  if (camera.pixelLens !== undefined) {
    rawPixelWithJacobianInto(uv, o, lensSlope, camera.pixelLens, uv[o], uv[o + 1]);
    const a0 = a;
    const b0 = b;
    a = lensSlope[0] * a0 + lensSlope[1] * c;
    b = lensSlope[0] * b0 + lensSlope[1] * d;
    c = lensSlope[2] * a0 + lensSlope[3] * c;
    d = lensSlope[2] * b0 + lensSlope[3] * d;
  }
  j[jo] = a / zc;
  j[jo + 1] = b / zc;
  j[jo + 2] = -(a * xn + b * yn) / zc;
  j[jo + 3] = c / zc;
  j[jo + 4] = d / zc;
  j[jo + 5] = -(c * xn + d * yn) / zc;
}

/**
 * Normalised image coordinates (xc / zc, yc / zc; dimensionless) seen at pixel (u, v), to out[o], out[o + 1].
 * Returns false and writes NaN where the distortion cannot be inverted there (no Newton convergence, or beyond the
 * invertible radius).
 */
export function undistortInto(out: Float64Array, o: number, camera: Camera, u: number, v: number): boolean {
  let ui = u;
  let vi = v;
  if (camera.pixelLens !== undefined) {
    if (!idealPixelInto(out, o, camera.pixelLens, u, v)) return false;
    ui = out[o];
    vi = out[o + 1];
  }
  const yd = (vi - camera.cy) / camera.fy;
  const xd = (ui - camera.cx - camera.skew * yd) / camera.fx;
  return undistortNormalisedInto(out, o, camera.distortion, xd, yd);
}

/** The pixel at which the lens shows what an ideal camera shows at (u, v). */
export function rawPixelInto(out: Float64Array, o: number, lens: PixelLens, u: number, v: number): void {
  distortInto(out, o, lens.distortion, (u - lens.cx) / lens.fx, (v - lens.cy) / lens.fy);
  out[o] = lens.fx * out[o] + lens.cx;
  out[o + 1] = lens.fy * out[o + 1] + lens.cy;
}

/** The ideal pixel of a raw one; false and NaN where the lens cannot be inverted. */
export function idealPixelInto(out: Float64Array, o: number, lens: PixelLens, u: number, v: number): boolean {
  const found = undistortNormalisedInto(out, o, lens.distortion, (u - lens.cx) / lens.fx, (v - lens.cy) / lens.fy);
  out[o] = lens.fx * out[o] + lens.cx;
  out[o + 1] = lens.fy * out[o + 1] + lens.cy;
  return found;
}

/**
 * Ideal pixels of raw ones, 2 × n interleaved. NaN where a pixel is NaN or the lens cannot be inverted.
 * For pixels to be used apart from a rig; a rig whose cameras have `pixelLens` takes raw pixels.
 */
export function undistortPixels(pixels: Float64Array, lens: PixelLens): Float64Array {
  const ideal = new Float64Array(pixels.length);
  for (let o = 0; o < pixels.length; o += 2) idealPixelInto(ideal, o, lens, pixels[o], pixels[o + 1]);
  return ideal;
}

function rawPixelWithJacobianInto(
  uv: Float64Array,
  o: number,
  j: Float64Array,
  lens: PixelLens,
  u: number,
  v: number,
): void {
  distortWithJacobianInto(uv, o, j, 0, lens.distortion, (u - lens.cx) / lens.fx, (v - lens.cy) / lens.fy);
  uv[o] = lens.fx * uv[o] + lens.cx;
  uv[o + 1] = lens.fy * uv[o + 1] + lens.cy;
  j[1] *= lens.fx / lens.fy;
  j[2] *= lens.fy / lens.fx;
}
