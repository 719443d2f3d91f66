import { boardUpImageMissing, boardUpUnclear } from '../messages/cameras.ts';
import type { Board } from './board.ts';
import { boardPoints } from './board.ts';
import { type Pose, turned } from './pose.ts';
import { angleOf95, roundCovariance, tangentCovariance } from './vertical/vertical-estimate.ts';

/** How the vertical is known: in one image the board lies level on the floor, or stands with its columns vertical. */
export interface BoardUp {
  readonly image: string;
  readonly board: 'lies' | 'stands';
  /** Height of the board's plane (lies) or of its lowest inner corner (stands) above the floor, metres. */
  readonly heightM: number;
  /**
   * How level (lies) or plumb (stands) the board itself was: standard deviation per axis, degrees. Absent:
   * BOARD_LEVEL_SD_DEG. A spirit level on the board, used both ways, leaves about 0.1°.
   */
  readonly levelSdDeg?: number;
}

/**
 * Slope of a gym floor under a board, or of a board against an upright, standard deviation per axis, degrees: 0.2° are 3.5 mm
 * on a metre. Common practice, no source.
 */
export const BOARD_LEVEL_SD_DEG = 0.2;

export interface WorldPlacement {
  /** worldFromFirst: from the first camera's frame to the rig's world. */
  readonly world: Pose;
  /** Standard deviation of the vertical from the fit of that board, degrees; null where the vertical is not known. */
  readonly verticalSdDeg: number | null;
  /** The true vertical lies within this angle of +Y with probability 95 %: fit and levelness together; null as above. */
  readonly halfWidth95Deg: number | null;
}

/** A standing board's columns must be nearer than this to the first camera's own vertical, so that up is told from down: 60°. */
const LEAST_COSINE = 0.5;

/**
 * The rig's world from the frame of the first camera: Y up, X the horizontal part of the first camera's viewing
 * direction, Z = X × Y. Without `up`, Y is the first camera's own upward direction and the origin its centre.
 *
 * lies: up is the board's normal on the first camera's side; the floor is `heightM` below the board.
 * stands: up is the direction of the board's columns that points up in the first camera's picture; the floor is
 * `heightM` below the lowest inner corner. The origin lies on the floor under the board's first corner.
 */
export function placeWorld(
  board: Board,
  boards: ReadonlyMap<string, Pose>,
  turnCovariance: ReadonlyMap<string, Float64Array>,
  up: BoardUp | null,
): WorldPlacement {
  if (up === null) return { world: worldWithUp([0, -1, 0], [0, 0, 0]), verticalSdDeg: null, halfWidth95Deg: null };
  const pose = boards.get(up.image);
  if (pose === undefined) throw boardUpImageMissing(up.image, [...boards.keys()]);
  const upward = up.board === 'lies' ? normalTowardsCamera(pose) : columnsUpward(pose, up.image);
  const corners = cornersInFirst(board, pose);
  let lowest = Number.POSITIVE_INFINITY;
  for (const corner of corners) lowest = Math.min(lowest, dot(corner, upward));
  const first = corners[0];
  const drop = dot(first, upward) - lowest + up.heightM;
  const origin = first.map((x, i) => x - drop * upward[i]);
  const turn = turnCovariance.get(up.image)!;
  return {
    world: worldWithUp(upward, origin),
    verticalSdDeg: (turnSd(turn, upward) * 180) / Math.PI,
    halfWidth95Deg: halfWidth95Deg(turn, upward, up.levelSdDeg ?? BOARD_LEVEL_SD_DEG),
  };
}

function normalTowardsCamera(pose: Pose): number[] {
  const r = pose.rotation;
  const normal = [r[2], r[5], r[8]];
  const sign = dot(normal, pose.translation) > 0 ? -1 : 1;
  return normal.map((x) => sign * x);
}

function columnsUpward(pose: Pose, image: string): number[] {
  const r = pose.rotation;
  const columns = [r[1], r[4], r[7]];
  if (Math.abs(columns[1]) < LEAST_COSINE)
    throw boardUpUnclear(image, (Math.acos(Math.abs(columns[1])) * 180) / Math.PI);
  const sign = columns[1] > 0 ? -1 : 1;
  return columns.map((x) => sign * x);
}

function cornersInFirst(board: Board, pose: Pose): number[][] {
  const points = boardPoints(board);
  return Array.from({ length: points.length / 3 }, (_, i) => {
    const at = turned(pose.rotation, points.subarray(3 * i, 3 * i + 3));
    return [0, 1, 2].map((k) => at[k] + pose.translation[k]);
  });
}

function worldWithUp(up: readonly number[], origin: readonly number[]): Pose {
  let forward = horizontalPart([0, 0, 1], up);
  // A camera that looks straight down has no heading: its picture's upward direction serves.
  if (Math.hypot(...forward) < 1e-6) forward = horizontalPart([0, -1, 0], up);
  const length = Math.hypot(...forward);
  const x = forward.map((value) => value / length);
  const z = [x[1] * up[2] - x[2] * up[1], x[2] * up[0] - x[0] * up[2], x[0] * up[1] - x[1] * up[0]];
  const rotation = Float64Array.of(...x, ...up, ...z);
  return { rotation, translation: turned(rotation, origin).map((value) => -value) };
}

function horizontalPart(v: readonly number[], up: readonly number[]): number[] {
  const along = dot(v, up);
  return v.map((x, i) => x - along * up[i]);
}

/** Root of the variance of a direction under a small turn with covariance c: trace of c without its part about the direction. */
function turnSd(c: Float64Array, direction: readonly number[]): number {
  let about = 0;
  for (let i = 0; i < 3; i++) for (let j = 0; j < 3; j++) about += direction[i] * c[3 * i + j] * direction[j];
  return Math.sqrt(Math.max(0, c[0] + c[4] + c[8] - about));
}

/** 95 % half width from the covariance of the board's turn (rad²) and its levelness; a turn and a direction spread alike. */
function halfWidth95Deg(turn: Float64Array, upward: readonly number[], levelSdDeg: number): number {
  const level = roundCovariance(upward, (levelSdDeg * Math.PI) / 180);
  const both = tangentCovariance(upward, turn).map((x, k) => x + level[k]);
  return (angleOf95(both) * 180) / Math.PI;
}

function dot(a: ArrayLike<number>, b: ArrayLike<number>): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}
