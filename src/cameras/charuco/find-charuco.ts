import type { BoardDefinition } from '../../capture/board-file.ts';
import { dictionaryBits } from '../../capture/board-file.ts';
import type { GreyImage } from '../../capture/image-file.ts';
import { median } from '../../numerics/statistics.ts';
import { fitCorner } from '../chessboard/corner-fit.ts';
import type { Mat, OpenCv } from '../cv.d.ts';
import { placedMarkers } from '../defined-board.ts';
import { loadOpenCv, withOpenCv } from '../opencv.ts';
import { type BoardSurface, fitBoardSurface } from './board-surface.ts';
import { type DetectedBoard, detectBoard, greyMat, type Keep } from './detected-markers.ts';
import { missedOutcome } from './missed-reason.ts';
import type { CharucoMissed, CharucoOutcome } from './outcome.ts';

/** Corners below which a picture is not used: the surface has nine parameters. Common practice, no source. */
export const FEWEST_CORNERS = 8;
/** Pixels of the picture per pixel of the searched one: shrunk for large or blurred markers, enlarged for small ones. */
const SCALES = [1, 0.5, 2, 4];
/** Sides between which a changed picture is searched, px: the shorter, the longer. */
const LEAST_SIDE_PX = 240;
const LARGEST_SIDE_PX = 4000;
/** Corners farther than this many standard deviations from the surface are cut, but not below LEAST_CUT_PX. */
const CUT_SD = 5;
const LEAST_CUT_PX = 0.25;
/** Corners off the surface by more than this part of a square, r.m.s.: the board is not flat. Common practice, no source. */
const NOT_FLAT_PART = 0.02;
const LEAST_NOT_FLAT_PX = 0.7;
/**
 * 10 % to 90 % width of an edge over the white gap between a marker and its square above which the two edges run into each
 * other: on rendered pictures the error of a corner is 0.06 px at 0.7 and 0.3 px at 0.83.
 */
const WIDEST_EDGE_PER_GAP = 0.75;
/** Marker side over square side off by more than this and one edge width: another board. Common practice, no source. */
const MARKER_SIDE_LIMIT = 0.1;
/** `fitCorner` looks at this part of the square whose sides it is given. */
const FITTED_PART = 0.45;

export interface CharucoOptions {
  /** false: a picture without the board is 'no-board' or 'too-few-corners' at once, for searching videos. */
  readonly explain?: boolean;
}

/**
 * The corners of a ChArUco board in a picture, in the order of `board.ts`.
 *
 * Markers are read by opencv.js, which also says which corner is which. Every corner is then fitted anew to the grey values
 * (`fitCorner`), in a window that ends inside the black frame of the markers: up to there the drawing is point-symmetric
 * about the corner, so that leaving the markers out of the model does not move it. A robust surface (`fitBoardSurface`)
 * gives the window its shape and cuts corners that do not lie on it: more than 5 standard deviations and more than 0.25 px.
 * Where the board is not found, the outcome says why.
 */
