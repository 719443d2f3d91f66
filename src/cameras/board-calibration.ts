import {
  boardLengthAssumed,
  cornersTooFewIn,
  levelNotStated,
  seenByOneCameraOnly,
  undeterminedParameters,
} from '../messages/acceptance.ts';
import { DEPENDENCE_EXACT, parameterUncertainty } from '../numerics/parameter-uncertainty.ts';
import { vectorFromRotation } from '../numerics/rotation.ts';
import { type Board, type BoardImage, boardPoints, cornersFound } from './board.ts';
import { boardRigProblem } from './board-bundle.ts';
import type { BoardRig } from './board-rig.ts';
import { type BoardUp, placeWorld } from './board-vertical.ts';
import type { Calibration, CalibrationObservation, CalibrationView, DroppedView } from './calibration.ts';
import type { FreeLensParameter } from './fit-camera.ts';
import type { HeldOutLength } from './held-out-length.ts';
import { FEWEST_CORNERS } from './lens-calibration.ts';
import { invertPose, turned } from './pose.ts';
import { type CameraCovariance, covarianceInWorld, POSE_PARAMETERS, transformed } from './pose-covariance.ts';
import { leftJacobian } from './projection-derivatives.ts';
import type { MeasuredQuality } from './rig.ts';
import { boardNormal, HALF_WIDTH_95, measuredQuality, scaleFrom } from './rig-quality.ts';

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
  /** Half width of the 95 % interval of how level (or plumb) that board was, degrees; unknown where left out. */
  readonly levelHalfWidth95Deg?: number;
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
  const used = images.filter(
    (image) =>
      made.boards.has(image.image) &&
      made.lenses.some((lens) => lens.camera === image.camera && lens.views.some((view) => view.image === image.image)),
  );
  const fit = bundleAt(made, used, board);
  const worldFromFirst = invertPose(made.rig.cameras[0]);
  const points = Float64Array.from([...made.boards.values()].flatMap((pose) => [...placedCorners(board, pose)]));
  const { vertical, notes: verticalNotes } = verticalOf(made, board, options);
  const { measured, undetermined } = measuredQuality({
    cameras: made.rig.cameras,
    covariance: covarianceInWorld(fit.covariance, made.bundle.cameras, worldFromFirst),
    observations: fit.observations,
    boardNormals: normalsOf(made, used),
    points,
    clocks: new Map(),
    heldOutLength: options.heldOut?.figure ?? null,
    vertical,
    scale: scaleOf(board, options),
  });
  const notes = [
    ...made.rig.quality.notes,
    ...verticalNotes,
    ...(options.boardLengthSdM === undefined ? [boardLengthAssumed(1000 * RULER_HALF_WIDTH_M)] : []),
    ...(undetermined.length > 0 ? [undeterminedParameters(undetermined)] : []),
    ...(options.heldOut?.notes ?? []),
  ];
  return {
    rig: { ...made.rig, quality: { ...made.rig.quality, notes, measured } },
    observations: fit.observations,
    points,
    views: viewsOf(made, used),
    dropped: droppedOf(used, images),
  };
}

/** Residuals and the covariance of cameras (turns, translations, lenses) at the minimum that the bundle found. */
function bundleAt(made: BoardRig, used: readonly BoardImage[], board: Board) {
  const { cameras, boards, lensSd } = made.bundle;
  const free = freeLens(lensSd[0].length);
  const { problem, layout, observed } = boardRigProblem({ cameras, boards, free }, used, board);
  const { residualCount: m, parameterCount: n } = problem;
  const residuals = new Float64Array(m);
  const jacobian = new Float64Array(m * n);
  problem.residualsInto(residuals, layout.start);
  problem.jacobianInto!(jacobian, layout.start);
  let squares = 0;
  for (const r of residuals) squares += r * r;
  const { covariance } = parameterUncertainty(jacobian, m, n, squares, DEPENDENCE_EXACT);
  const observations: CalibrationObservation[] = [];
  let o = 0;
  for (const { image, corners } of observed) {
    for (const corner of corners) {
      observations.push({
        camera: image.camera,
        image: image.image,
        point: String(corner),
        u: image.corners[2 * corner],
        v: image.corners[2 * corner + 1],
        du: residuals[o++],
        dv: residuals[o++],
        used: true,
      });
    }
  }
  return { observations, covariance: camerasOnly(made, free, layout, covariance, n) };
}

