import { type Board, type BoardImage, boardPoints, cornersFound } from './board.ts';
import { solveBundle } from './bundle.ts';
import type { BundleObservations, RobustLoss } from './bundle-problem.ts';
import type { FreeLensParameter } from './fit-camera.ts';
import type { BoardTerms, LensView } from './lens-calibration.ts';
import { type Camera, type Distortion, NO_DISTORTION } from './rig.ts';

/** One camera's lens and the places of the board before it. */
export interface LensFit {
  /** At the world's origin, looking along +Z. */
  readonly camera: Camera;
  readonly terms: BoardTerms;
  /** Fitted parameters in the order of `covariance`. */
  readonly parameters: readonly FreeLensParameter[];
  readonly covariance: Float64Array;
  /** Root mean square distance over all corners, px. */
  readonly rmsPx: number;
  /** cameraFromBoard, one an image. */
  readonly views: readonly LensView[];
}

/** The lens with these distortion terms and all board poses, by least squares on pixels from `start`. */
export function refineLens(
  images: readonly BoardImage[],
  board: Board,
  start: Pick<LensFit, 'camera' | 'views'>,
  terms: BoardTerms,
  loss: RobustLoss = { kind: 'none' },
): LensFit {
  const parameters = lensParameters(terms);
  const views = images.map((image) => start.views.find((view) => view.image === image.image)!);
  const points = boardPoints(board);
  const found = solveBundle({
    cameras: [{ camera: withTerms(start.camera, terms), poseFree: false, lensFree: parameters }],
    targets: views.map((view) => ({ kind: 'rigid', label: view.image, points, start: view })),
    observations: observationsOf(images, () => 0),
    loss,
  });
  let o = 0;
  return {
    camera: found.cameras[0],
    terms,
    parameters,
    covariance: lensCovariance(found.covariance, found.parameters.length, parameters.length),
    rmsPx: found.rmsPx,
    views: images.map((image, i) => {
      const n = cornersFound(image).length;
      let squares = 0;
      for (let k = 0; k < 2 * n; k++) squares += found.residuals[o++] ** 2;
      const pose = found.targets[i] as LensView;
      return {
        image: image.image,
        rmsPx: Math.sqrt(squares / n),
        rotation: pose.rotation,
        translation: pose.translation,
      };
    }),
  };
}

/** The corners of the images as observations; target = index of the image. */
export function observationsOf(
  images: readonly BoardImage[],
  cameraOf: (image: BoardImage) => number,
  targetOf: (image: BoardImage, index: number) => number = (_, index) => index,
): BundleObservations {
  const seen = images.map(cornersFound);
  const n = seen.reduce((sum, corners) => sum + corners.length, 0);
  const out = {
    camera: new Int32Array(n),
    target: new Int32Array(n),
    point: new Int32Array(n),
    pixel: new Float64Array(2 * n),
    sdPx: null,
    velocity: null,
    timeS: null,
  };
  let k = 0;
  images.forEach((image, i) => {
    for (const corner of seen[i]) {
      out.camera[k] = cameraOf(image);
      out.target[k] = targetOf(image, i);
      out.point[k] = corner;
      out.pixel[2 * k] = image.corners[2 * corner];
      out.pixel[2 * k + 1] = image.corners[2 * corner + 1];
      k++;
    }
  });
  return out;
}

export function lensParameters(terms: BoardTerms): FreeLensParameter[] {
  return ['fx', 'fy', 'cx', 'cy', ...(terms === 'none' ? [] : (terms.split(' ') as FreeLensParameter[]))];
}

/** The camera with the distortion terms that are not in the model set to 0. */
function withTerms(camera: Camera, terms: BoardTerms): Camera {
  if (terms === 'none') return { ...camera, distortion: NO_DISTORTION };
  const named = terms.split(' ');
  const distortion = ['k1', 'k2', 'p1', 'p2', 'k3'].map((term, i) => (named.includes(term) ? camera.distortion[i] : 0));
  return { ...camera, distortion: distortion as unknown as Distortion };
}

/** The camera's pose is held, so the lens parameters are all the shared ones. */
function lensCovariance(covariance: Float64Array, width: number, n: number): Float64Array {
  if (width !== n) throw new RangeError(`lens covariance: ${width} shared parameters, ${n} expected`);
  return covariance;
}
