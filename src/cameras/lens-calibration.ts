import {
  boardFocalUncertain,
  boardImagesTooFew,
  boardNotTilted,
  lensDoesNotCoverImage,
  openCvUnfit,
} from '../messages/cameras.ts';
import { rotationFromVector } from '../numerics/rotation.ts';
import { type Board, type BoardImage, boardPoints, checkBoard, cornersFound } from './board.ts';
import { projectInto } from './camera-model.ts';
import type { OpenCv } from './cv.d.ts';
import { coversImage } from './image-cover.ts';
import { loadOpenCv, withOpenCv } from './opencv.ts';
import { type Camera, type Distortion, NO_DISTORTION } from './rig.ts';

export interface ImageSize {
  readonly width: number;
  readonly height: number;
}

/** Distortion terms fitted beside f and principal point; the rest is 0. */
export type BoardDistortion = 'k1' | 'k1 k2' | 'k1 k2 p1 p2' | 'k1 k2 p1 p2 k3';

/** `BoardDistortion`, or no distortion at all. */
export type BoardTerms = 'none' | BoardDistortion;

export interface LensCalibration {
  readonly camera: string;
  readonly imageSize: ImageSize;
  readonly fx: number;
  readonly fy: number;
  readonly cx: number;
  readonly cy: number;
  readonly distortion: Distortion;
  /** Standard deviations of fx fy cx cy k1 k2 p1 p2 k3; 0 where a term was held. */
  readonly standardDeviations: Float64Array;
  /** Root mean square distance over all corners, px. */
  readonly rmsPx: number;
  readonly views: readonly LensView[];
}

export interface LensView {
  readonly image: string;
  readonly rmsPx: number;
  /** cameraFromBoard: row-major 3 × 3, and metres. */
  readonly rotation: Float64Array;
  readonly translation: Float64Array;
}

/** Images of one camera below which its lens is not fitted. Two determine it in theory (Zhang 2000, skew 0). Common practice, no source. */
export const FEWEST_BOARD_IMAGES = 3;
/** Corners below which an image is not used. Common practice, no source. */
export const FEWEST_CORNERS = 6;
/** Largest angle between two boards' normals below which they count as parallel, degrees. Common practice, no source. */
export const LEAST_TILT_DEG = 10;
/** Standard deviation of a focal length over itself above which the images are refused. Common practice, no source. */
export const FOCAL_LIMIT = 0.05;

/**
 * Lens of one camera from images of a board: Zhang (2000) as implemented by OpenCV 5.0 `calibrateCameraExtended`, skew 0,
 * k3 held at 0 unless asked for. Images with fewer than FEWEST_CORNERS corners are left out; `image` of the result says
 * which were used. All `images` must be of one camera.
 */
export async function calibrateLens(
  images: readonly BoardImage[],
  board: Board,
  imageSize: ImageSize,
  terms: BoardDistortion = 'k1 k2 p1 p2',
): Promise<LensCalibration> {
  const lens = await lensOfViews(images, board, imageSize, terms);
  refuseBadLens(lens);
  return lens;
}

/** `calibrateLens` without a judgement of the result. Errors: board-size-wrong, board-images-too-few. */
export async function lensOfViews(
  images: readonly BoardImage[],
  board: Board,
  imageSize: ImageSize,
  terms: BoardDistortion,
): Promise<LensCalibration> {
  checkBoard(board);
  const usable = images.filter((image) => cornersFound(image).length >= FEWEST_CORNERS);
  const camera = images[0]?.camera ?? '';
  if (usable.length < FEWEST_BOARD_IMAGES) throw boardImagesTooFew(camera, usable.length, FEWEST_BOARD_IMAGES);
  return lensFromViews(await checkedOpenCv(), usable, board, imageSize, terms);
}

/** Errors: board-not-tilted, board-focal-uncertain, lens-does-not-cover-image. */
export function refuseBadLens(lens: LensCalibration): void {
  // Parallel boards leave the focal length free (Zhang 2000, sec. 3.2), and noise then finds a wrong one with a small
  // standard deviation: the tilt must be looked at for itself.
  const { camera } = lens;
  const tiltDeg = tiltRange(lens.views);
  if (tiltDeg < LEAST_TILT_DEG) throw boardNotTilted(camera, tiltDeg, LEAST_TILT_DEG);
  const worst = Math.max(lens.standardDeviations[0] / lens.fx, lens.standardDeviations[1] / lens.fy);
  if (!(worst <= FOCAL_LIMIT)) throw boardFocalUncertain(camera, lens.fx, worst * lens.fx, FOCAL_LIMIT);
  if (!coversImage(cameraWithLens(lens))) throw lensDoesNotCoverImage(camera, lens.distortion);
}

/** Largest angle between the normals of two boards, degrees. */
export function tiltRange(views: readonly LensView[]): number {
  let least = 1;
  for (const { rotation: a } of views) {
    for (const { rotation: b } of views) least = Math.min(least, a[2] * b[2] + a[5] * b[5] + a[8] * b[8]);
  }
  return (Math.acos(Math.max(-1, least)) * 180) / Math.PI;
}

