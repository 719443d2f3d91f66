import type { GreyImage } from '../../capture/image-file.ts';
import { type GridInPicture, hasBoardSize, spacingOf } from './board-in-grid.ts';
import type { CornerGrid } from './corner-grid.ts';
import type { ChessboardFound, ChessboardMissed, GridSize, MissReason } from './outcome.ts';
import type { PictureLevel } from './picture-level.ts';
import { edgeWidthOfPicture, greySpread } from './picture-sharpness.ts';
import { fitGrid } from './refine-corners.ts';

/** Spread of grey levels below which a picture shows nothing. Common practice, no source. */
const FLAT_GREY_LEVELS = 12;
/** Sharpest edges of a picture wider than this part of its longer side: blurred. Common practice, no source. */
const BLURRED_PART = 0.008;
/**
 * Edge width, as part of the square's side, above which a board is given up: neighbouring edges run into each other, and
 * corners of rendered boards are off by 0.1 px r.m.s. and more (docs/method/chessboard.md).
 */
const WIDEST_EDGE_PART = 0.4;
/** Median standard deviation of the corners above which a board is given up, px. Common practice, no source. */
const WORST_SD_PX = 0.25;

/** Roughness of the grid above which a board is given up: px, and part of the square's side. Common practice, no source. */
const ROUGHEST_PX = 0.3;
const ROUGHEST_PART = 0.01;

/**
 * Whether neighbouring edges run into each other, or corners are lost in the blur. A picture smeared along a diagonal of
 * the squares moves every second corner: only the roughness of the grid shows that.
 */
export const tooBlurred = ({ edgeWidthPx, squarePx, cornerSdPx, roughnessPx }: ChessboardFound): boolean =>
  edgeWidthPx > WIDEST_EDGE_PART * squarePx ||
  cornerSdPx > WORST_SD_PX ||
  roughnessPx > Math.max(ROUGHEST_PX, ROUGHEST_PART * squarePx);

/** Part of the board's corners, and number of corners, below which a grid says nothing about the board (tiles, shelves). */
const LEAST_PART_OF_BOARD = 0.3;
const FEWEST_OF_A_BOARD = 9;
/** Part of a rectangle of corners that must be seen before it is called complete. */
const COMPLETE = 0.95;
/** Part of a grid's corners that must bear the fit; a grid of chance, or of a smeared board, does not. */
const LEAST_PART_FITTED = 0.8;
/** Distance of corners below which a fit has too few pixels. */
const SMALLEST_SQUARE_PX = 6;

/** Why there is no board: from the largest grid seen, how near it is to the border, and how sharp the picture is. */
export function missedOutcome(
  image: GreyImage,
  levelAt: (scale: number) => PictureLevel,
  largest: GridInPicture | null,
  wanted: GridSize,
  known: MissReason | null = null,
): ChessboardMissed {
  const contrast = greySpread(image);
  const pictureWidthPx = edgeWidthOfPicture(image, levelAt);
  const least = Math.max(FEWEST_OF_A_BOARD, LEAST_PART_OF_BOARD * wanted.columns * wanted.rows);
  const seen = largest !== null && largest.grid.filled >= least ? largest : null;
  const fitted = seen === null ? null : fitGrid(image, seen.grid, seen.scale);
  const reason =
    known ??
    (contrast < FLAT_GREY_LEVELS
      ? 'flat-picture'
      : seen !== null && fitted !== null
        ? reasonFromGrid(image, seen, wanted, fitted, pictureWidthPx)
        : pictureWidthPx > BLURRED_PART * Math.max(image.width, image.height)
          ? 'too-blurred'
          : 'no-corners');
  const grid = seen?.grid;
  return {
    found: false,
    reason,
    seen:
      grid === undefined
        ? null
        : { columns: Math.max(grid.columns, grid.rows), rows: Math.min(grid.columns, grid.rows) },
    cornersSeen: grid?.filled ?? 0,
    edgeWidthPx: Number.isFinite(fitted?.edgeWidthPx) ? fitted!.edgeWidthPx : pictureWidthPx,
    contrast,
  };
}

function reasonFromGrid(
  image: GreyImage,
  { grid, scale }: GridInPicture,
  wanted: GridSize,
  fitted: ChessboardFound,
  pictureWidthPx: number,
): MissReason {
  const [larger, smaller] = [Math.max(wanted.columns, wanted.rows), Math.min(wanted.columns, wanted.rows)];
  const [long, short] = [Math.max(grid.columns, grid.rows), Math.min(grid.columns, grid.rows)];
  const spacing = spacingOf(grid);
  const blurred = tooBlurred(fitted) || pictureWidthPx > WIDEST_EDGE_PART * spacing;
  if (spacing <= SMALLEST_SQUARE_PX) return 'too-small';
  if (blurred) return 'too-blurred';
  const count = grid.columns * grid.rows - fitted.missing;
  // Squares so smeared that only a coarse level shows them.
  if (count < LEAST_PART_FITTED * grid.filled)
    return scale > 1 && hasBoardSize(grid, wanted.columns, wanted.rows) ? 'too-blurred' : 'partly-hidden';
  if (long > larger || short > smaller) return 'other-size';
  if (touchesBorder(image, grid)) return 'cut-off';
  const complete = grid.filled >= COMPLETE * grid.columns * grid.rows;
  return complete && (long !== larger || short !== smaller) ? 'other-size' : 'partly-hidden';
}

/** Whether a further row or column of corners would lie, at least partly, outside the picture. */
function touchesBorder({ width, height }: GreyImage, { columns, rows, corners }: CornerGrid): boolean {
  const outside = (from: number, to: number) => {
    const [x, y] = [2 * corners[2 * to] - corners[2 * from], 2 * corners[2 * to + 1] - corners[2 * from + 1]];
    return x < 0 || y < 0 || x > width - 1 || y > height - 1;
  };
  for (let r = 0; r < rows; r++) {
    const [first, last] = [r * columns, r * columns + columns - 1];
    if (columns > 1 && (outside(first + 1, first) || outside(last - 1, last))) return true;
  }
  for (let c = 0; c < columns; c++) {
    const last = (rows - 1) * columns + c;
    if (rows > 1 && (outside(c + columns, c) || outside(last - columns, last))) return true;
  }
  return false;
}
