import { fileURLToPath } from 'node:url';
import type { BoardImage } from '../../src/cameras/board.ts';
import { readBoardCorners } from '../../src/cli/calibrate-files.ts';

/** The stereo pairs of datasets/chessboard-corners. */
export const CHESSBOARD = { columns: 9, rows: 6, squareSizeM: 0.03 };
export const CHESSBOARD_SIZE = { width: 640, height: 480 };
export const CHESSBOARD_FILE = fileURLToPath(new URL('../../datasets/chessboard-corners/corners.csv', import.meta.url));

export function chessboardImages(): BoardImage[] {
  return readBoardCorners([CHESSBOARD_FILE], CHESSBOARD);
}
