import { type BoardDefinition, CHECK_RULE_MM, type Paper } from '../capture/board-file.ts';
import { boardTooLargeForPaper } from '../messages/boards.ts';
import { isBlackSquare, placedMarkers } from './defined-board.ts';

/** A page with a board, as what is drawn on it in this order. Millimetres from the top left of the page, y down. */
export interface BoardDrawing {
  readonly title: string;
  readonly paper: Paper;
  readonly widthMm: number;
  readonly heightMm: number;
  /** Top left of the board. */
  readonly boardLeftMm: number;
  readonly boardTopMm: number;
  readonly rectangles: readonly DrawnRectangle[];
  readonly lines: readonly DrawnLine[];
  readonly texts: readonly DrawnText[];
}

export interface DrawnRectangle {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
  readonly ink: 'black' | 'white';
}

/** A black line, its ends cut square at the end points. */
export interface DrawnLine {
  readonly x1: number;
  readonly y1: number;
  readonly x2: number;
  readonly y2: number;
  readonly widthMm: number;
}

/** Black sans-serif text. x: its left, middle or right end; y: its base line. */
export interface DrawnText {
  readonly x: number;
  readonly y: number;
  readonly sizeMm: number;
  readonly anchor: 'start' | 'middle' | 'end';
  readonly text: string;
}

/** Bits of a marker without its frame, row-major, 1 = white. */
export type MarkerBits = (id: number) => Uint8Array;

/** Width, height of the sheets held upright (ISO 216). */
export const PAPER_MM: Readonly<Record<Paper, readonly [number, number]>> = { A4: [210, 297], A3: [297, 420] };

/** Edge that many printers leave white. Common practice, no source. */
const EDGE_MM = 7;
/**
 * White kept around the board; around a chessboard, whose outer squares are black, at least a quarter of a square. The
 * markers of a ChArUco board have white around them in their own squares. Common practice, no source.
 */
const LEAST_QUIET_MM = 5;
const TITLE_MM = 4;
const SIDE_RULE_MM = 3;
const FOOT_MM = 15;
const TEXT_MM = 2.4;
const LINE_MM = 0.2;
const TICK_MM = 2.2;

const FOOT_LINES = [
  'Print at 100 % (actual size), no fit to page, on matt paper. Both rules must measure 100 mm; else print again, or write it into the board file.',
  'Glue it flat, without bubbles, onto something stiff (aluminium composite, acrylic, thick plywood). No gloss, no laminate, no folds.',
  'Nobody goes near a loaded bar with a board: rack or unload it first.',
];

/**
 * The printed page of a board: the board in the middle, white around it, above it what it is, below it and at its left a
 * check rule of 100 mm (printers scale, and not always alike both ways), and how to print and mount it. Upright or across,
 * whichever fits. Throws `boardTooLargeForPaper`.
 */
export function boardDrawing(board: BoardDefinition, paper: Paper, bits: MarkerBits): BoardDrawing {
  const width = board.squaresAcross * board.squareMm;
  const height = board.squaresDown * board.squareMm;
  const quiet = quietMm(board);
  const [pageWidth, pageHeight] = orientedPage(board, paper);
  const left = (pageWidth - width) / 2;
  const spare = pageHeight - height - verticalRoom(quiet);
  const top = EDGE_MM + TITLE_MM + quiet + spare / 2;
  const footTop = top + height + quiet;
  const rulesLeft = left - quiet;
  return {
    title: `Kneeward ${board.name}`,
    paper,
    widthMm: pageWidth,
    heightMm: pageHeight,
    boardLeftMm: left,
    boardTopMm: top,
    rectangles: [...squareRectangles(board, left, top), ...markerRectangles(board, left, top, bits)],
    lines: [
      ...rule(left, footTop + TICK_MM, 'across'),
      ...rule(rulesLeft, top + height / 2 - CHECK_RULE_MM / 2, 'down'),
    ],
    texts: [
      { x: left, y: top - quiet, sizeMm: TEXT_MM, anchor: 'start', text: titleLine(board) },
      { x: left + width, y: top - quiet, sizeMm: TEXT_MM, anchor: 'end', text: 'top' },
      {
        x: left + CHECK_RULE_MM + 2,
        y: footTop + TICK_MM,
        sizeMm: TEXT_MM,
        anchor: 'start',
        text: `${CHECK_RULE_MM} mm from the first tick to the last`,
      },
      ...FOOT_LINES.map(
        (text, i): DrawnText => ({
          x: Math.min(left, pageWidth / 2 - 80),
          y: footTop + TICK_MM + 4 + 3.2 * i,
          sizeMm: TEXT_MM,
          anchor: 'start',
          text,
        }),
      ),
    ],
  };
}

