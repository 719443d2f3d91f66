import {
  boardLengthAssumed,
  cornersTooFewIn,
  seenByOneCameraOnly,
  undeterminedParameters,
} from '../messages/acceptance.ts';
import { type Board, type BoardImage, cornersFound } from './board.ts';
import type { BoardRig } from './board-rig.ts';
import { type BoardUp, placeWorld } from './board-vertical.ts';
import type { Calibration, CalibrationView, DroppedView } from './calibration.ts';
import type { HeldOutLength } from './held-out-length.ts';
import { FEWEST_CORNERS } from './lens-calibration.ts';
import { invertPose } from './pose.ts';
import type { MeasuredQuality } from './rig.ts';
import { boardNormal, bundleObservations, bundlePoints, qualityOfBundle, scaleFrom } from './rig-quality.ts';

/**
 * A ruler laid along the board and read to ± 0.5 mm: a rectangular distribution of half width a has the standard
 * deviation a/√3 (JCGM 100:2008, 4.3.7). The ± 0.5 mm: common practice, no source.
 */
export const RULER_HALF_WIDTH_M = 0.0005;

export interface BoardCalibrationOptions {
  /** From `heldOutBoardLength`; left out where the figure is not wanted. */
  readonly heldOut?: HeldOutLength;
  /** Standard deviation of the measured length of the board along its longer side, metres; a ruler where left out. */
  readonly boardLengthSdM?: number;
  /** The image that told the vertical, as given to `calibrateRigFromBoard`. */
  readonly up?: BoardUp;
}

/**
 * A board rig with what its report shows: residual of every corner, r.m.s. and tilt of every view, dropped views, and
 * its measured quality. `images` and `board` are those the rig was made from.
 */
export function calibrationOfBoardRig(
  made: BoardRig,
  images: readonly BoardImage[],
  board: Board,
  options: BoardCalibrationOptions = {},
): Calibration {
  const { problem, solution } = made.bundle;
  const worldFromFirst = invertPose(made.rig.cameras[0]);
  const observations = bundleObservations(problem, solution);
  const used = images.filter((image) =>
    made.bundle.imageRms.some((one) => one.camera === image.camera && one.image === image.image),
  );
  const vertical = verticalOf(made, board, options.up);
  const { measured, undetermined } = qualityOfBundle(problem, solution, {
    worldFromBundle: worldFromFirst,
    heldOutLength: options.heldOut?.figure ?? null,
    vertical,
    scale: scaleOf(board, options),
  });
  const notes = [
    ...made.rig.quality.notes,
    ...(options.boardLengthSdM === undefined ? [boardLengthAssumed(1000 * RULER_HALF_WIDTH_M)] : []),
    ...(undetermined.length > 0 ? [undeterminedParameters(undetermined)] : []),
    ...(options.heldOut?.notes ?? []),
  ];
  return {
    rig: { ...made.rig, quality: { ...made.rig.quality, notes, measured } },
    observations,
    points: bundlePoints(problem.targets, solution, worldFromFirst),
    views: viewsOf(made, used),
    dropped: droppedOf(made, used, images),
  };
}

function viewsOf(made: BoardRig, used: readonly BoardImage[]): CalibrationView[] {
  return used.map((image) => {
    const camera = made.rig.cameras.find((one) => one.name === image.camera)!;
    const [, , z] = boardNormal(camera, made.boards.get(image.image)!);
    const rms = made.bundle.imageRms.find((one) => one.camera === image.camera && one.image === image.image)!;
    return {
      camera: image.camera,
      image: image.image,
      points: cornersFound(image).length,
      rmsPx: rms.rmsPx,
      tiltDeg: (Math.acos(Math.min(1, Math.abs(z))) * 180) / Math.PI,
    };
  });
}

function droppedOf(made: BoardRig, used: readonly BoardImage[], images: readonly BoardImage[]): DroppedView[] {
  return images
    .filter((image) => !used.includes(image))
    .map((image) => {
      const known = made.dropped.find((one) => one.camera === image.camera && one.image === image.image);
      if (known !== undefined) return known;
      const found = cornersFound(image).length;
      const reason = found < FEWEST_CORNERS ? cornersTooFewIn(found, FEWEST_CORNERS) : seenByOneCameraOnly();
      return { camera: image.camera, image: image.image, reason };
    });
}

/** From the board named by `up` (its fit and its levelness), or from the other source that placed the rig. */
function verticalOf(made: BoardRig, board: Board, up: BoardUp | undefined): MeasuredQuality['vertical'] {
  if (made.vertical !== null) return { from: made.vertical.from, halfWidth95Deg: made.vertical.halfWidth95Deg };
  if (up === undefined) return null;
  const { halfWidth95Deg } = placeWorld(board, made.bundle.boards, made.bundle.boardTurnCovariance, up);
  return { from: `board that ${up.board} in image ${up.image}`, halfWidth95Deg: halfWidth95Deg! };
}

/** The square's side goes straight into the scale; what the fit adds is the mean error of lengths it did not see. */
function scaleOf(board: Board, { heldOut, boardLengthSdM }: BoardCalibrationOptions): MeasuredQuality['scale'] {
  const lengthM = (Math.max(board.columns, board.rows) + 1) * board.squareSizeM;
  const measured = (boardLengthSdM ?? RULER_HALF_WIDTH_M / Math.sqrt(3)) / lengthM;
  const mean = heldOut === undefined ? Number.NaN : Math.abs(heldOut.meanShare);
  return scaleFrom({
    'measured board length': measured,
    ...(Number.isFinite(mean) ? { 'mean of lengths left out': mean } : {}),
  });
}
