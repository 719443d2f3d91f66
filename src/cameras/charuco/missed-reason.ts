import type { BoardDefinition } from '../../capture/board-file.ts';
import type { GreyImage } from '../../capture/image-file.ts';
import { findChessboard } from '../chessboard/find-chessboard.ts';
import type { Mat, OpenCv } from '../cv.d.ts';
import { placedMarkers } from '../defined-board.ts';
import {
  type DetectedBoard,
  detectBoard,
  detectMarkers,
  type Keep,
  WHOLE_DICTIONARIES,
  wholeDictionary,
} from './detected-markers.ts';
import type { CharucoMissed, OtherBoard } from './outcome.ts';

/** Different markers that must be read before a picture is said to show a board. Common practice, no source. */
const FEWEST_MARKERS = 5;
/** Corners of a grid without readable markers that make it a board. Common practice, no source. */
const FEWEST_OF_A_GRID = 9;
/** Edges wider than this are blurred, px, in pictures up to 1920 px long; in proportion in larger ones. Common practice, no source. */
const BLURRED_EDGE_PX = 4;

/**
 * Why the board was not found: flipped, another board, blurred, too far away, or only partly there. A blurred or distant
 * board has no readable marker, but its squares still show as a chessboard.
 */
export function missedOutcome(
  cv: OpenCv,
  keep: Keep,
  image: GreyImage,
  picture: Mat,
  board: BoardDefinition,
  detected: DetectedBoard,
): CharucoMissed {
  const missed = {
    found: false,
    markersSeen: new Set(detected.markerIds).size,
    cornersSeen: detected.cornerCount,
    edgeWidthPx: Number.NaN,
    surfaceRmsPx: Number.NaN,
    other: null,
  } as const;
  if (isMirrored(cv, keep, picture, board, detected)) return { ...missed, reason: 'mirrored' };
  const other = otherBoard(cv, keep, picture, board);
  if (other !== null) return { ...missed, reason: 'other-board', other };
  const grid = findChessboard(image, { columns: board.squaresAcross - 1, rows: board.squaresDown - 1 });
  const { edgeWidthPx } = grid;
  const blurred = BLURRED_EDGE_PX * Math.max(1, Math.max(image.width, image.height) / 1920);
  const isGrid = grid.found || grid.cornersSeen >= FEWEST_OF_A_GRID;
  // Without any grid, and with not one sharp edge in the whole picture.
  const allBlurred = !grid.found && grid.seen === null && grid.reason === 'too-blurred';
  if (allBlurred || (isGrid && edgeWidthPx > blurred)) return { ...missed, reason: 'too-blurred', edgeWidthPx };
  if (detected.cornerCount > 0) return { ...missed, reason: 'too-few-corners', edgeWidthPx };
  return { ...missed, reason: isGrid ? 'unreadable' : 'no-board', edgeWidthPx };
}

function isMirrored(cv: OpenCv, keep: Keep, picture: Mat, board: BoardDefinition, plain: DetectedBoard): boolean {
  const flipped = keep(new cv.Mat());
  cv.flip(picture, flipped, 1);
  const found = new Set(detectBoard(cv, keep, flipped, board).markerIds).size;
  return found >= FEWEST_MARKERS && found > 2 * new Set(plain.markerIds).size;
}

/** Markers that are not this board's, or are but stand elsewhere; its own dictionary is tried first. */
function otherBoard(cv: OpenCv, keep: Keep, picture: Mat, board: BoardDefinition): OtherBoard | null {
  if (board.markers === null) return null;
  const own = wholeDictionary(board.markers.dictionary);
  const ownIds = new Set(placedMarkers(board).map(({ id }) => id));
  for (const dictionary of [own, ...WHOLE_DICTIONARIES.filter((name) => name !== own)]) {
    const ids = [...new Set(detectMarkers(cv, keep, picture, dictionary))].sort((a, b) => a - b);
    const foreign = dictionary === own ? ids.filter((id) => !ownIds.has(id)) : ids;
    if (foreign.length >= FEWEST_MARKERS) {
      return { what: dictionary === own ? 'ids' : 'dictionary', dictionary, ids: foreign };
    }
    if (dictionary === own && ids.length >= 2 * FEWEST_MARKERS) return { what: 'arrangement' };
  }
  return null;
}
