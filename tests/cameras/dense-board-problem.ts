import { type Board, type BoardImage, boardPoints } from '../../src/cameras/board.ts';
import { observations } from '../../src/cameras/board-bundle.ts';
import { type FreeLensParameter, lensColumn, lensValue, withLensValues } from '../../src/cameras/fit-camera.ts';
import type { Pose } from '../../src/cameras/pose.ts';
import {
  deriveProjectionInto,
  leftJacobian,
  projectionDerivatives,
  rotationVectorColumnsInto,
} from '../../src/cameras/projection-derivatives.ts';
import type { Camera } from '../../src/cameras/rig.ts';
import type { LeastSquaresProblem } from '../../src/numerics/least-squares.ts';
import { rotationFromVector, vectorFromRotation } from '../../src/numerics/rotation.ts';

export interface BundleStart {
  /** In the frame of the first camera, which is held at the origin. */
  readonly cameras: readonly Camera[];
  /** firstFromBoard per image name. */
  readonly boards: ReadonlyMap<string, Pose>;
  /** Lens parameters refined together with the poses, the same kinds for every camera; none = held. */
  readonly free: readonly FreeLensParameter[];
}

/**
 * The problem of `refineBoardRig` in dense form, with its analytic Jacobian: for `leastSquares`, and to check the sparse one.
 *
 * Parameters: per camera but the first a rotation vector and translation; per camera the free lens parameters; per board
 * image a rotation vector and translation. Residuals: predicted − measured, u and v of every corner found.
 */
export function boardRigProblem(start: BundleStart, images: readonly BoardImage[], board: Board) {
  const names = [...start.boards.keys()];
  const observed = observations(start, images, names);
  const layout = parameterLayout(start, names.length);
  const points = boardPoints(board);
  const corners = observed.reduce((sum, one) => sum + one.corners.length, 0);
  const n = layout.count;
  const derivatives = projectionDerivatives();
  const world = new Float64Array(3);

  const place = (pose: Pose, corner: number) => {
    const { rotation: r, translation: t } = pose;
    const x = points[3 * corner];
    const y = points[3 * corner + 1];
    for (let i = 0; i < 3; i++) world[i] = r[3 * i] * x + r[3 * i + 1] * y + t[i];
  };

  const problem: LeastSquaresProblem = {
    residualCount: 2 * corners,
    parameterCount: n,
    residualsInto(out, p) {
      const cameras = layout.cameras(p);
      let o = 0;
      for (const { camera, board: b, image, corners: seen } of observed) {
        const pose = layout.board(p, b);
        for (const corner of seen) {
          place(pose, corner);
          deriveProjectionInto(derivatives, cameras[camera], world[0], world[1], world[2]);
          out[o++] = derivatives.uv[0] - image.corners[2 * corner];
          out[o++] = derivatives.uv[1] - image.corners[2 * corner + 1];
        }
      }
    },
    jacobianInto(out, p) {
      out.fill(0);
      const cameras = layout.cameras(p);
      let rowStart = 0;
      for (const { camera, board: b, corners: seen } of observed) {
        const pose = layout.board(p, b);
        const boardAt = layout.boardAt(b);
        const boardTurn = leftJacobian(p.subarray(boardAt, boardAt + 3));
        const poseAt = layout.poseAt(camera);
        const cameraTurn = camera === 0 ? null : leftJacobian(p.subarray(poseAt, poseAt + 3));
        const lensAt = layout.lensAt(camera);
        for (const corner of seen) {
          place(pose, corner);
          deriveProjectionInto(derivatives, cameras[camera], world[0], world[1], world[2]);
          if (cameraTurn !== null) rotationVectorColumnsInto(derivatives.pose, cameraTurn);
          const [rx, ry, rz] = [0, 1, 2].map((i) => world[i] - pose.translation[i]);
          for (let row = 0; row < 2; row++) {
            const g0 = derivatives.point[3 * row];
            const g1 = derivatives.point[3 * row + 1];
            const g2 = derivatives.point[3 * row + 2];
            // The board's turn δ moves the corner by δ × (R x): y × g, as for a camera.
            const d0 = ry * g2 - rz * g1;
            const d1 = rz * g0 - rx * g2;
            const d2 = rx * g1 - ry * g0;
            for (let k = 0; k < 3; k++) {
              out[rowStart + boardAt + k] = d0 * boardTurn[k] + d1 * boardTurn[3 + k] + d2 * boardTurn[6 + k];
            }
            out[rowStart + boardAt + 3] = g0;
            out[rowStart + boardAt + 4] = g1;
            out[rowStart + boardAt + 5] = g2;
            if (cameraTurn !== null) {
              for (let k = 0; k < 6; k++) out[rowStart + poseAt + k] = derivatives.pose[6 * row + k];
            }
            for (let k = 0; k < start.free.length; k++) {
              out[rowStart + lensAt + k] = lensColumn(derivatives.lens, row, start.free[k]);
            }
            rowStart += n;
          }
        }
      }
    },
  };
  return { problem, layout, observed, names, corners };
}

function parameterLayout(start: BundleStart, boardCount: number) {
  const { cameras, boards, free } = start;
  const poseAt = (camera: number) => 6 * (camera - 1);
  const lensAt = (camera: number) => 6 * (cameras.length - 1) + free.length * camera;
  const boardAt = (board: number) => lensAt(cameras.length) + 6 * board;
  return {
    count: boardAt(boardCount),
    poseAt,
    lensAt,
    boardAt,
    start: Float64Array.of(
      ...cameras.slice(1).flatMap((camera) => [...vectorFromRotation(camera.rotation), ...camera.translation]),
      ...cameras.flatMap((camera) => free.map((parameter) => lensValue(camera, parameter))),
      ...[...boards.values()].flatMap((pose) => [...vectorFromRotation(pose.rotation), ...pose.translation]),
    ),
    cameras: (p: Float64Array): Camera[] =>
      cameras.map((camera, c) => {
        const lens = withLensValues(camera, free, p, lensAt(c));
        return c === 0 ? lens : { ...lens, ...poseFrom(p, poseAt(c)) };
      }),
    board: (p: Float64Array, board: number): Pose => poseFrom(p, boardAt(board)),
  };
}

function poseFrom(p: Float64Array, at: number): Pose {
  return { rotation: rotationFromVector(p.subarray(at, at + 3)), translation: p.slice(at + 3, at + 6) };
}
