import { describe, expect, test } from '@jest/globals';
import { findChessboard, settlesOrder } from '../../../src/cameras/chessboard/find-chessboard.ts';
import type { ChessboardFound, ChessboardMissed } from '../../../src/cameras/chessboard/outcome.ts';
import type { GreyImage } from '../../../src/capture/image-file.ts';
import { type BoardPictureSetting, boardPicture } from '../../synthetic/board-picture.ts';
import { BOARD, cameraBefore, camerasAroundBoard, cornerRms, SMALL_LENS } from './board-scenes.ts';

const [NEAR, OTHER, THIRD] = camerasAroundBoard(3, 11);
const picture = (changes: Partial<BoardPictureSetting> = {}) =>
  boardPicture({ camera: NEAR, board: BOARD, ...changes });

function found(image: GreyImage, board = BOARD): ChessboardFound {
  const outcome = findChessboard(image, board);
  if (!outcome.found) throw new Error(`missed: ${JSON.stringify(outcome)}`);
  return outcome;
}
function missed(image: GreyImage, board = BOARD): ChessboardMissed {
  const outcome = findChessboard(image, board);
  if (outcome.found) throw new Error('found a board');
  return outcome;
}

describe('rendered boards with known corners, among clutter', () => {
  // 0.1 px: a tenth of a pixel is what the lens calibration needs (its own residuals on photographs are 0.16 px).
  test.each([
    ['sharp', { blurPx: 0.5 }, NEAR],
    ['usual blur, light falling off by 70 %', { blurPx: 1, shade: 0.7 }, OTHER],
    ['blur 2 px', { blurPx: 2 }, THIRD],
    ['noise of 10 grey levels', { noise: 10, blurPx: 1 }, NEAR],
    ['motion of 4 px', { motionPx: [4, 1] as const }, OTHER],
    ['squares of 8 px', { camera: cameraBefore(2) }, null],
  ] as const)('%s: corners within 0.1 px r.m.s., in order', (_, changes, camera) => {
    const { image, corners } = picture({ ...(camera === null ? {} : { camera }), ...changes });
    const outcome = found(image);
    expect(outcome.missing).toBe(0);
    expect(outcome.firstSquare).toBe('dark');
    expect(cornerRms(outcome.corners, corners)).toBeLessThan(0.1);
  });

  test('the edge width is that of the blur and the pixel', () => {
    // 2.563 √(σ² + 1/12) for a Gaussian in linear light; the tone curve (gamma 2.2) makes edges up to 15 % wider.
    for (const blurPx of [0.7, 1.5]) {
      const truth = 2.563 * Math.sqrt(blurPx ** 2 + 1 / 12);
      const { edgeWidthPx } = found(picture({ blurPx }).image);
      expect(edgeWidthPx / truth).toBeGreaterThan(0.95);
      expect(edgeWidthPx / truth).toBeLessThan(1.2);
    }
  });

  test('a picture of 1600 × 1200 px is searched at half size and fitted at full size', () => {
    // 12 megapixels: tests/benchmarks/chessboard.ts.
    const lens = { ...SMALL_LENS, imageWidth: 1600, imageHeight: 1200, fx: 1337, fy: 1337, cx: 825, cy: 588 };
    const [camera] = camerasAroundBoard(1, 5, lens);
    const { image, corners } = picture({ camera, blurPx: 1.5, noise: 3, supersampling: 3 });
    const outcome = found(image);
    expect(outcome.missing).toBe(0);
    expect(cornerRms(outcome.corners, corners)).toBeLessThan(0.1);
  });

  test('a few covered corners are NaN, the others stay', () => {
    const { corners } = picture();
    const { image } = picture({ covers: [[corners[26], corners[27], 22]] });
    const outcome = found(image);
    expect(outcome.missing).toBeGreaterThan(0);
    expect(outcome.missing).toBeLessThan(6);
    expect(outcome.corners[26]).toBeNaN();
    expect(cornerRms(outcome.corners, corners)).toBeLessThan(0.1);
  });
});

