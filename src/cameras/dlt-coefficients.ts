import type { FileAxes, LengthUnit } from '../capture/recording.ts';
import { dltAllMirrored, dltCoefficientMissing, dltCountWrong, dltNoCamera, dltSingular } from '../messages/cameras.ts';
import { dltMatrix } from './dlt.ts';
import { type DecomposedProjection, decomposeProjection } from './projection-matrix.ts';
import { type Camera, type CameraRig, type Distortion, NO_DISTORTION, type PixelLens } from './rig.ts';
import { projectionToWorld, worldFromFile } from './world-axes.ts';

export interface DltConvention {
  readonly imageWidth: number;
  readonly imageHeight: number;
  /**
   * Which way the coefficients' second pixel coordinate grows. 'up': row = height − 1 − v, so that v = 0 is the centre of
   * the bottom row; a source that counts from the picture's lower edge is half a pixel off, which cancels as long as the
   * keypoints are turned over by the same formula.
   */
  readonly pixelY: 'up' | 'down';
  readonly unit: LengthUnit;
  readonly axes: FileAxes;
  /** Height of the floor along the file's up axis, file units. */
  readonly floorHeight?: number;
  /**
   * Where the coefficients hold for undistorted pixels: the lens, in the coefficients' own pixel coordinates (its cy and
   * p1 turn over with `pixelY: up`). The camera then takes raw pixels.
   */
  readonly lens?: PixelLens;
  /** A point seen by the cameras, file units; default the origin. It tells front from back. */
  readonly pointInView?: readonly [number, number, number];
}

/** Coefficients of one camera, L1 … L11. */
export interface PublishedDlt {
  readonly name: string;
  readonly coefficients: ArrayLike<number>;
}

/**
 * One camera from L1 … L11 (Abdel-Aziz & Karara 1971). The projective camera is kept exactly: K with skew, R, t of the
 * RQ decomposition. The sign is chosen so that R is a rotation; `inFront` says whether `pointInView` then has a positive
 * depth. Throws a DataError where the coefficients are incomplete or singular.
 */
export function cameraFromDltCoefficients(
  published: PublishedDlt,
  convention: DltConvention,
): { camera: Camera; inFront: boolean } {
  const { name, coefficients } = published;
  if (coefficients.length !== 11) throw dltCountWrong(name, coefficients.length);
  for (let i = 0; i < 11; i++) if (!Number.isFinite(coefficients[i])) throw dltCoefficientMissing(name, i + 1);
  const world = worldFromFile(convention.axes, convention.unit, convention.floorHeight);
  const flipped = turnRows(dltMatrix(coefficients), convention);
  const { found, sign } = decomposeEitherWay(projectionToWorld(flipped, world));
  if (![found.fx, found.fy, ...found.rotation, ...found.translation].every(Number.isFinite) || isSingular(found)) {
    throw dltSingular(name);
  }
  const camera: Camera = {
    name,
    imageWidth: convention.imageWidth,
    imageHeight: convention.imageHeight,
    fx: found.fx,
    fy: found.fy,
    cx: found.cx,
    cy: found.cy,
    skew: found.skew,
    distortion: NO_DISTORTION,
    ...(convention.lens === undefined ? {} : { pixelLens: lensInImage(convention.lens, convention) }),
    rotation: found.rotation,
    translation: found.translation,
  };
  return { camera, inFront: sign * depthOf(coefficients, convention.pointInView ?? [0, 0, 0]) > 0 };
}

/**
 * A rig from published coefficients. Where `pointInView` lies behind every camera the picture or the axes are mirrored:
 * `dltAllMirrored`. Where it lies behind some of them a note says which.
 */
export function rigFromDltCoefficients(published: readonly PublishedDlt[], convention: DltConvention): CameraRig {
  if (published.length === 0) throw dltNoCamera();
  const made = published.map((one) => cameraFromDltCoefficients(one, convention));
  const behind = made.filter((one) => !one.inFront).map((one) => one.camera.name);
  if (behind.length === made.length) throw dltAllMirrored(behind, convention.pixelY);
  const notes = behind.map(
    (name) =>
      `camera ${name}: the point taken as being in view (the origin unless another is given) lies behind it; give a point that all cameras see`,
  );
  for (const { camera } of made) notes.push(...remarks(camera));
  return {
    kneeward: 1,
    cameras: made.map((one) => one.camera),
    quality: { method: 'published dlt coefficients', reprojectionRmsPx: null, pointsUsed: null, notes },
    synthetic: false,
  };
}

/** Focal length over row length: 0.3 and more in cameras, some 1e-16 in coefficients that describe none. */
const ROUNDING = 1e-9;
/** Largest part of a focal length by which the two may differ, and the skew may amount to, without a note. */
const ODD_PIXEL = 0.02;
/** Part of the image from its centre beyond which a principal point is noted. */
const ODD_CENTRE = 0.15;

function remarks(camera: Camera): string[] {
  const notes: string[] = [];
  const { name, fx, fy, cx, cy, skew, imageWidth: w, imageHeight: h } = camera;
  if (Math.abs(fx / fy - 1) > ODD_PIXEL || Math.abs(skew / fx) > ODD_PIXEL) {
    notes.push(
      `camera ${name}: the coefficients imply focal lengths ${fx.toFixed(1)} and ${fy.toFixed(1)} px and skew ${skew.toFixed(1)} px, which no usual lens has: a sign of measurement error in them; kept as published`,
    );
  }
  if (Math.abs(cx - (w - 1) / 2) > ODD_CENTRE * w || Math.abs(cy - (h - 1) / 2) > ODD_CENTRE * h) {
    notes.push(
      `camera ${name}: the coefficients imply a principal point at (${cx.toFixed(0)}, ${cy.toFixed(0)}) px, far from the middle of a ${w} × ${h} image; kept as published`,
    );
  }
  return notes;
}

function decomposeEitherWay(p: Float64Array): { found: DecomposedProjection; sign: 1 | -1 } {
  const found = decomposeProjection(p);
  if (found.handedness === 1) return { found, sign: 1 };
  return { found: decomposeProjection(p.map((x) => -x)), sign: -1 };
}

/** True where a row of the left 3 × 3 part is, but for rounding, a sum of those below it. */
function isSingular({ fx, fy, cx, cy, skew }: DecomposedProjection): boolean {
  return !(fx > ROUNDING * Math.hypot(fx, skew, cx) && fy > ROUNDING * Math.hypot(fy, cy));
}

function depthOf(l: ArrayLike<number>, [x, y, z]: readonly [number, number, number]): number {
  return l[8] * x + l[9] * y + l[10] * z + 1;
}

/** v → height − 1 − v on the projection matrix, where the file counts rows upward. */
function turnRows(p: Float64Array, { pixelY, imageHeight }: DltConvention): Float64Array {
  if (pixelY === 'down') return p;
  const out = p.slice();
  for (let c = 0; c < 4; c++) out[4 + c] = (imageHeight - 1) * p[8 + c] - p[4 + c];
  return out;
}

/** The lens in image coordinates, y down: turning y over turns cy and the sign of p1. */
function lensInImage(lens: PixelLens, { pixelY, imageHeight }: DltConvention): PixelLens {
  if (pixelY === 'down') return lens;
  const [k1, k2, p1, p2, k3] = lens.distortion;
  const distortion: Distortion = [k1, k2, p1 === 0 ? 0 : -p1, p2, k3];
  return { ...lens, cy: imageHeight - 1 - lens.cy, distortion };
}
