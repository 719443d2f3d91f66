import { describe, expect, test } from '@jest/globals';
import PDFDocument from 'pdfkit';
import { boardPoints } from '../../src/cameras/board.ts';
import { type BoardDrawing, boardDrawing, drawnCorners } from '../../src/cameras/board-print.ts';
import { markerBits } from '../../src/cameras/charuco/dictionary.ts';
import { cornerGrid, isSymmetric, placedMarkers, refuseSymmetricBoard } from '../../src/cameras/defined-board.ts';
import { type BoardDefinition, builtInBoards, type DictionaryName, readBoard } from '../../src/capture/board-file.ts';
import { reference } from '../reference.ts';
import { printedPage } from '../synthetic/charuco-views.ts';

interface DrawnBoard {
  across: number;
  down: number;
  first: number;
  rows: string[];
}
interface DrawnMarker {
  dictionary: DictionaryName;
  id: number;
  rows: string[];
}
const opencv = reference<DrawnBoard>('cameras-aruco-boards');
const markers = opencv.markers as DrawnMarker[];

/** Widths of the text as the PDF prints it. */
const helvetica = new PDFDocument().font('Helvetica');

/** Ink at a point of the page: the last rectangle that covers it. */
const inkAt = (drawing: BoardDrawing, x: number, y: number): string =>
  drawing.rectangles.findLast((r) => x > r.x && x < r.x + r.width && y > r.y && y < r.y + r.height)?.ink ?? 'white';

/** Squares of 8 mm with markers of 6 mm: a field of a marker is 1 mm. */
function smallBoard({ across, down, first }: DrawnBoard): BoardDefinition {
  return {
    name: 'small',
    pattern: 'charuco',
    squaresAcross: across,
    squaresDown: down,
    squareMm: 8,
    printedSquareMm: 8,
    markers: { dictionary: 'DICT_4X4_50', sideMm: 6, firstId: first, topLeftSquare: 'black' },
    paper: 'A4',
  };
}

describe('the drawing against OpenCV’s own generator', () => {
  test.each(opencv.cases)('$across × $down from marker $first: every field has the same ink', async (drawn) => {
    const { drawing } = await printedPage(smallBoard(drawn));
    const rows = drawn.rows.map((row, j) =>
      [...row]
        .map((_, i) =>
          inkAt(drawing, drawing.boardLeftMm + i + 0.5, drawing.boardTopMm + j + 0.5) === 'white' ? '1' : '0',
        )
        .join(''),
    );
    expect(rows).toEqual(drawn.rows);
  });

  test.each(markers)('marker $id of $dictionary has the same bits', async ({ dictionary, id, rows }) => {
    const bits = (await markerBits(dictionary, [id]))(id);
    const inner = rows.slice(1, -1).map((row) => row.slice(1, -1));
    expect([...bits].join('')).toBe(inner.join(''));
  });

  test('boards of old OpenCV with an even number of rows begin white: squares and markers change places', () => {
    const old = {
      ...smallBoard(opencv.cases[3]),
      markers: { ...smallBoard(opencv.cases[3]).markers!, topLeftSquare: 'white' as const },
    };
    expect(placedMarkers(old)[0]).toEqual({ id: 0, column: 0, row: 0 });
    expect(placedMarkers(smallBoard(opencv.cases[3]))[0]).toEqual({ id: 0, column: 1, row: 0 });
  });
});