export async function findCharuco(
  image: GreyImage,
  board: BoardDefinition,
  { explain = true }: CharucoOptions = {},
): Promise<CharucoOutcome> {
  const cv = await loadOpenCv();
  return withOpenCv(cv, `board ${board.name}`, (keep) => {
    const picture = greyMat(cv, keep, image);
    const detected = detectAtScales(cv, keep, picture, board);
    const columns = board.squaresAcross - 1;
    const read = fitBoardSurface(detected.corners, columns, image.width, image.height);
    if (detected.cornerCount < FEWEST_CORNERS || read === null) {
      if (explain) return missedOutcome(cv, keep, image, picture, board, detected);
      return quickMiss(detected);
    }
    const fitted = fittedCorners(image, board, detected.corners, read);
    const surface = fitBoardSurface(fitted.corners, columns, image.width, image.height);
    const missed = { markersSeen: detected.markerIds.length, cornersSeen: fitted.count, other: null } as const;
    const widest = WIDEST_EDGE_PER_GAP * gapInSquares(board) * fitted.squarePx;
    if (fitted.edgeWidthPx > widest) {
      const { edgeWidthPx } = fitted;
      return { ...missed, found: false, reason: 'too-blurred', edgeWidthPx, surfaceRmsPx: Number.NaN };
    }
    const { edgeWidthPx, squarePx } = fitted;
    if (surface === null || fitted.count < FEWEST_CORNERS) {
      return { ...missed, found: false, reason: 'too-few-corners', edgeWidthPx, surfaceRmsPx: Number.NaN };
    }
    const limit = Math.max(LEAST_CUT_PX, CUT_SD * surface.sdPx);
    const corners = fitted.corners.map((x, o) => (surface.distances[o >> 1] <= limit ? x : Number.NaN));
    const kept = [...surface.distances].filter((d) => d <= limit);
    const surfaceRmsPx = Math.sqrt(kept.reduce((sum, d) => sum + d * d, 0) / kept.length);
    if (surfaceRmsPx > Math.max(LEAST_NOT_FLAT_PX, NOT_FLAT_PART * squarePx)) {
      return { ...missed, found: false, reason: 'not-flat', edgeWidthPx, surfaceRmsPx };
    }
    if (kept.length < FEWEST_CORNERS) {
      return { ...missed, found: false, reason: 'too-few-corners', edgeWidthPx, surfaceRmsPx };
    }
    const markerSide = markerSideSeen(board, detected, surface);
    const defined = (board.markers?.sideMm ?? 0) / board.squareMm;
    if (Math.abs(markerSide - defined) > MARKER_SIDE_LIMIT * defined + edgeWidthPx / squarePx) {
      const other = { what: 'marker size', seen: markerSide, defined } as const;
      return { ...missed, found: false, reason: 'other-board', edgeWidthPx, surfaceRmsPx, other };
    }
    const cut = detected.cornerCount - kept.length;
    return { found: true, corners, seen: kept.length, cut, surfaceRmsPx, edgeWidthPx, squarePx };
  });
}

function quickMiss({ markerIds, cornerCount }: DetectedBoard): CharucoMissed {
  return {
    found: false,
    reason: cornerCount > 0 ? 'too-few-corners' : 'no-board',
    markersSeen: new Set(markerIds).size,
    cornersSeen: cornerCount,
    edgeWidthPx: Number.NaN,
    surfaceRmsPx: Number.NaN,
    other: null,
  };
}

/** The board as found at the scale that shows most of its corners; pixels of the picture. */
function detectAtScales(cv: OpenCv, keep: Keep, picture: Mat, board: BoardDefinition): DetectedBoard {
  const all = (board.squaresAcross - 1) * (board.squaresDown - 1);
  let best: DetectedBoard | null = null;
  for (const scale of SCALES) {
    if (best !== null && best.cornerCount >= 0.5 * all) break;
    // Enlarging helps where some markers were read, and costs four times as much.
    if (scale < 1 && (best === null || best.markerIds.length === 0)) continue;
    const [width, height] = [Math.floor(picture.cols / scale), Math.floor(picture.rows / scale)];
    if (scale > 1 && Math.min(width, height) < LEAST_SIDE_PX) continue;
    if (scale < 1 && Math.max(width, height) > LARGEST_SIDE_PX) continue;
    let searched = picture;
    if (scale !== 1) {
      searched = keep(new cv.Mat());
      cv.resize(picture, searched, new cv.Size(width, height), 0, 0, scale > 1 ? cv.INTER_AREA : cv.INTER_CUBIC);
    }
    const [fx, fy] = [picture.cols / width, picture.rows / height];
    const whole = (x: number, o: number) => (o % 2 === 0 ? (x + 0.5) * fx - 0.5 : (x + 0.5) * fy - 0.5);
    const found = detectBoard(cv, keep, searched, board);
    if (best === null || found.cornerCount > best.cornerCount) {
      best = { ...found, corners: found.corners.map(whole), markerCorners: found.markerCorners.map(whole) };
    }
  }
  return best as DetectedBoard;
}

interface FittedCorners {
  readonly corners: Float64Array;
  readonly count: number;
  readonly edgeWidthPx: number;
  readonly squarePx: number;
}

