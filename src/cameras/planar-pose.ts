import { nearestRotation } from '../numerics/rotation.ts';
import { eigenSymmetric } from '../numerics/symmetric-eigen.ts';
import { undistortInto } from './camera-model.ts';
import { fitCamera } from './fit-camera.ts';
import type { Pose } from './pose.ts';
import type { Camera } from './rig.ts';

export interface PlanarPose extends Pose {
  /** Root mean square distance, px. */
  readonly rmsPx: number;
}

/**
 * Pose (cameraFromBoard) of a flat board seen through a known lens, by least squares on pixels.
 *
 * points: 3 × n, metres, z = 0, n ≥ 4, not on a line; pixels: 2 × n. Start: the homography of the undistorted points
 * (direct linear transformation; Hartley & Zisserman 2004, algorithm 4.2) is [r1 r2 t] up to scale (Zhang 2000, §3.1).
 * Seen from far a plane has two poses of nearly equal fit, mirrored about the line of sight; both are refined and the better
 * one is returned. Null where the lens cannot be inverted at a pixel or the points do not determine a homography.
 */
export function planarPose(camera: Camera, points: Float64Array, pixels: Float64Array): PlanarPose | null {
  const rays = new Float64Array(pixels.length);
  for (let o = 0; o < pixels.length; o += 2) {
    if (!undistortInto(rays, o, camera, pixels[o], pixels[o + 1])) return null;
  }
  const homography = planeHomography(points, rays);
  if (homography === null) return null;
  const first = poseOfHomography(homography, points);
  let best: PlanarPose | null = null;
  for (const start of [first, mirrored(first, points)]) {
    const placed = { ...camera, ...start };
    if (!inFront(placed, points)) continue;
    const fit = fitCamera(placed, points, pixels, []);
    const { rotation, translation } = fit.camera;
    if (best === null || fit.rmsPx < best.rmsPx) best = { rotation, translation, rmsPx: fit.rmsPx };
  }
  return best;
}

/** Row-major 3 × 3 that carries (x, y, 1) of the plane to a ray up to scale, or null where it is not determined. */
function planeHomography(points: Float64Array, rays: Float64Array): Float64Array | null {
  const n = rays.length / 2;
  const plane = Float64Array.from({ length: 2 * n }, (_, i) => points[3 * (i >> 1) + (i & 1)]);
  const from = normalisation(plane);
  const to = normalisation(rays);
  const normal = new Float64Array(81);
  const rows = [new Float64Array(9), new Float64Array(9)];
  for (let i = 0; i < n; i++) {
    const x = (plane[2 * i] - from.x) / from.scale;
    const y = (plane[2 * i + 1] - from.y) / from.scale;
    const u = (rays[2 * i] - to.x) / to.scale;
    const v = (rays[2 * i + 1] - to.y) / to.scale;
    rows[0].set([x, y, 1, 0, 0, 0, -u * x, -u * y, -u]);
    rows[1].set([0, 0, 0, x, y, 1, -v * x, -v * y, -v]);
    for (const row of rows) for (let a = 0; a < 81; a++) normal[a] += row[Math.floor(a / 9)] * row[a % 9];
  }
  const { values, vectors } = eigenSymmetric(normal, 9);
  if (!(values[1] > 1e-12 * values[8])) return null;
  const h = Float64Array.from({ length: 9 }, (_, i) => vectors[9 * i]);
  // ray = T⁻¹ H S plane: undo both normalisations.
  const out = new Float64Array(9);
  for (let row = 0; row < 3; row++) {
    const scale = row < 2 ? to.scale : 1;
    const shift = row === 0 ? to.x : row === 1 ? to.y : 0;
    for (let c = 0; c < 3; c++) out[3 * row + c] = scale * h[3 * row + c] + shift * h[6 + c];
    const [a, b] = [out[3 * row] / from.scale, out[3 * row + 1] / from.scale];
    out[3 * row + 2] -= a * from.x + b * from.y;
    out[3 * row] = a;
    out[3 * row + 1] = b;
  }
  return out;
}

function normalisation(values: Float64Array): { x: number; y: number; scale: number } {
  const n = values.length / 2;
  let x = 0;
  let y = 0;
  for (let i = 0; i < n; i++) {
    x += values[2 * i] / n;
    y += values[2 * i + 1] / n;
  }
  let squares = 0;
  for (let i = 0; i < n; i++) squares += (values[2 * i] - x) ** 2 + (values[2 * i + 1] - y) ** 2;
  return { x, y, scale: Math.sqrt(squares / (2 * n)) || 1 };
}

function poseOfHomography(h: Float64Array, points: Float64Array): Pose {
  const length = Math.sqrt(Math.hypot(h[0], h[3], h[6]) * Math.hypot(h[1], h[4], h[7]));
  // The sign that puts the first point in front.
  const sign = h[6] * points[0] + h[7] * points[1] + h[8] > 0 ? 1 : -1;
  const s = sign / length;
  const a = [s * h[0], s * h[3], s * h[6]];
  const b = [s * h[1], s * h[4], s * h[7]];
  const c = [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
  const rotation = nearestRotation(Float64Array.of(a[0], b[0], c[0], a[1], b[1], c[1], a[2], b[2], c[2]));
  return { rotation, translation: Float64Array.of(s * h[2], s * h[5], s * h[8]) };
}

/** The other pose of nearly equal image: the board's normal mirrored about the line of sight to the board's middle. */
function mirrored({ rotation: r, translation: t }: Pose, points: Float64Array): Pose {
  const n = points.length / 3;
  const middle = [0, 0];
  for (let i = 0; i < n; i++) for (let k = 0; k < 2; k++) middle[k] += points[3 * i + k] / n;
  const at = [0, 1, 2].map((k) => r[3 * k] * middle[0] + r[3 * k + 1] * middle[1] + t[k]);
  const distance = Math.hypot(...at);
  const sight = at.map((x) => x / distance);
  // Half a turn about the line of sight, then half a turn of the board about its own normal: the picture of a far board stays.
  const half = new Float64Array(9);
  for (let i = 0; i < 3; i++) for (let j = 0; j < 3; j++) half[3 * i + j] = 2 * sight[i] * sight[j] - (i === j ? 1 : 0);
  const rotation = new Float64Array(9);
  for (let i = 0; i < 3; i++) {
    for (let j = 0; j < 3; j++) {
      let sum = 0;
      for (let k = 0; k < 3; k++) sum += half[3 * i + k] * r[3 * k + j];
      rotation[3 * i + j] = j < 2 ? -sum : sum;
    }
  }
  const turnedMiddle = [0, 1, 2].map((k) => rotation[3 * k] * middle[0] + rotation[3 * k + 1] * middle[1]);
  return { rotation, translation: Float64Array.from(at, (x, k) => x - turnedMiddle[k]) };
}

function inFront({ rotation: r, translation: t }: Camera, points: Float64Array): boolean {
  for (let o = 0; o < points.length; o += 3) {
    if (!(r[6] * points[o] + r[7] * points[o + 1] + r[8] * points[o + 2] + t[2] > 0)) return false;
  }
  return true;
}