/** The lens as a camera at the world's origin, looking along +Z. */
export function cameraWithLens(lens: LensCalibration): Camera {
  const { camera, imageSize, fx, fy, cx, cy, distortion } = lens;
  return {
    name: camera,
    imageWidth: imageSize.width,
    imageHeight: imageSize.height,
    fx,
    fy,
    cx,
    cy,
    skew: 0,
    distortion,
    rotation: Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1),
    translation: new Float64Array(3),
  };
}

function lensFromViews(
  cv: OpenCv,
  images: readonly BoardImage[],
  board: Board,
  imageSize: ImageSize,
  terms: BoardDistortion,
): LensCalibration {
  const camera = images[0].camera;
  const points = boardPoints(board);
  return withOpenCv(cv, `camera ${camera}`, (keep) => {
    const objectPoints = keep(new cv.MatVector());
    const imagePoints = keep(new cv.MatVector());
    for (const image of images) {
      const found = cornersFound(image);
      const world = found.flatMap((corner) => [...points.subarray(3 * corner, 3 * corner + 3)]);
      const pixels = found.flatMap((corner) => [...image.corners.subarray(2 * corner, 2 * corner + 2)]);
      objectPoints.push_back(keep(cv.matFromArray(found.length, 1, cv.CV_32FC3, world)));
      imagePoints.push_back(keep(cv.matFromArray(found.length, 1, cv.CV_32FC2, pixels)));
    }
    const [k, d, deviations, poseDeviations, perView] = Array.from({ length: 5 }, () => keep(new cv.Mat()));
    const rotations = keep(new cv.MatVector());
    const translations = keep(new cv.MatVector());
    const rmsPx = cv.calibrateCameraExtended(
      objectPoints,
      imagePoints,
      new cv.Size(imageSize.width, imageSize.height),
      k,
      d,
      rotations,
      translations,
      deviations,
      poseDeviations,
      perView,
      flagsFor(cv, terms),
      new cv.TermCriteria(cv.TermCriteria_COUNT + cv.TermCriteria_EPS, 200, 1e-12),
    );
    const vectorAt = (vector: typeof rotations, i: number) => keep(vector.get(i)).data64F.slice(0, 3);
    return {
      camera,
      imageSize,
      fx: k.data64F[0],
      fy: k.data64F[4],
      cx: k.data64F[2],
      cy: k.data64F[5],
      distortion: [...d.data64F.slice(0, 5)] as unknown as Distortion,
      standardDeviations: deviations.data64F.slice(0, 9),
      rmsPx,
      views: images.map((image, i) => ({
        image: image.image,
        rmsPx: perView.data64F[i],
        rotation: rotationFromVector(vectorAt(rotations, i)),
        translation: vectorAt(translations, i),
      })),
    };
  });
}

function flagsFor(cv: OpenCv, terms: BoardDistortion): number {
  let flags = 0;
  if (!terms.includes('k3')) flags |= cv.CALIB_FIX_K3;
  if (!terms.includes('k2')) flags |= cv.CALIB_FIX_K2;
  if (!terms.includes('p1')) flags |= cv.CALIB_ZERO_TANGENT_DIST;
  return flags;
}

let checked: Promise<OpenCv> | undefined;

/** opencv.js after a self-check: a lens of known focal length must come back from four exact views. */
function checkedOpenCv(): Promise<OpenCv> {
  checked ??= loadOpenCv().then((cv) => {
    selfCheck(cv);
    return cv;
  });
  return checked;
}

const CHECK_FOCAL_PX = 800;
const CHECK_TOLERANCE_PX = 0.05;

function selfCheck(cv: OpenCv): void {
  const board: Board = { columns: 6, rows: 5, squareSizeM: 0.04 };
  const imageSize = { width: 640, height: 480 };
  const points = boardPoints(board);
  const tilts = [
    [0.4, 0, 0.1],
    [-0.4, 0.1, 0],
    [0, 0.5, 0.2],
    [0.1, -0.5, -0.1],
  ];
  const images = tilts.map((tilt, i): BoardImage => {
    const camera: Camera = {
      name: 'self-check',
      imageWidth: imageSize.width,
      imageHeight: imageSize.height,
      fx: CHECK_FOCAL_PX,
      fy: CHECK_FOCAL_PX,
      cx: 320,
      cy: 240,
      skew: 0,
      distortion: NO_DISTORTION,
      rotation: rotationFromVector(tilt),
      translation: Float64Array.of(-0.1, -0.08, 0.6),
    };
    const corners = new Float64Array(2 * board.columns * board.rows);
    for (let corner = 0; 3 * corner < points.length; corner++) {
      projectInto(corners, 2 * corner, camera, points[3 * corner], points[3 * corner + 1], 0);
    }
    return { camera: 'self-check', image: String(i), corners };
  });
  const { fx } = lensFromViews(cv, images, board, imageSize, 'k1');
  if (!(Math.abs(fx - CHECK_FOCAL_PX) < CHECK_TOLERANCE_PX)) {
    throw openCvUnfit(`it returns a focal length of ${fx.toFixed(2)} px from exact images at ${CHECK_FOCAL_PX} px`);
  }
}
