import type { Board, BoardImage } from '../cameras/board.ts';
import type { CameraRig } from '../cameras/rig.ts';
import { SampleStatus } from '../capture/sample-status.ts';
import { mean, standardDeviation } from '../numerics/statistics.ts';
import { pointProblem, triangulatePoint } from '../reconstruction/triangulate-point.ts';

/** The board measured back through the rig, metres; every corner is triangulated from all cameras that see it. */
export interface BoardCheck {
  readonly edgeMeanM: number;
  readonly edgeSdM: number;
  readonly edges: number;
  readonly diagonalMeanM: number;
  readonly diagonals: number;
}

/** Null where no corner is seen by two cameras. */
export function measureBoard(rig: CameraRig, images: readonly BoardImage[], board: Board): BoardCheck | null {
  const edges: number[] = [];
  const diagonals: number[] = [];
  for (const name of new Set(images.map((image) => image.image))) {
    const corners = triangulateCorners(
      rig,
      images.filter((image) => image.image === name),
      board,
    );
    const distance = (a: number, b: number) =>
      Math.hypot(
        corners[3 * a] - corners[3 * b],
        corners[3 * a + 1] - corners[3 * b + 1],
        corners[3 * a + 2] - corners[3 * b + 2],
      );
    const { columns, rows } = board;
    for (let row = 0; row < rows; row++) {
      for (let column = 0; column < columns; column++) {
        const corner = row * columns + column;
        if (column + 1 < columns) edges.push(distance(corner, corner + 1));
        if (row + 1 < rows) edges.push(distance(corner, corner + columns));
      }
    }
    diagonals.push(distance(0, columns * rows - 1), distance(columns - 1, columns * (rows - 1)));
  }
  const seenEdges = edges.filter(Number.isFinite);
  const seenDiagonals = diagonals.filter(Number.isFinite);
  if (seenEdges.length < 2) return null;
  return {
    edgeMeanM: mean(seenEdges),
    edgeSdM: standardDeviation(seenEdges),
    edges: seenEdges.length,
    diagonalMeanM: seenDiagonals.length === 0 ? Number.NaN : mean(seenDiagonals),
    diagonals: seenDiagonals.length,
  };
}

function triangulateCorners(rig: CameraRig, images: readonly BoardImage[], board: Board): Float64Array {
  const problem = pointProblem(rig.cameras);
  const views = rig.cameras.map((camera) => images.find((image) => image.camera === camera.name));
  const corners = new Float64Array(3 * board.columns * board.rows).fill(Number.NaN);
  for (let corner = 0; corner < board.columns * board.rows; corner++) {
    views.forEach((view, v) => {
      const u = view === undefined ? Number.NaN : view.corners[2 * corner];
      problem.pixel[2 * v] = u;
      problem.pixel[2 * v + 1] = view === undefined ? Number.NaN : view.corners[2 * corner + 1];
      problem.use[v] = Number.isFinite(u) ? 1 : 0;
    });
    if (triangulatePoint(problem) === SampleStatus.seen) corners.set(problem.position, 3 * corner);
  }
  return corners;
}
