import { boardSizeWrong } from '../messages/cameras.ts';

/** A chessboard: counts of inner corners and the side of a square. */
export interface Board {
  readonly columns: number;
  readonly rows: number;
  readonly squareSizeM: number;
}

/** The board's corners in one image of one camera. */
export interface BoardImage {
  readonly camera: string;
  /** Pairs the images that several cameras took of the board in one place. */
  readonly image: string;
  /** (u, v) px of each inner corner, `2 * (row * columns + column)`; NaN where a corner was not found. */
  readonly corners: Float64Array;
}

/** Throws `boardSizeWrong` for a board with fewer than 3 × 3 inner corners or no size. */
export function checkBoard(board: Board): void {
  const { columns, rows, squareSizeM } = board;
  const whole = Number.isInteger(columns) && Number.isInteger(rows);
  if (!whole || columns < 3 || rows < 3 || !(squareSizeM > 0)) throw boardSizeWrong(columns, rows, squareSizeM);
}

/**
 * Inner corners in the board's own frame, metres, 3 × (row * columns + column): x along a row, y along a column, z = 0.
 * Seen with x to the right and y down, z points away from the viewer.
 */
export function boardPoints({ columns, rows, squareSizeM }: Board): Float64Array {
  const points = new Float64Array(3 * columns * rows);
  for (let corner = 0; corner < columns * rows; corner++) {
    points[3 * corner] = (corner % columns) * squareSizeM;
    points[3 * corner + 1] = Math.floor(corner / columns) * squareSizeM;
  }
  return points;
}

/** Indices of the corners found in an image. */
export function cornersFound(image: BoardImage): number[] {
  const found: number[] = [];
  for (let corner = 0; 2 * corner < image.corners.length; corner++) {
    if (Number.isFinite(image.corners[2 * corner]) && Number.isFinite(image.corners[2 * corner + 1]))
      found.push(corner);
  }
  return found;
}
