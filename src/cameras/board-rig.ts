import { DataError } from '../errors.ts';
import { boardDoesNotFit, rigCameraNamedTwice, rigWithoutCamera } from '../messages/cameras.ts';
import { boardPicturesMirrored } from '../messages/images.ts';
import { vectorFromRotation } from '../numerics/rotation.ts';
import { median } from '../numerics/statistics.ts';
import { type Board, type BoardImage, checkBoard } from './board.ts';
import { type BundleResult, refineBoardRig } from './board-bundle.ts';
import { fitBoardLens, lensCalibrationOf, posesUnderLens } from './board-lens.ts';
import { type BoardStart, linkCameras } from './board-links.ts';
import { type BoardUp, placeWorld } from './board-vertical.ts';
import type { DroppedView } from './calibration.ts';
import { mirroredPair } from './chessboard/mirrored-camera.ts';
import type { DistortionChoice } from './distortion-choice.ts';
import { type FreeLensParameter, lensValue } from './fit-camera.ts';
import { type BoardTerms, cameraWithLens, type ImageSize, type LensCalibration } from './lens-calibration.ts';
import type { KnownLensRecord } from './lens-file.ts';
import { composePoses, invertPose, type Pose } from './pose.ts';
import type { Camera, CameraRig } from './rig.ts';
import { placeRig } from './vertical/place-rig.ts';
import type { VerticalEstimate } from './vertical/vertical-estimate.ts';

export interface BoardCamera {
  readonly name: string;
  readonly imageSize: ImageSize;
  /** A lens known from elsewhere: its values and their covariance count as one more measurement. */
  readonly lens?: KnownLensRecord;
}

export interface BoardRigOptions {
  /**
   * Lenses refined once more together with all poses (default; their uncertainty is then in the standard deviations), or
   * held as each camera's own images give them.
   */
  readonly lenses?: 'held' | 'refined';
  /** 'auto': `chooseDistortion`, camera by camera. */
  readonly distortion?: BoardTerms | 'auto';
  /** Images that contradict the others: refused (default), or left out with a reason where they are few. */
  readonly outliers?: 'refused' | 'dropped';
  /** Default 'none'. 'huber': corners beyond HUBER_SCALE robust standard deviations count for less. */
  readonly loss?: 'none' | 'huber';
  readonly up?: BoardUp;
  /** Another source of the vertical than a board: gets the cameras in the frame of the first. Not beside `up`. */
  readonly vertical?: (cameras: readonly Camera[]) => VerticalEstimate;
}

/** Pose of a camera relative to the first: X_camera = R X_first + t (OpenCV's and Bouguet's sense). */
export interface RelativePose {
  readonly camera: string;
  readonly rotationVector: Float64Array;
  readonly translationM: Float64Array;
  /** Standard deviations, rad and m, with lenses taken as exact where they are held. */
  readonly rotationSd: Float64Array;
  readonly translationSdM: Float64Array;
}

export interface BoardRig {
  readonly rig: CameraRig;
  readonly lenses: readonly LensCalibration[];
  /** Joint refinement: in the frame of the first camera. */
  readonly bundle: BundleResult;
  readonly relative: readonly RelativePose[];
  /** worldFromBoard per image. */
  readonly boards: ReadonlyMap<string, Pose>;
  /** Distortion terms tried, per camera; null where given or known. */
  readonly choices: readonly (DistortionChoice | null)[];
  /** From `options.vertical`, in the frame of the first camera. */
  readonly vertical: VerticalEstimate | null;
  readonly dropped: readonly DroppedView[];
}

/** Corners count in full up to this many standard deviations of the others' scatter (Huber 1964: 99.9 % efficient at 3). */
export const HUBER_SCALE = 3;
/** √(2 ln 2): the median length of a vector of two standard normal errors. */
const MEDIAN_LENGTH = Math.sqrt(2 * Math.LN2);

/** Joint r.m.s. residual above which the images are refused, px. Common practice, no source. */
export const BOARD_MISFIT_PX = 5;
/** Joint r.m.s. residual above which a note is made, px. Common practice, no source. */
const BOARD_ROUGH_PX = 1;
/** Images of one camera below which a note is made. Common practice, no source. */
const FEW_IMAGES = 10;

/**
 * A rig of any number of cameras from images of one board: each lens by `calibrateLens`, then all boards and relative
 * poses together by least squares on pixels (`refineBoardRig`), then the world by `placeWorld`.
 * Throws a DataError where a lens or the link between cameras is not determined, or where images contradict each other.
 */
