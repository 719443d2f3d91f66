import { vectorFromRotation } from '../numerics/rotation.ts';
import { type Board, type BoardImage, boardPoints, cornersFound } from './board.ts';
import { solveBundle } from './bundle.ts';
import type { BundleCamera, BundleProblem, BundleSolution, RobustLoss } from './bundle-problem.ts';
import type { FreeLensParameter } from './fit-camera.ts';
import type { Pose } from './pose.ts';
import { leftJacobian } from './projection-derivatives.ts';
import type { Camera } from './rig.ts';

/** Start of `refineBoardRig`. */
export interface BoardBundleStart {
  /** In the frame of the first camera, which is held at the origin. */
  readonly cameras: readonly Camera[];
  /** firstFromBoard per image name. */
  readonly boards: ReadonlyMap<string, Pose>;
  /** Lens parameters refined together with the poses, per camera; none = held. */
  readonly free: readonly (readonly FreeLensParameter[])[];
  /** Lenses known from elsewhere, per camera, in the order of `free`. */
  readonly priors?: readonly (BundleCamera['lensPrior'] | undefined)[];
  /** Default none. */
  readonly loss?: RobustLoss;
  /** Standard deviation of a corner's coordinate, px; needed beside priors. Default: unknown, found from the residuals. */
  readonly cornerSdPx?: number;
}

export interface ObservedBoard {
  readonly camera: number;
  readonly board: number;
  readonly image: BoardImage;
  readonly corners: readonly number[];
}

export interface BundleResult {
  readonly cameras: readonly Camera[];
  readonly boards: ReadonlyMap<string, Pose>;
  /** Root mean square distance over all corners, px. */
  readonly rmsPx: number;
  readonly corners: number;
  /** Root mean square distance per camera and image, px. */
  readonly imageRms: readonly { readonly camera: string; readonly image: string; readonly rmsPx: number }[];
  /** Standard deviations per camera: rotation vector (rad) and translation (m) relative to the first, which has 0. */
  readonly poseSd: readonly Float64Array[];
  /** Standard deviations of the free lens parameters per camera. */
  readonly lensSd: readonly Float64Array[];
  /** Covariance (3 × 3, rad²) of a small turn δ of each board: R becomes exp(δ) R. */
  readonly boardTurnCovariance: ReadonlyMap<string, Float64Array>;
  /** All of the joint refinement: covariance of all cameras' parameters by name, covariance of each board (in map order). */
  readonly solution: BundleSolution;
  /** The problem that `solution` solves; its targets in map order of `boards`. */
  readonly problem: BundleProblem;
}

/**
 * All boards, all cameras after the first and, where asked, all lenses, in one least-squares problem on pixels: a bundle
 * adjustment (Triggs et al. 2000) whose points are fixed on rigid boards.
 */
export function refineBoardRig(start: BoardBundleStart, images: readonly BoardImage[], board: Board): BundleResult {
  const names = [...start.boards.keys()];
  const observed = observations(start, images, names);
  const problem = boardBundle(start, observed, names, board);
  const found = solveBundle(problem);
  const poseLength = (camera: number) => (camera === 0 ? 0 : 6);
  let at = 0;
  const places = start.cameras.map((_, c) => {
    const place = at;
    at += poseLength(c) + start.free[c].length;
    return place;
  });
  const n = found.parameters.length;
  const sd = (k: number) => Math.sqrt(found.covariance[k * (n + 1)]);
  return {
    cameras: found.cameras,
    boards: new Map(names.map((name, b) => [name, found.targets[b] as Pose])),
    rmsPx: found.rmsPx,
    corners: found.weights.length,
    imageRms: rmsPerImage(observed, found.residuals),
    poseSd: found.cameras.map((camera, c) => (c === 0 ? new Float64Array(6) : poseSd(found, camera, places[c]))),
    lensSd: found.cameras.map((_, c) => Float64Array.from(start.free[c], (_, k) => sd(places[c] + poseLength(c) + k))),
    boardTurnCovariance: new Map(names.map((name, b) => [name, corner3(found.targetCovariance(b), 6, 0)])),
    solution: found,
    problem,
  };
}