describe.each(builtInBoards())('the page of %s', (name) => {
  const board = readBoard(name);

  test('has its corners where calibration counts them, in millimetres', async () => {
    const { drawing, cornersMm } = await printedPage(board);
    const points = boardPoints(cornerGrid(board));
    for (let k = 0; 3 * k < points.length; k++) {
      expect(cornersMm[2 * k] - cornersMm[0]).toBeCloseTo(1000 * points[3 * k], 9);
      expect(cornersMm[2 * k + 1] - cornersMm[1]).toBeCloseTo(1000 * points[3 * k + 1], 9);
      // Black and white meet crosswise.
      const [x, y] = [cornersMm[2 * k], cornersMm[2 * k + 1]];
      const around = [
        inkAt(drawing, x - 1, y - 1),
        inkAt(drawing, x + 1, y - 1),
        inkAt(drawing, x + 1, y + 1),
        inkAt(drawing, x - 1, y + 1),
      ];
      expect([around[0] === around[2], around[1] === around[3], around[0] !== around[1]]).toEqual([true, true, true]);
    }
    expect(inkAt(drawing, drawing.boardLeftMm + 1, drawing.boardTopMm + 1)).toBe('black');
  });

  test('keeps 5 mm of white around the board and 7 mm at the edge of the paper, and has rules of 100 mm both ways', async () => {
    const { drawing } = await printedPage(board);
    const { boardLeftMm: left, boardTopMm: top, widthMm, heightMm } = drawing;
    const [right, bottom] = [left + board.squaresAcross * board.squareMm, top + board.squaresDown * board.squareMm];
    const boxes = [
      ...drawing.lines.map(({ x1, y1, x2, y2 }) => [
        Math.min(x1, x2),
        Math.min(y1, y2),
        Math.max(x1, x2),
        Math.max(y1, y2),
      ]),
      ...drawing.texts.map(({ x, y, sizeMm, anchor, text }) => {
        const width = helvetica.fontSize(sizeMm).widthOfString(text);
        const x0 = anchor === 'start' ? x : x - width;
        return [x0, y - 0.75 * sizeMm, x0 + width, y + 0.25 * sizeMm];
      }),
    ];
    for (const [x0, y0, x1, y1] of boxes) {
      const apart = Math.max(left - x1, x0 - right, top - y1, y0 - bottom);
      expect(apart).toBeGreaterThanOrEqual(4.3);
      expect(Math.min(x0, y0, widthMm - x1, heightMm - y1)).toBeGreaterThanOrEqual(6.7);
    }
    const lengths = drawing.lines
      .map(({ x1, y1, x2, y2 }) => Math.hypot(x2 - x1, y2 - y1))
      .filter((length) => length > 50);
    expect(lengths).toEqual([100, 100]);
    expect(drawing.texts.map(({ text }) => text).join(' ')).toMatch(/100 %.*loaded bar/s);
  });
});

describe('boards that do not fit, or look alike from both ends', () => {
  const none = () => new Uint8Array(0);
  const chessboard = (squaresAcross: number, squaresDown: number, squareMm: number): BoardDefinition => ({
    name: 'plain',
    pattern: 'chessboard',
    squaresAcross,
    squaresDown,
    squareMm,
    printedSquareMm: squareMm,
    markers: null,
    paper: 'A4',
  });

  test.each(['A4', 'A3'] as const)('one too large for %s is told the largest square, and that one fits', (paper) => {
    for (const [across, down] of [
      [7, 10],
      [10, 7],
      [9, 6],
    ]) {
      let largest = 0;
      try {
        boardDrawing(chessboard(across, down, 60), paper, none);
      } catch (error) {
        largest = (error as { facts: { largestSquareMm: number } }).facts.largestSquareMm;
      }
      expect(boardDrawing(chessboard(across, down, largest - 0.001), paper, none).paper).toBe(paper);
      expect(() => boardDrawing(chessboard(across, down, largest + 0.01), paper, none)).toThrow(
        expect.objectContaining({ code: 'board-too-large-for-paper' }),
      );
    }
  });

  test('one wider than tall is drawn across', () => {
    const drawing = boardDrawing(chessboard(10, 7, 22), 'A4', none);
    expect([drawing.widthMm, drawing.heightMm]).toEqual([297, 210]);
    expect(drawnCorners(chessboard(10, 7, 22), drawing)).toHaveLength(2 * 9 * 6);
  });

  test('inner corners even × even or odd × odd are refused for two cameras, and serve one lens', () => {
    expect(
      [
        [7, 10],
        [8, 10],
        [7, 9],
        [7, 7],
      ].map(([a, d]) => isSymmetric(chessboard(a, d, 20))),
    ).toEqual([false, true, true, true]);
    expect(() => refuseSymmetricBoard(chessboard(8, 10, 20), 2)).toThrow(
      expect.objectContaining({
        code: 'board-symmetric',
        facts: { name: 'plain', innerAcross: 7, innerDown: 9, cameras: 2 },
      }),
    );
    refuseSymmetricBoard(chessboard(8, 10, 20), 1);
    refuseSymmetricBoard(readBoard('charuco-a4'), 3);
  });
});