export async function calibrateRigFromBoard(
  images: readonly BoardImage[],
  board: Board,
  cameras: readonly BoardCamera[],
  options: BoardRigOptions = {},
): Promise<BoardRig> {
  checkBoard(board);
  checkCameras(cameras);
  const { distortion = 'k1 k2 p1 p2', outliers = 'refused', up } = options;
  const dropped: DroppedView[] = [];
  const lenses: FittedLens[] = [];
  for (const camera of cameras) {
    const own = images.filter((image) => image.camera === camera.name);
    lenses.push(await lensOf(own, board, camera, distortion, outliers, dropped));
  }
  const start = await linkedOrMirrored(lenses, images, board, outliers);
  dropped.push(...start.dropped);
  const bundle = refineBoards(start, lenses, images, board, options);
  refuseMisfit(bundle);
  const vertical = up === undefined ? (options.vertical?.(bundle.cameras) ?? null) : null;
  const placed =
    vertical === null
      ? placeWorld(board, bundle.boards, bundle.boardTurnCovariance, up ?? null)
      : { world: placeRig(bundle.cameras, vertical.up, null).world, verticalSdDeg: null };
  const firstFromWorld = invertPose(placed.world);
  return {
    rig: {
      kneeward: 1,
      cameras: bundle.cameras.map((camera): Camera => ({ ...camera, ...composePoses(camera, firstFromWorld) })),
      quality: {
        method: 'board corners',
        reprojectionRmsPx: bundle.rmsPx,
        pointsUsed: bundle.corners,
        notes: notesOn(lenses, bundle, up ?? null, placed.verticalSdDeg, vertical),
      },
      synthetic: false,
    },
    lenses: lenses.map(({ lens }) => lens),
    bundle,
    relative: relativePoses(bundle),
    boards: new Map([...bundle.boards].map(([name, pose]) => [name, composePoses(placed.world, pose)])),
    choices: lenses.map(({ choice }) => choice),
    vertical,
    dropped,
  };
}

/** A lens before the joint refinement: fitted to the camera's own images, or known. */
interface FittedLens {
  readonly lens: LensCalibration;
  readonly parameters: readonly FreeLensParameter[];
  readonly choice: DistortionChoice | null;
  readonly known: KnownLensRecord | null;
  readonly image: BoardCamera;
}

async function lensOf(
  images: readonly BoardImage[],
  board: Board,
  camera: BoardCamera,
  distortion: BoardTerms | 'auto',
  outliers: 'refused' | 'dropped',
  dropped: DroppedView[],
): Promise<FittedLens> {
  const { imageSize, lens: known } = camera;
  if (known !== undefined) {
    const lens = posesUnderLens(images, board, known);
    return { lens, parameters: known.parameters, choice: null, known, image: camera };
  }
  const fit = await fitBoardLens(images, board, imageSize, {
    distortion,
    outliers: outliers === 'dropped' ? 'dropped' : 'kept',
  });
  dropped.push(...fit.dropped);
  return {
    lens: lensCalibrationOf(fit, imageSize),
    parameters: fit.parameters,
    choice: fit.choice,
    known: null,
    image: camera,
  };
}

/** `linkCameras`; where the images contradict each other because one camera stores its pictures mirrored, that is said. */
async function linkedOrMirrored(
  lenses: readonly FittedLens[],
  images: readonly BoardImage[],
  board: Board,
  outliers: 'refused' | 'dropped',
): Promise<BoardStart> {
  const views = lenses.map(({ lens }) => lens);
  try {
    return linkCameras(views, board, outliers);
  } catch (error) {
    if (!(error instanceof DataError) || error.code === 'board-cameras-not-linked') throw error;
    const kept = images.filter((image) => views.some((lens) => isUsed(lens, image)));
    const cameras = views.map(({ camera, imageSize }) => ({ name: camera, imageSize }));
    const mirrored = await mirroredPair(kept, board, cameras);
    if (mirrored === null) throw error;
    const { camera, against, images: shared, asTheyAreDeg, turnedOverDeg } = mirrored;
    throw boardPicturesMirrored(camera, against, shared, asTheyAreDeg, turnedOverDeg);
  }
}