/** Corners of the board's inner squares on the page, mm, 2 × (row * columns + column), as calibration counts them. */
export function drawnCorners(board: BoardDefinition, drawing: BoardDrawing): Float64Array {
  const columns = board.squaresAcross - 1;
  const corners = new Float64Array(2 * columns * (board.squaresDown - 1));
  for (let i = 0; 2 * i < corners.length; i++) {
    corners[2 * i] = drawing.boardLeftMm + (1 + (i % columns)) * board.squareMm;
    corners[2 * i + 1] = drawing.boardTopMm + (1 + Math.floor(i / columns)) * board.squareMm;
  }
  return corners;
}

const quietMm = ({ pattern, squareMm }: BoardDefinition): number =>
  pattern === 'charuco' ? LEAST_QUIET_MM : Math.max(LEAST_QUIET_MM, squareMm / 4);
const verticalRoom = (quiet: number): number => 2 * EDGE_MM + TITLE_MM + FOOT_MM + 2 * quiet;
const sideRoom = (quiet: number): number => 2 * (EDGE_MM + SIDE_RULE_MM + quiet);

/** Page width and height: upright where the board fits so, else across. */
function orientedPage(board: BoardDefinition, paper: Paper): readonly [number, number] {
  const [short, long] = PAPER_MM[paper];
  const width = board.squaresAcross * board.squareMm;
  const height = board.squaresDown * board.squareMm;
  const quiet = quietMm(board);
  const pages: readonly (readonly [number, number])[] = [
    [short, long],
    [long, short],
  ];
  const fitting = pages.find(
    ([w, h]) => width <= w - sideRoom(quiet) + 1e-9 && height <= h - verticalRoom(quiet) + 1e-9,
  );
  if (fitting !== undefined) return fitting;
  const [w, h] = board.squaresAcross > board.squaresDown ? pages[1] : pages[0];
  const largest = Math.max(...pages.map(([pw, ph]) => largestSquare(board, pw, ph)));
  throw boardTooLargeForPaper(board.name, paper, width, height, w - sideRoom(quiet), h - verticalRoom(quiet), largest);
}

/** Largest square with which the board fits the page, mm; the white around a chessboard grows with the square. */
function largestSquare(board: BoardDefinition, pageWidth: number, pageHeight: number): number {
  const { squaresAcross, squaresDown, pattern } = board;
  const withLeast = Math.min(
    (pageWidth - sideRoom(LEAST_QUIET_MM)) / squaresAcross,
    (pageHeight - verticalRoom(LEAST_QUIET_MM)) / squaresDown,
  );
  if (pattern === 'charuco' || withLeast / 4 <= LEAST_QUIET_MM) return withLeast;
  return Math.max(
    4 * LEAST_QUIET_MM,
    Math.min((pageWidth - sideRoom(0)) / (squaresAcross + 0.5), (pageHeight - verticalRoom(0)) / (squaresDown + 0.5)),
  );
}

