import type { GreyImage } from '../../capture/image-file.ts';
import { type GridInPicture, hasBoardSize, inBoardOrder, spacingOf, withoutRaggedRims } from './board-in-grid.ts';
import { cornerCandidates } from './corner-candidates.ts';
import { cornerGrids, ROOM_FOR_GROWTH } from './corner-grid.ts';
import { linkCorners } from './corner-links.ts';
import { missedOutcome, tooBlurred } from './missed-reason.ts';
import type { ChessboardOutcome, GridSize } from './outcome.ts';
import { fullFromLevel, type PictureLevel, pictureLevels } from './picture-level.ts';
import { refineCorners } from './refine-corners.ts';
import { saddleMap } from './saddle-points.ts';

/** Longer side of the level that is searched first, px: boards with squares of 8 px or more on it are found. */
const FIRST_LEVEL_PX = 1300;
/** Longer side of the coarsest level, px. */
const LEAST_LEVEL_PX = 150;
/** Pictures up to this size are also searched enlarged twofold, for squares down to 4 px. */
const ENLARGED_UP_TO_PX = 1300;
/** A second complete board counts if its squares are at least this part of the first one's. */
const SECOND_BOARD_PART = 0.5;

/**
 * The inner corners of a chessboard in a picture.
 *
 * Four steps: saddle points of the smoothed picture on which a circle shows two dark and two bright quarters; links
 * between corners along visible edges; grids of linked corners, grown where neighbours predict a corner; fit of a blurred
 * corner to the full picture (`fitCorner`). Levels of the image pyramid are searched until the board is complete.
 *
 * Order: columns and rows are right-handed as seen (from +column to +row is clockwise in the picture) and the first corner is
 * the one outside which the square is dark. This settles the order where columns + rows is odd. Other boards look the same
 * after half a turn: there the first corner is the one nearest to the picture's top-left corner, which no second camera
 * needs to share (`settlesOrder`).
 */
export function findChessboard(image: GreyImage, board: GridSize): ChessboardOutcome {
  const levelAt = pictureLevels(image);
  let largest: GridInPicture | null = null;
  for (const scale of searchOrder(image)) {
    const level = levelAt(scale);
    if (Math.min(level.width, level.height) < 24) continue;
    const grids = gridsIn(level);
    const boards = grids.filter((one) => hasBoardSize(one.grid, board.columns, board.rows));
    if (boards.length > 0) {
      const [first, second] = boards.sort((a, b) => spacingOf(b.grid) - spacingOf(a.grid));
      if (second !== undefined && spacingOf(second.grid) > SECOND_BOARD_PART * spacingOf(first.grid))
        return missedOutcome(image, levelAt, first, board, 'several-boards');
      const refined = refineCorners(image, inBoardOrder(first.grid, board.columns), first.scale);
      if (refined !== null && !tooBlurred(refined)) return refined;
    }
    for (const one of grids) if (one.grid.filled > (largest?.grid.filled ?? 0)) largest = one;
  }
  return missedOutcome(image, levelAt, largest, board);
}

/** Whether the colours of the board tell its two ends apart: an even count of corners one way, an odd one the other. */
export const settlesOrder = ({ columns, rows }: GridSize): boolean => (columns + rows) % 2 === 1;

/** Scales to be searched: a middle one, then finer, then coarser, then enlarged. */
function searchOrder({ width, height }: GreyImage): number[] {
  const longer = Math.max(width, height);
  let first = 1;
  while (longer / first > FIRST_LEVEL_PX) first *= 2;
  const finer: number[] = [];
  for (let scale = first / 2; scale >= 1; scale /= 2) finer.push(scale);
  const coarser: number[] = [];
  for (let scale = 2 * first; longer / scale >= LEAST_LEVEL_PX; scale *= 2) coarser.push(scale);
  const [next, ...finest] = finer;
  const enlarged = longer <= ENLARGED_UP_TO_PX ? [0.5] : [];
  return [first, ...(next === undefined ? [] : [next]), ...coarser, ...finest, ...enlarged];
}

function gridsIn(level: PictureLevel): GridInPicture[] {
  const map = saddleMap(level);
  const found = cornerCandidates(map, ROOM_FOR_GROWTH);
  return cornerGrids(found, linkCorners(found, level), map).map((grid) => {
    const full = { ...grid, corners: grid.corners.map((x) => fullFromLevel(x, level.scale)) };
    return { grid: withoutRaggedRims(full), scale: level.scale };
  });
}
