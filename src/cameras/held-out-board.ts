import { type Board, type BoardImage, boardPoints } from './board.ts';
import { type BoardCamera, type BoardRigOptions, calibrateRigFromBoard } from './board-rig.ts';
import { dealt, type HeldOutLength, type HeldOutPair, heldOutLength, lengthFigure } from './held-out-length.ts';
import { pointFromViews } from './point-from-views.ts';
import type { Camera } from './rig.ts';

/** Parts into which the shared images are dealt; each is left out once. Common practice, no source. */
export const BOARD_FOLDS = 4;
/** A length must span this part of the board's row, column or diagonal to be measured. Common practice, no source. */
const LEAST_SPAN = 0.5;

/**
 * Whole rows, columns and diagonals of boards in images that the rig was not made from: lenses and relative poses come
 * from the other images. The square's own size is the same in all images: an error of it does not show here.
 */
export function heldOutBoardLength(
  images: readonly BoardImage[],
  board: Board,
  cameras: readonly BoardCamera[],
  options: Omit<BoardRigOptions, 'up'> = {},
): Promise<HeldOutLength> {
  const what = 'rows, columns and diagonals of boards in images left out of the calibration';
  const folds = dealt(sharedImages(images), BOARD_FOLDS);
  if (folds.length < 2) return Promise.resolve(lengthFigure(what, []));
  return heldOutLength(
    what,
    folds,
    async (leftOut) => {
      const others = images.filter((image) => !leftOut.includes(image.image));
      return (await calibrateRigFromBoard(others, board, cameras, options)).rig.cameras;
    },
    (fitted, leftOut) => leftOut.flatMap((name) => boardLengths(fitted, images, name, board)),
    (leftOut) => `images ${leftOut.join(', ')}`,
  );
}

/** Names of the images that two cameras or more took, in order of appearance. */
function sharedImages(images: readonly BoardImage[]): string[] {
  const count = new Map<string, number>();
  for (const { image } of images) count.set(image, (count.get(image) ?? 0) + 1);
  return [...count].filter(([, times]) => times > 1).map(([name]) => name);
}

/** The longest measurable line in every row and column, and both diagonals, of the board in one image. */
export function boardLengths(
  cameras: readonly Camera[],
  images: readonly BoardImage[],
  image: string,
  board: Board,
): HeldOutPair[] {
  const corners = cornersFromViews(cameras, images, image, board);
  const at = boardPoints(board);
  const { columns, rows } = board;
  const pairs: HeldOutPair[] = [];
  const measure = (line: readonly number[]) => {
    const seen = line.filter((corner) => corners[corner] !== null);
    const [a, b] = [seen[0], seen[seen.length - 1]];
    if (seen.length < 2) return;
    const trueM = Math.hypot(at[3 * a] - at[3 * b], at[3 * a + 1] - at[3 * b + 1]);
    const [first, last] = [line[0], line[line.length - 1]];
    const wholeM = Math.hypot(at[3 * first] - at[3 * last], at[3 * first + 1] - at[3 * last + 1]);
    if (trueM < LEAST_SPAN * wholeM) return;
    const [p, q] = [corners[a]!, corners[b]!];
    pairs.push({ measuredM: Math.hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2]), trueM });
  };
  for (let row = 0; row < rows; row++) measure(Array.from({ length: columns }, (_, column) => row * columns + column));
  for (let column = 0; column < columns; column++)
    measure(Array.from({ length: rows }, (_, row) => row * columns + column));
  measure([0, rows * columns - 1]);
  measure([columns - 1, (rows - 1) * columns]);
  return pairs;
}

function cornersFromViews(
  cameras: readonly Camera[],
  images: readonly BoardImage[],
  image: string,
  { columns, rows }: Board,
): (Float64Array | null)[] {
  const views = cameras.map((camera) => images.find((one) => one.image === image && one.camera === camera.name));
  const pixels = new Float64Array(2 * cameras.length);
  return Array.from({ length: columns * rows }, (_, corner) => {
    views.forEach((view, c) => {
      pixels[2 * c] = view?.corners[2 * corner] ?? Number.NaN;
      pixels[2 * c + 1] = view?.corners[2 * corner + 1] ?? Number.NaN;
    });
    return pointFromViews(cameras, pixels);
  });
}