function titleLine(board: BoardDefinition): string {
  const { name, squaresAcross, squaresDown, squareMm, markers } = board;
  const squares = `${squaresAcross} × ${squaresDown} squares of ${squareMm} mm`;
  if (markers === null)
    return `${name}: chessboard, ${squares}, ${squaresAcross - 1} × ${squaresDown - 1} inner corners`;
  const last = markers.firstId + placedMarkers(board).length - 1;
  return `${name}: ChArUco, ${squares}, markers ${markers.sideMm} mm, ${markers.dictionary} ${markers.firstId} to ${last}`;
}

function squareRectangles(board: BoardDefinition, left: number, top: number): DrawnRectangle[] {
  const { squareMm: s } = board;
  const drawn: DrawnRectangle[] = [];
  for (let row = 0; row < board.squaresDown; row++) {
    for (let column = 0; column < board.squaresAcross; column++) {
      if (!isBlackSquare(board, column, row)) continue;
      drawn.push({ x: left + column * s, y: top + row * s, width: s, height: s, ink: 'black' });
    }
  }
  return drawn;
}

/**
 * Each marker as a black square with its white bits on it. White runs are drawn both along rows and along columns: drawn
 * once, two that touch show a grey hairline wherever a viewer smooths edges.
 */
function markerRectangles(board: BoardDefinition, left: number, top: number, bits: MarkerBits): DrawnRectangle[] {
  if (board.markers === null) return [];
  const { sideMm } = board.markers;
  const inset = (board.squareMm - sideMm) / 2;
  return placedMarkers(board).flatMap(({ id, column, row }) => {
    const white = bits(id);
    const n = Math.round(Math.sqrt(white.length));
    const cell = sideMm / (n + 2);
    const x0 = left + column * board.squareMm + inset;
    const y0 = top + row * board.squareMm + inset;
    const drawn: DrawnRectangle[] = [{ x: x0, y: y0, width: sideMm, height: sideMm, ink: 'black' }];
    for (let line = 0; line < n; line++) {
      for (const [from, to] of runs(n, (i) => white[line * n + i] === 1)) {
        drawn.push(whiteCells(x0, y0, cell, from, line, to - from, 1));
      }
      for (const [from, to] of runs(n, (i) => white[i * n + line] === 1)) {
        if (to - from > 1) drawn.push(whiteCells(x0, y0, cell, line, from, 1, to - from));
      }
    }
    return drawn;
  });
}

/** A block of white cells; column and row count inside the marker's black frame. */
function whiteCells(x0: number, y0: number, cell: number, column: number, row: number, across: number, down: number) {
  const [x, y] = [x0 + (column + 1) * cell, y0 + (row + 1) * cell];
  return { x, y, width: across * cell, height: down * cell, ink: 'white' } as const;
}

/** Stretches [from, to) of 0 … n − 1 in which `inside` holds. */
function runs(n: number, inside: (i: number) => boolean): [number, number][] {
  const found: [number, number][] = [];
  for (let i = 0; i < n; i++) {
    if (!inside(i)) continue;
    if (i > 0 && inside(i - 1)) found[found.length - 1][1] = i + 1;
    else found.push([i, i + 1]);
  }
  return found;
}

/** A rule of 100 mm with a tick every 10 mm, longer at its ends; ticks point away from the board's inside. */
function rule(x: number, y: number, way: 'across' | 'down'): DrawnLine[] {
  const across = way === 'across';
  const end = CHECK_RULE_MM;
  const drawn: DrawnLine[] = [{ x1: x, y1: y, x2: across ? x + end : x, y2: across ? y : y + end, widthMm: LINE_MM }];
  for (let at = 0; at <= end; at += 10) {
    const length = at % end === 0 ? TICK_MM : TICK_MM / 2;
    const [tx, ty] = across ? [x + at, y] : [x, y + at];
    drawn.push({ x1: tx, y1: ty, x2: across ? tx : tx - length, y2: across ? ty - length : ty, widthMm: LINE_MM });
  }
  return drawn;
}