/** The corners of which a start knows camera and board, image by image. */
export function observations(
  start: Pick<BoardBundleStart, 'cameras'>,
  images: readonly BoardImage[],
  names: readonly string[],
): ObservedBoard[] {
  return images.flatMap((image) => {
    const camera = start.cameras.findIndex((one) => one.name === image.camera);
    const board = names.indexOf(image.image);
    const corners = cornersFound(image);
    return camera < 0 || board < 0 || corners.length === 0 ? [] : [{ camera, board, image, corners }];
  });
}

/** The bundle problem of board images: the first camera held, boards as rigid targets, every corner of equal weight. */
export function boardBundle(
  start: BoardBundleStart,
  observed: readonly ObservedBoard[],
  names: readonly string[],
  board: Board,
): BundleProblem {
  const points = boardPoints(board);
  const each = observed.flatMap(({ corners, ...one }) => corners.map((corner) => ({ ...one, corner })));
  return {
    cameras: start.cameras.map((camera, c) => {
      const lensPrior = start.priors?.[c];
      return { camera, poseFree: c > 0, lensFree: start.free[c], ...(lensPrior === undefined ? {} : { lensPrior }) };
    }),
    targets: names.map((label) => ({ kind: 'rigid', label, points, start: start.boards.get(label)! })),
    observations: {
      camera: Int32Array.from(each, ({ camera }) => camera),
      target: Int32Array.from(each, ({ board: b }) => b),
      point: Int32Array.from(each, ({ corner }) => corner),
      pixel: Float64Array.from(
        each.flatMap(({ image, corner }) => [...image.corners.subarray(2 * corner, 2 * corner + 2)]),
      ),
      sdPx: start.cornerSdPx === undefined ? null : new Float64Array(2 * each.length).fill(start.cornerSdPx),
      velocity: null,
      timeS: null,
    },
    loss: start.loss ?? { kind: 'none' },
  };
}

function rmsPerImage(observed: readonly ObservedBoard[], residuals: Float64Array) {
  let o = 0;
  return observed.map(({ image, corners }) => {
    let squares = 0;
    for (let k = 0; k < 2 * corners.length; k++) squares += residuals[o++] ** 2;
    return { camera: image.camera, image: image.image, rmsPx: Math.sqrt(squares / corners.length) };
  });
}

/**
 * Standard deviations of a camera's rotation vector and translation. The bundle's turn δ is that of exp(δ) R; a change of
 * the rotation vector ω is Jₗ(ω)⁻¹ δ.
 */
function poseSd(found: BundleSolution, camera: Camera, at: number): Float64Array {
  const n = found.parameters.length;
  const inverse = inverse3(leftJacobian(vectorFromRotation(camera.rotation)));
  const turn = corner3(found.covariance, n, at);
  const sd = new Float64Array(6);
  for (let k = 0; k < 3; k++) {
    let variance = 0;
    for (let i = 0; i < 3; i++) {
      for (let j = 0; j < 3; j++) variance += inverse[3 * k + i] * turn[3 * i + j] * inverse[3 * k + j];
    }
    sd[k] = Math.sqrt(variance);
    sd[3 + k] = Math.sqrt(found.covariance[(at + 3 + k) * (n + 1)]);
  }
  return sd;
}

/** The 3 × 3 block at (at, at) of a square matrix n wide. */
function corner3(matrix: Float64Array, n: number, at: number): Float64Array {
  return Float64Array.from({ length: 9 }, (_, k) => matrix[(at + Math.floor(k / 3)) * n + at + (k % 3)]);
}

function inverse3(m: Float64Array): Float64Array {
  const [a, b, c, d, e, f, g, h, i] = m;
  const [ca, cb, cc] = [e * i - f * h, f * g - d * i, d * h - e * g];
  const determinant = a * ca + b * cb + c * cc;
  const adjugate = [
    ca,
    c * h - b * i,
    b * f - c * e,
    cb,
    a * i - c * g,
    c * d - a * f,
    cc,
    b * g - a * h,
    a * e - b * d,
  ];
  return Float64Array.from(adjugate, (x) => x / determinant);
}