describe('order of the corners', () => {
  test.each([
    [6, 9],
    [9, 6],
    [4, 7],
    [8, 5],
  ])('%i × %i: settled by colour, whichever way round the board is seen', (columns, rows) => {
    const board = { columns, rows, squareSizeM: 0.03 };
    expect(settlesOrder(board)).toBe(true);
    for (const camera of [NEAR, OTHER]) {
      const { image, corners } = picture({ camera, board });
      expect(cornerRms(found(image, board).corners, corners)).toBeLessThan(0.1);
    }
  });

  test('symmetric boards leave it open: half a turn of the picture changes the first corner', () => {
    const board = { columns: 7, rows: 5, squareSizeM: 0.03 };
    expect(settlesOrder(board)).toBe(false);
    const { image } = picture({ board });
    const turned = { ...image, pixels: image.pixels.slice().reverse() };
    const [a, b] = [found(image, board).corners, found(turned, board).corners];
    // The same place in the picture, not the same corner of the board.
    expect(Math.hypot(a[0] - b[0], a[1] - b[1])).toBeLessThan(0.3 * image.width);
    expect(Math.hypot(a[0] - (image.width - 1 - b[0]), a[1] - (image.height - 1 - b[1]))).toBeGreaterThan(100);
  });

  test('right-handed: from the first row to the first column is clockwise in the picture', () => {
    for (const camera of [NEAR, OTHER, THIRD]) {
      const { corners: c } = found(picture({ camera }).image);
      expect((c[2] - c[0]) * (c[19] - c[1]) - (c[3] - c[1]) * (c[18] - c[0])).toBeGreaterThan(0);
    }
  });
});

/** Two samples a pixel each way are enough to be missed. */
const coarse = (changes: Partial<BoardPictureSetting> = {}) => picture({ supersampling: 2, ...changes });

describe('why a board is missed', () => {
  test('another board', () => {
    for (const [columns, rows] of [
      [8, 6],
      [10, 7],
    ]) {
      const outcome = missed(coarse({ board: { ...BOARD, columns, rows } }).image);
      expect([outcome.reason, outcome.seen]).toEqual(['other-size', { columns, rows }]);
    }
  });

  test('blur of the lens and of motion', () => {
    for (const changes of [{ blurPx: 9 }, { motionPx: [30, 8] as const }]) {
      const outcome = missed(coarse(changes).image);
      expect(outcome.reason).toBe('too-blurred');
      expect(outcome.edgeWidthPx).toBeGreaterThan(8);
    }
  });

  test('a board over the border of the picture', () => {
    const outcome = missed(coarse({ camera: cameraBefore(0.6, 0.3) }).image);
    expect(outcome.reason).toBe('cut-off');
    expect(outcome.seen!.columns * outcome.seen!.rows).toBeLessThan(54);
  });

  test('a covered corner of the board', () => {
    const { corners } = coarse();
    const outcome = missed(coarse({ covers: [[corners[0], corners[1], 60]] }).image);
    expect(outcome.reason).toBe('partly-hidden');
    expect(outcome.cornersSeen).toBeLessThan(50);
  });

  test('no board, though tiles and bars are in the picture; and a lens cap', () => {
    const beside = { ...NEAR, translation: Float64Array.of(5, 5, 1) };
    expect(missed(coarse({ camera: beside }).image).reason).toBe('no-corners');
    const flat = { width: 640, height: 480, pixels: new Uint8Array(640 * 480).fill(100) };
    expect(missed(flat).reason).toBe('flat-picture');
  });

  test('squares of 4.6 px', () => {
    expect(missed(coarse({ camera: cameraBefore(3.5) }).image).reason).toBe('too-small');
  });

  test('two boards of one size are refused; a board of another size beside it, or a far smaller one, is passed over', () => {
    const camera = cameraBefore(1.2, -0.25);
    const second = { camera: cameraBefore(1.2, 0.3), board: BOARD };
    expect(missed(coarse({ camera, others: [second] }).image).reason).toBe('several-boards');
    const other = { ...second, board: { ...BOARD, columns: 7 } };
    const far = { camera: cameraBefore(2.8, 0.7), board: BOARD };
    for (const beside of [other, far]) {
      const { image, corners } = coarse({ camera, others: [beside] });
      expect(cornerRms(found(image).corners, corners)).toBeLessThan(0.1);
    }
  });
});
