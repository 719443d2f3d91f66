import { plumbLineCameraUnknown, plumbLineShort, plumbLinesTooFew } from '../../messages/moving-points.ts';
import { eigenSymmetric } from '../../numerics/symmetric-eigen.ts';
import { undistortInto } from '../camera-model.ts';
import type { Camera } from '../rig.ts';
import {
  basisAcross,
  crossed,
  dot,
  roundCovariance,
  type VerticalEstimate,
  verticalEstimate,
} from './vertical-estimate.ts';

/** Points marked on one vertical thing in one camera's picture: a hanging string, a door frame, an upright of a rack. */
export interface PlumbLine {
  readonly camera: string;
  /** 2 × n, n ≥ 2, px, anywhere along the line; raw pixels, the lens is taken off here. */
  readonly pixels: Float64Array;
}

export interface PlumbOptions {
  /** What it is, in plain words; stands in the rig's notes. */
  readonly what?: string;
  /** How plumb the thing itself is, standard deviation per axis, degrees. A string at rest: PLUMB_STRING_SD_DEG. */
  readonly plumbSdDeg: number;
  /** Standard deviation of a marked pixel across the line. */
  readonly pixelSdPx: number;
  /** Standard deviation of the other cameras' directions against the first, degrees (from the rig's covariance). */
  readonly cameraSdDeg?: number;
}

/** A weight at rest on a string. Common practice, no source. */
export const PLUMB_STRING_SD_DEG = 0.05;
/** Points of a line must span this many pixels: 1 px over 100 px is 0.6°. Common practice, no source. */
export const SHORTEST_LINE_PX = 100;
/** The planes of two lines must differ by this angle for the direction to be determined. Common practice, no source. */
const LEAST_PLANE_ANGLE_DEG = 5;

/**
 * Straight up from lines known to be vertical: camera and line span a plane that holds the vertical, so with unit normals m
 * of these planes (rig frame) m · up = 0 for all of them; up is the weighted least-squares solution Σ (m · up)² / σ² → min.
 *
 * A plane's normal errs by σ = pixel error over the length of the marked line (of its fitted direction), the camera's own
 * turn, and nothing else. Two planes at least: one line in two cameras, or two separate verticals in one. Up and down are
 * told apart by the pictures: the cameras stand upright to within 60°.
 */
export function verticalFromPlumbLines(
  cameras: readonly Camera[],
  lines: readonly PlumbLine[],
  { what = 'plumb line', plumbSdDeg, pixelSdPx, cameraSdDeg = 0 }: PlumbOptions,
): VerticalEstimate {
  const planes = lines.map((line) => planeOf(cameras, line, pixelSdPx, (cameraSdDeg * Math.PI) / 180));
  const normal = new Float64Array(9);
  for (const { m, sd } of planes) for (let k = 0; k < 9; k++) normal[k] += (m[Math.floor(k / 3)] * m[k % 3]) / sd ** 2;
  const largest = largestAngle(planes.map(({ m }) => m));
  if (planes.length < 2 || largest < LEAST_PLANE_ANGLE_DEG) {
    throw plumbLinesTooFew(what, planes.length, largest, LEAST_PLANE_ANGLE_DEG);
  }
  const { vectors } = eigenSymmetric(normal, 3);
  const axis = [vectors[0], vectors[3], vectors[6]];
  const upright = cameras[0].rotation;
  // The picture's upward direction of the first camera in the rig's frame: minus the second row of R.
  const sign = -(axis[0] * upright[3] + axis[1] * upright[4] + axis[2] * upright[5]) >= 0 ? 1 : -1;
  const up = axis.map((x) => sign * x);
  // Covariance of up across itself: inverse of aᵀ N a in the plane across up.
  const { a, b } = basisAcross(up);
  const n = [form(normal, a, a), form(normal, a, b), form(normal, b, b)];
  const det = n[0] * n[2] - n[1] * n[1];
  const own = roundCovariance(up, (plumbSdDeg * Math.PI) / 180);
  const covariance = own.map((x, k) => {
    const [i, j] = [Math.floor(k / 3), k % 3];
    return x + (n[2] * a[i] * a[j] - n[1] * (a[i] * b[j] + b[i] * a[j]) + n[0] * b[i] * b[j]) / det;
  });
  return verticalEstimate(what, up, covariance);
}

const form = (m: ArrayLike<number>, a: ArrayLike<number>, b: ArrayLike<number>): number => {
  let sum = 0;
  for (let i = 0; i < 3; i++) for (let j = 0; j < 3; j++) sum += a[i] * m[3 * i + j] * b[j];
  return sum;
};

/** Plane of camera and line: unit normal in the rig's frame, and standard deviation of a direction lying in it, rad. */
function planeOf(cameras: readonly Camera[], line: PlumbLine, pixelSdPx: number, cameraSdRad: number) {
  const camera = cameras.find(({ name }) => name === line.camera);
  if (camera === undefined)
    throw plumbLineCameraUnknown(
      line.camera,
      cameras.map(({ name }) => name),
    );
  const n = line.pixels.length / 2;
  const span = spanPx(line.pixels);
  if (n < 2 || !(span >= SHORTEST_LINE_PX)) throw plumbLineShort(line.camera, n, span, SHORTEST_LINE_PX);
  const scatter = new Float64Array(9);
  const ray = new Float64Array(3);
  for (let i = 0; i < n; i++) {
    ray[2] = 1;
    if (!undistortInto(ray, 0, camera, line.pixels[2 * i], line.pixels[2 * i + 1])) continue;
    const length = Math.hypot(ray[0], ray[1], 1);
    for (let k = 0; k < 9; k++) scatter[k] += (ray[Math.floor(k / 3)] * ray[k % 3]) / (length * length);
  }
  const { values, vectors } = eigenSymmetric(scatter, 3);
  const inCamera = [vectors[0], vectors[3], vectors[6]];
  // Along the line the rays spread with variance values[1] / n; a straight line through n points turns about its middle
  // by σ / √Σ s². Tilt of the plane about the middle ray is what moves the vertical in it.
  const sd = Math.hypot(pixelSdPx / camera.fx / Math.sqrt(values[1]), cameraSdRad);
  const r = camera.rotation;
  const m = [0, 1, 2].map((c) => r[c] * inCamera[0] + r[3 + c] * inCamera[1] + r[6 + c] * inCamera[2]);
  return { m, sd };
}

function spanPx(pixels: Float64Array): number {
  let span = 0;
  for (let i = 0; i < pixels.length; i += 2) {
    for (let j = 0; j < i; j += 2) {
      span = Math.max(span, Math.hypot(pixels[i] - pixels[j], pixels[i + 1] - pixels[j + 1]));
    }
  }
  return span;
}

function largestAngle(normals: readonly (readonly number[])[]): number {
  let largest = 0;
  for (const p of normals) {
    for (const q of normals) {
      largest = Math.max(largest, Math.asin(Math.min(1, Math.hypot(...crossed(p, q)))));
      if (dot(p, q) === 0) largest = Math.PI / 2;
    }
  }
  return (largest * 180) / Math.PI;
}
