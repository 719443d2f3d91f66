import { boardDoesNotFit, rigCameraNamedTwice, rigWithoutCamera } from '../messages/cameras.ts';
import { vectorFromRotation } from '../numerics/rotation.ts';
import { type Board, type BoardImage, checkBoard } from './board.ts';
import { type BundleResult, refineBoardRig } from './board-bundle.ts';
import { linkCameras } from './board-links.ts';
import { type BoardUp, placeWorld } from './board-vertical.ts';
import type { FreeLensParameter } from './fit-camera.ts';
import {
  type BoardDistortion,
  calibrateLens,
  cameraWithLens,
  type ImageSize,
  type LensCalibration,
} from './lens-calibration.ts';
import { composePoses, invertPose, type Pose } from './pose.ts';
import type { Camera, CameraRig } from './rig.ts';

export interface BoardCamera {
  readonly name: string;
  readonly imageSize: ImageSize;
}

export interface BoardRigOptions {
  /**
   * Lenses refined once more together with all poses (default; their uncertainty is then in the standard deviations), or
   * held as each camera's own images give them.
   */
  readonly lenses?: 'held' | 'refined';
  readonly distortion?: BoardDistortion;
  readonly up?: BoardUp;
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
}

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
  const { lenses: lensMode = 'refined', distortion = 'k1 k2 p1 p2', up } = options;
  const lenses: LensCalibration[] = [];
  for (const { name, imageSize } of cameras) {
    const own = images.filter((image) => image.camera === name);
    lenses.push(await calibrateLens(own, board, imageSize, distortion));
  }
  const start = linkCameras(lenses, board);
  const used = imagesForBundle(lenses, lensMode);
  // A board that only one camera sees says nothing about the others while lenses are held; it may still tell the vertical.
  const names = [...start.boards.keys()].filter((name) => used.has(name) || name === up?.image);
  const bundle = refineBoardRig(
    {
      cameras: lenses.map((lens, c) => ({ ...cameraWithLens(lens), ...start.cameras[c] })),
      boards: new Map(names.map((name) => [name, start.boards.get(name)!])),
      free: lensMode === 'held' ? [] : freeLensParameters(distortion),
    },
    images.filter((image) => lenses.some((lens) => isUsed(lens, image))),
    board,
  );
  refuseMisfit(bundle);
  const placed = placeWorld(board, bundle.boards, bundle.boardTurnCovariance, up ?? null);
  const firstFromWorld = invertPose(placed.world);
  return {
    rig: {
      kneeward: 1,
      cameras: bundle.cameras.map((camera): Camera => ({ ...camera, ...composePoses(camera, firstFromWorld) })),
      quality: {
        method: 'board corners',
        reprojectionRmsPx: bundle.rmsPx,
        pointsUsed: bundle.corners,
        notes: notesOn(lenses, bundle, up ?? null, placed.verticalSdDeg),
      },
      synthetic: false,
    },
    lenses,
    bundle,
    relative: relativePoses(bundle),
    boards: new Map([...bundle.boards].map(([name, pose]) => [name, composePoses(placed.world, pose)])),
  };
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

function freeLensParameters(distortion: BoardDistortion): FreeLensParameter[] {
  return ['fx', 'fy', 'cx', 'cy', ...(distortion.split(' ') as FreeLensParameter[])];
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
  lenses: readonly LensCalibration[],
  bundle: BundleResult,
  up: BoardUp | null,
  verticalSdDeg: number | null,
): string[] {
  const notes: string[] = [];
  if (up === null) {
    notes.push(
      'vertical unknown: the first camera is taken to be level; lean, depth and moments are wrong by its tilt. Name an image of the board on the floor or standing upright (--up)',
      'floor unknown: heights are measured from the first camera',
    );
  } else {
    notes.push(
      `vertical from the board that ${up.board === 'lies' ? 'lies on the floor' : 'stands upright'} in image ${up.image}: ± ${verticalSdDeg!.toFixed(2)}° (one standard deviation of the fit; how level the board was comes on top)`,
    );
  }
  for (const lens of lenses) {
    if (lens.views.length < FEW_IMAGES) {
      notes.push(`camera ${lens.camera}: ${lens.views.length} board images only; ${FEW_IMAGES} or more are better`);
    }
  }
  if (bundle.rmsPx > BOARD_ROUGH_PX)
    notes.push(`corners fit to ${bundle.rmsPx.toFixed(2)} px r.m.s. only; below ${BOARD_ROUGH_PX} px is usual`);
  return notes;
}
