import { boardImagesTooFew } from '../messages/cameras.ts';
import { imageDoesNotFitLens } from '../messages/lenses.ts';
import { median } from '../numerics/statistics.ts';
import { type Board, type BoardImage, boardPoints, cornersFound } from './board.ts';
import type { DroppedView } from './calibration.ts';
import { chooseDistortion, type DistortionChoice } from './distortion-choice.ts';
import {
  type BoardTerms,
  cameraWithLens,
  FEWEST_CORNERS,
  type ImageSize,
  type LensCalibration,
  type LensView,
  lensOfViews,
  refuseBadLens,
} from './lens-calibration.ts';
import type { KnownLensRecord } from './lens-file.ts';
import { type LensFit, refineLens } from './lens-fit.ts';
import { planarPose } from './planar-pose.ts';

export interface BoardLens extends LensFit {
  /** Null where the terms were given. */
  readonly choice: DistortionChoice | null;
  readonly dropped: readonly DroppedView[];
}

export interface BoardLensOptions {
  /** Default 'auto': `chooseDistortion`. */
  readonly distortion?: BoardTerms | 'auto';
  /** Default 'dropped', each with its reason; 'kept' = every image counts. */
  readonly outliers?: 'dropped' | 'kept';
}

/** An image whose corners miss by more than this multiple of the camera's median image is left out. Common practice, no source. */
const OUTLIER_TIMES = 4;
/** And by at least this much, px: below it even a poor image does no harm. Common practice, no source. */
const OUTLIER_PX = 0.5;
/** Most images, of all, that may be left out before the set is refused. Common practice, no source. */
const OUTLIER_SHARE = 1 / 3;

/**
 * Lens of one camera from images of a board: a start by OpenCV (Zhang 2000), images that contradict the others left out by
 * name, the fewest distortion terms that predict unseen images, and the last fit with the covariance of all parameters.
 * Errors: board-images-too-few, board-not-tilted, board-focal-uncertain, lens-does-not-cover-image, image-does-not-fit-lens.
 */
export async function fitBoardLens(
  images: readonly BoardImage[],
  board: Board,
  imageSize: ImageSize,
  { distortion = 'auto', outliers = 'dropped' }: BoardLensOptions = {},
): Promise<BoardLens> {
  const dropped: DroppedView[] = [];
  let kept = images.filter((image) => cornersFound(image).length >= FEWEST_CORNERS);
  for (;;) {
    const start = await lensOfViews(kept, board, imageSize, 'k1 k2');
    const rough = refineLens(kept, board, { ...start, camera: cameraWithLens(start) }, 'k1 k2');
    const outlier = outliers === 'kept' ? null : worstOutlier(rough.views);
    if (outlier === null) {
      const choice = distortion === 'auto' ? chooseDistortion(kept, board, rough) : null;
      const fit = refineLens(kept, board, rough, choice?.terms ?? (distortion as BoardTerms));
      refuseBadLens(lensCalibrationOf(fit, imageSize));
      return { ...fit, choice, dropped };
    }
    if (dropped.length + 1 > OUTLIER_SHARE * images.length) {
      throw imageDoesNotFitLens(start.camera, outlier.image, outlier.rmsPx, outlier.limitPx, dropped.length);
    }
    dropped.push({ camera: start.camera, image: outlier.image, reason: outlier.reason });
    kept = kept.filter((image) => image.image !== outlier.image);
  }
}

function worstOutlier(views: readonly LensView[]) {
  const limitPx = Math.max(OUTLIER_PX, OUTLIER_TIMES * median(views.map((view) => view.rmsPx)));
  const worst = views.reduce((a, b) => (b.rmsPx > a.rmsPx ? b : a));
  if (worst.rmsPx <= limitPx) return null;
  const reason = `its corners miss by ${worst.rmsPx.toFixed(2)} px r.m.s. (limit ${limitPx.toFixed(2)} px, ${OUTLIER_TIMES} times the median image)`;
  return { image: worst.image, rmsPx: worst.rmsPx, limitPx, reason };
}

/** The fit in the form in which links and reports take a lens. */
export function lensCalibrationOf(fit: LensFit, imageSize: ImageSize): LensCalibration {
  const { camera, parameters, covariance, rmsPx, views } = fit;
  const sd = new Float64Array(9);
  parameters.forEach((parameter, k) => {
    const at = ALL_TERMS.indexOf(parameter);
    const value = Math.sqrt(covariance[k * (parameters.length + 1)]);
    if (parameter === 'f') sd.fill(value, 0, 2);
    else sd[at] = value;
  });
  const { name, fx, fy, cx, cy, distortion } = camera;
  return { camera: name, imageSize, fx, fy, cx, cy, distortion, standardDeviations: sd, rmsPx, views };
}

const ALL_TERMS: readonly string[] = ['fx', 'fy', 'cx', 'cy', 'k1', 'k2', 'p1', 'p2', 'k3'];

/** The board's poses before a camera whose lens is known, image by image; images with too few corners are left out. */
export function posesUnderLens(images: readonly BoardImage[], board: Board, known: KnownLensRecord): LensCalibration {
  const all = boardPoints(board);
  const views: LensView[] = [];
  let squares = 0;
  let count = 0;
  for (const image of images) {
    const seen = cornersFound(image);
    if (seen.length < FEWEST_CORNERS) continue;
    const points = Float64Array.from(seen.flatMap((corner) => [...all.subarray(3 * corner, 3 * corner + 3)]));
    const pixels = Float64Array.from(seen.flatMap((corner) => [...image.corners.subarray(2 * corner, 2 * corner + 2)]));
    const pose = planarPose(known.camera, points, pixels);
    if (pose === null) continue;
    views.push({ image: image.image, ...pose });
    squares += seen.length * pose.rmsPx ** 2;
    count += seen.length;
  }
  const { camera, covariance, parameters } = known;
  if (views.length === 0) throw boardImagesTooFew(camera.name, 0, 1);
  const imageSize = { width: camera.imageWidth, height: camera.imageHeight };
  const fit = { camera, terms: 'none' as const, parameters, covariance, rmsPx: Math.sqrt(squares / count), views };
  return lensCalibrationOf(fit, imageSize);
}
