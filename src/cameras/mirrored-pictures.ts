import type { Board, BoardImage } from './board.ts';

/**
 * The corners as they would have been found had the camera not stored its pictures mirrored: u turned over, and the corners
 * counted anew so that they go round the same way. A chessboard looks like itself in the mirror, so one picture cannot
 * tell; but the poses of a mirrored camera contradict those of the others. Which side the new count begins from depends on
 * the colours: `along` says whether columns or rows are reversed.
 */
export function turnedOver(
  images: readonly BoardImage[],
  { columns, rows }: Board,
  imageWidth: number,
  along: 'columns' | 'rows',
): BoardImage[] {
  return images.map((image) => {
    const corners = new Float64Array(image.corners.length);
    for (let row = 0; row < rows; row++) {
      for (let column = 0; column < columns; column++) {
        const from = along === 'columns' ? row * columns + columns - 1 - column : (rows - 1 - row) * columns + column;
        const to = row * columns + column;
        corners[2 * to] = imageWidth - 1 - image.corners[2 * from];
        corners[2 * to + 1] = image.corners[2 * from + 1];
      }
    }
    return { ...image, corners };
  });
}
