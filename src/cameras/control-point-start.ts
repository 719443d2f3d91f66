import { lensDoesNotCoverImage } from '../messages/cameras.ts';
import { nearestRotation } from '../numerics/rotation.ts';
import { undistortInto, undistortPixels } from './camera-model.ts';
import { MISFIT_LIMIT, type SeenControlPoints, startingCamera } from './control-point-checks.ts';
import { dltHomogeneous } from './dlt.ts';
import { decomposeProjection } from './projection-matrix.ts';
import { type Camera, type Distortion, NO_DISTORTION } from './rig.ts';

/** The same points in one camera's picture: label → (u, v) px, (0, 0) = centre of the top-left pixel, y down. */
export interface ControlPointView {
  readonly camera: string;
  readonly imageWidth: number;
  readonly imageHeight: number;
  readonly pixels: ReadonlyMap<string, readonly [number, number]>;
  /** A lens known from elsewhere (for instance from a board): then only the pose is fitted. */
  readonly lens?: KnownLens;
}

export interface KnownLens {
  readonly fx: number;
  readonly fy: number;
  readonly cx: number;
  readonly cy: number;
  readonly distortion: Distortion;
}

/** R.m.s. residual above which labels are taken to be wrong, px. */
export function misfitLimitPx(view: ControlPointView): number {
  return MISFIT_LIMIT * Math.hypot(view.imageWidth, view.imageHeight);
}

/** Cameras from which the refinement starts, from the DLT; refusals as in `startingCamera`. */
export function startingCameras(seen: SeenControlPoints, view: ControlPointView): Camera[] {
  return view.lens === undefined ? withoutLens(seen, view) : [withLens(seen, view, view.lens)];
}

/**
 * Two starting cameras: K as the DLT has it, and a usual lens (focal length 1.2 × the longer side, centred), because with
 * few or noisy points the K of the DLT can be far off while its pose is good.
 */
function withoutLens(seen: SeenControlPoints, view: ControlPointView): Camera[] {
  const found = startingCamera(seen, misfitLimitPx(view));
  const f = Math.sqrt(found.fx * found.fy);
  const asFound = { fx: f, fy: f, cx: found.cx, cy: found.cy };
  const usualFocal = 1.2 * Math.max(view.imageWidth, view.imageHeight);
  const usual = {
    fx: usualFocal,
    fy: usualFocal,
    cx: (view.imageWidth - 1) / 2,
    cy: (view.imageHeight - 1) / 2,
  };
  const pose = poseUnderLens(seen, { ...usual, distortion: NO_DISTORTION }, view);
  return [
    plainCamera(view, { ...asFound, distortion: NO_DISTORTION }, found.rotation, found.translation),
    ...(pose === null ? [] : [pose]),
  ];
}

function withLens(seen: SeenControlPoints, view: ControlPointView, lens: KnownLens): Camera {
  // Distorted pixels would look like a bad fit: the DLT is given what an ideal camera would have seen.
  const ideal = { ...seen, pixels: undistortPixels(seen.pixels, lens) };
  if (!ideal.pixels.every(Number.isFinite)) throw lensDoesNotCoverImage(view.camera, lens.distortion);
  const found = startingCamera(ideal, misfitLimitPx(view));
  return poseUnderLens(seen, lens, view) ?? plainCamera(view, lens, found.rotation, found.translation);
}

/** The camera with the given lens whose pose follows from the DLT of undistorted pixels; null where a point ends up behind it. */
function poseUnderLens(seen: SeenControlPoints, lens: KnownLens, view: ControlPointView): Camera | null {
  const identity = plainCamera(view, lens, Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1), new Float64Array(3));
  const normalised = new Float64Array(seen.pixels.length);
  for (let o = 0; o < normalised.length; o += 2) {
    if (!undistortInto(normalised, o, identity, seen.pixels[o], seen.pixels[o + 1])) return null;
  }
  let { matrix } = dltHomogeneous(seen.points, normalised);
  const depth = matrix[8] * seen.points[0] + matrix[9] * seen.points[1] + matrix[10] * seen.points[2] + matrix[11];
  if (depth < 0) matrix = matrix.map((x) => -x);
  if (decomposeProjection(matrix).handedness < 0) return null;
  const rotation = nearestRotation([0, 1, 2, 4, 5, 6, 8, 9, 10].map((i) => matrix[i]));
  const scale = Math.cbrt(Math.abs(determinant(matrix)));
  const camera = plainCamera(view, lens, rotation, Float64Array.of(...[3, 7, 11].map((i) => matrix[i] / scale)));
  return allInFront(camera, seen.points) ? camera : null;
}

function determinant(p: Float64Array): number {
  return p[0] * (p[5] * p[10] - p[6] * p[9]) - p[1] * (p[4] * p[10] - p[6] * p[8]) + p[2] * (p[4] * p[9] - p[5] * p[8]);
}

function allInFront(camera: Camera, points: Float64Array): boolean {
  const r = camera.rotation;
  for (let o = 0; o < points.length; o += 3) {
    if (r[6] * points[o] + r[7] * points[o + 1] + r[8] * points[o + 2] + camera.translation[2] <= 0) return false;
  }
  return true;
}

function plainCamera(
  view: ControlPointView,
  lens: KnownLens,
  rotation: Float64Array,
  translation: Float64Array,
): Camera {
  const { fx, fy, cx, cy, distortion } = lens;
  return {
    name: view.camera,
    imageWidth: view.imageWidth,
    imageHeight: view.imageHeight,
    fx,
    fy,
    cx,
    cy,
    skew: 0,
    distortion,
    rotation,
    translation,
  };
}