/** Every corner read, fitted to the picture; those on which no corner fits become NaN. */
function fittedCorners(
  image: GreyImage,
  board: BoardDefinition,
  read: Float64Array,
  surface: BoardSurface,
): FittedCorners {
  const columns = board.squaresAcross - 1;
  const part = windowInSquares(board) / FITTED_PART;
  const at = new Float64Array(6);
  const [widths, sides]: number[][] = [[], []];
  const corners = new Float64Array(read.length).fill(Number.NaN);
  for (let k = 0; 2 * k < read.length; k++) {
    if (Number.isNaN(read[2 * k])) continue;
    const [x, y] = [k % columns, Math.floor(k / columns)];
    surface.pixelInto(at, 0, x, y);
    surface.pixelInto(at, 2, x + 0.5, y);
    surface.pixelInto(at, 4, x, y + 0.5);
    const along = [2 * (at[2] - at[0]), 2 * (at[3] - at[1])] as const;
    const down = [2 * (at[4] - at[0]), 2 * (at[5] - at[1])] as const;
    const fit = fitCorner(
      image,
      read[2 * k],
      read[2 * k + 1],
      [part * along[0], part * along[1]],
      [part * down[0], part * down[1]],
      1,
    );
    if (fit === null || fit.contrast > 0 === isDarkBetween(board, x, y)) continue;
    corners[2 * k] = fit.u;
    corners[2 * k + 1] = fit.v;
    widths.push(fit.edgeWidthPx);
    sides.push(Math.min(Math.hypot(...along), Math.hypot(...down)));
  }
  const count = widths.length;
  return {
    corners,
    count,
    edgeWidthPx: count === 0 ? Number.NaN : median(widths),
    squarePx: count === 0 ? Number.NaN : median(sides),
  };
}

/** Whether the square to the lower right of inner corner (column, row) is black. */
function isDarkBetween(board: BoardDefinition, column: number, row: number): boolean {
  return ((column + row) % 2 === 0) === ((board.markers?.topLeftSquare ?? 'black') === 'black');
}

/** White between a square's side and its marker, in squares. */
const gapInSquares = ({ markers, squareMm }: BoardDefinition): number => (1 - (markers?.sideMm ?? 0) / squareMm) / 2;

/** Half side of the window about a corner, in squares: four fifths of the way to the bits inside the marker's frame. */
function windowInSquares(board: BoardDefinition): number {
  if (board.markers === null) return FITTED_PART;
  const frame = board.markers.sideMm / board.squareMm / (dictionaryBits(board.markers.dictionary) + 2);
  return 0.8 * (gapInSquares(board) + frame);
}

const predicted = new Float64Array(2);

/** Side of the markers over that of their squares as the picture shows it: median over both diagonals of all of them. */
function markerSideSeen(board: BoardDefinition, { markerIds, markerCorners }: DetectedBoard, surface: BoardSurface) {
  const defined = (board.markers?.sideMm ?? 0) / board.squareMm;
  const squares = new Map(placedMarkers(board).map((placed) => [placed.id, placed]));
  const ratios: number[] = [];
  markerIds.forEach((id, i) => {
    const square = squares.get(id);
    if (square === undefined) return;
    for (const [a, b] of [
      [0, 2],
      [1, 3],
    ]) {
      const seen = Math.hypot(
        markerCorners[8 * i + 2 * a] - markerCorners[8 * i + 2 * b],
        markerCorners[8 * i + 2 * a + 1] - markerCorners[8 * i + 2 * b + 1],
      );
      const ends = [a, b].map((corner) => {
        const x = square.column - 0.5 + (corner === 1 || corner === 2 ? 0.5 : -0.5) * defined;
        const y = square.row - 0.5 + (corner > 1 ? 0.5 : -0.5) * defined;
        surface.pixelInto(predicted, 0, x, y);
        return [predicted[0], predicted[1]];
      });
      ratios.push((defined * seen) / Math.hypot(ends[0][0] - ends[1][0], ends[0][1] - ends[1][1]));
    }
  });
  return ratios.length === 0 ? defined : median(ratios);
}