function refineBoards(
  start: BoardStart,
  fitted: readonly FittedLens[],
  images: readonly BoardImage[],
  board: Board,
  { lenses: lensMode = 'refined', loss = 'none', up }: BoardRigOptions,
): BundleResult {
  const lenses = fitted.map(({ lens }) => lens);
  const used = imagesForBundle(lenses, lensMode);
  // A board that only one camera sees says nothing about the others while lenses are held; it may still tell the vertical.
  const names = [...start.boards.keys()].filter((name) => used.has(name) || name === up?.image);
  const problem = {
    cameras: lenses.map((lens, c) => ({ ...cameraWithLens(lens), ...start.cameras[c] })),
    boards: new Map(names.map((name) => [name, start.boards.get(name)!])),
    free: fitted.map(({ parameters }) => (lensMode === 'held' ? [] : parameters)),
    priors: fitted.map(({ known, parameters }) =>
      known === null || lensMode === 'held'
        ? undefined
        : {
            mean: Float64Array.from(parameters, (parameter) => lensValue(known.camera, parameter)),
            covariance: known.covariance,
          },
    ),
  };
  const left = new Set(start.dropped.map(({ camera, image }) => JSON.stringify([camera, image])));
  const kept = images.filter(
    (image) => lenses.some((lens) => isUsed(lens, image)) && !left.has(JSON.stringify([image.camera, image.image])),
  );
  const plain = refineBoardRig(problem, kept, board);
  const isPrior = problem.priors.some((prior) => prior !== undefined);
  if (loss === 'none' && !isPrior) return plain;
  // Priors and the limit of the loss are in true units: they need the corners' own scatter, found by the plain fit.
  const again = { ...problem, cameras: plain.cameras, boards: plain.boards };
  const cornerSdPx = plain.rmsPx / Math.SQRT2;
  if (loss === 'none') return refineBoardRig({ ...again, cornerSdPx }, kept, board);
  const scale = (HUBER_SCALE * robustSd(plain.solution.residuals)) / (isPrior ? cornerSdPx : 1);
  const robust = { ...again, loss: { kind: 'huber' as const, scale } };
  return refineBoardRig(isPrior ? { ...robust, cornerSdPx } : robust, kept, board);
}

/** Standard deviation of one coordinate from the median length of the residuals, px. */
function robustSd(residuals: Float64Array): number {
  const lengths = Array.from({ length: residuals.length / 2 }, (_, i) =>
    Math.hypot(residuals[2 * i], residuals[2 * i + 1]),
  );
  return median(lengths) / MEDIAN_LENGTH;
}

function checkCameras(cameras: readonly BoardCamera[]): void {
  if (cameras.length === 0) throw rigWithoutCamera('board corners');
  const names = cameras.map((camera) => camera.name);
  const twice = names.find((name, i) => names.indexOf(name) !== i);
  if (twice !== undefined) throw rigCameraNamedTwice('board corners', twice);
}

function isUsed(lens: LensCalibration, image: BoardImage): boolean {
  return lens.camera === image.camera && lens.views.some((view) => view.image === image.image);
}

function imagesForBundle(lenses: readonly LensCalibration[], mode: 'held' | 'refined'): ReadonlySet<string> {
  const count = new Map<string, number>();
  for (const lens of lenses) for (const { image } of lens.views) count.set(image, (count.get(image) ?? 0) + 1);
  const least = mode === 'held' && lenses.length > 1 ? 2 : 1;
  return new Set([...count].filter(([, times]) => times >= least).map(([image]) => image));
}

function refuseMisfit(bundle: BundleResult): void {
  if (bundle.rmsPx <= BOARD_MISFIT_PX) return;
  const worst = bundle.imageRms.reduce((a, b) => (a.rmsPx > b.rmsPx ? a : b));
  throw boardDoesNotFit(bundle.rmsPx, BOARD_MISFIT_PX, worst.camera, worst.image);
}

function relativePoses(bundle: BundleResult): RelativePose[] {
  return bundle.cameras.slice(1).map((camera, i) => ({
    camera: camera.name,
    rotationVector: vectorFromRotation(camera.rotation),
    translationM: camera.translation,
    rotationSd: bundle.poseSd[i + 1].slice(0, 3),
    translationSdM: bundle.poseSd[i + 1].slice(3, 6),
  }));
}

function notesOn(
  lenses: readonly FittedLens[],
  bundle: BundleResult,
  up: BoardUp | null,
  verticalSdDeg: number | null,
  vertical: VerticalEstimate | null,
): string[] {
  const notes: string[] = [];
  if (vertical !== null) {
    notes.push(
      `vertical from ${vertical.from}: within ${vertical.halfWidth95Deg.toFixed(2)}° (95 %)`,
      'floor unknown: heights are measured from the first camera',
    );
  } else if (up === null) {
    notes.push(
      'vertical unknown: the first camera is taken to be level; lean, depth and moments are wrong by its tilt. Name an image of the board on the floor or standing upright (--up)',
      'floor unknown: heights are measured from the first camera',
    );
  } else {
    notes.push(
      `vertical from the board that ${up.board === 'lies' ? 'lies on the floor' : 'stands upright'} in image ${up.image}: ± ${verticalSdDeg!.toFixed(2)}° (one standard deviation of the fit; how level the board was comes on top)`,
    );
  }
  for (const { lens, known } of lenses) {
    if (known === null && lens.views.length < FEW_IMAGES) {
      notes.push(`camera ${lens.camera}: ${lens.views.length} board images only; ${FEW_IMAGES} or more are better`);
    }
  }
  if (bundle.rmsPx > BOARD_ROUGH_PX)
    notes.push(`corners fit to ${bundle.rmsPx.toFixed(2)} px r.m.s. only; below ${BOARD_ROUGH_PX} px is usual`);
  return notes;
}