/** Rows of the shared parameters, with the turn δ = Jₗ dω in place of each rotation vector. */
function camerasOnly(
  made: BoardRig,
  free: readonly FreeLensParameter[],
  layout: ReturnType<typeof boardRigProblem>['layout'],
  covariance: Float64Array,
  width: number,
): CameraCovariance {
  const { cameras } = made.bundle;
  const parameters: string[] = [];
  const rows: Float64Array[] = [];
  const add = (name: string, entries: readonly (readonly [number, number])[]) => {
    const row = new Float64Array(width);
    for (const [at, factor] of entries) row[at] = factor;
    parameters.push(name);
    rows.push(row);
  };
  cameras.forEach(({ name, rotation }, c) => {
    const at = layout.poseAt(c);
    const jl = leftJacobian(vectorFromRotation(rotation));
    POSE_PARAMETERS.forEach((parameter, k) => {
      if (c === 0) return;
      const entries = k < 3 ? [0, 1, 2].map((j) => [at + j, jl[3 * k + j]] as const) : [[at + k, 1] as const];
      add(`${name}.${parameter}`, entries);
    });
    free.forEach((parameter, k) => {
      add(`${name}.${parameter}`, [[layout.lensAt(c) + k, 1]]);
    });
  });
  const jacobian = new Float64Array(rows.length * width);
  rows.forEach((row, i) => {
    jacobian.set(row, i * width);
  });
  return { parameters, covariance: transformed(jacobian, rows.length, covariance, width) };
}

/** The free lens parameters of a board rig, from their count: none, or f, principal point and 1, 2, 4 or 5 terms. */
function freeLens(count: number): FreeLensParameter[] {
  return (['fx', 'fy', 'cx', 'cy', 'k1', 'k2', 'p1', 'p2', 'k3'] as const).slice(0, count);
}

function placedCorners(board: Board, pose: { rotation: Float64Array; translation: Float64Array }): Float64Array {
  const points = boardPoints(board);
  const out = new Float64Array(points.length);
  for (let o = 0; o < points.length; o += 3) {
    const at = turned(pose.rotation, points.subarray(o, o + 3));
    for (let k = 0; k < 3; k++) out[o + k] = at[k] + pose.translation[k];
  }
  return out;
}

function normalsOf(made: BoardRig, used: readonly BoardImage[]): Map<string, number[][]> {
  return new Map(
    made.rig.cameras.map((camera) => [
      camera.name,
      used
        .filter((image) => image.camera === camera.name)
        .map((image) => boardNormal(camera, made.boards.get(image.image)!)),
    ]),
  );
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

function droppedOf(used: readonly BoardImage[], images: readonly BoardImage[]): DroppedView[] {
  return images
    .filter((image) => !used.includes(image))
    .map((image) => {
      const found = cornersFound(image).length;
      const reason = found < FEWEST_CORNERS ? cornersTooFewIn(found, FEWEST_CORNERS) : seenByOneCameraOnly();
      return { camera: image.camera, image: image.image, reason };
    });
}

/** The half width adds the fit and the level: variances, both taken as normal. */
function verticalOf(
  made: BoardRig,
  board: Board,
  { up, levelHalfWidth95Deg }: BoardCalibrationOptions,
): { vertical: MeasuredQuality['vertical']; notes: string[] } {
  if (up === undefined) return { vertical: null, notes: [] };
  if (levelHalfWidth95Deg === undefined) return { vertical: null, notes: [levelNotStated(up.image)] };
  const fitSdDeg = placeWorld(board, made.bundle.boards, made.bundle.boardTurnCovariance, up).verticalSdDeg!;
  const from = `the board that ${up.board} in image ${up.image}`;
  return { vertical: { from, halfWidth95Deg: Math.hypot(HALF_WIDTH_95 * fitSdDeg, levelHalfWidth95Deg) }, notes: [] };
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
