import type { BoardDefinition } from '../capture/board-file.ts';
import { boardSymmetric } from '../messages/boards.ts';
import type { Board } from './board.ts';

/**
 * The inner corners of a defined board as calibration counts them: columns and rows of corners, printed size of a square.
 * Corner 0 lies at the lower right of the top-left square; `row * columns + column`, as printed and read.
 */
export function cornerGrid(board: BoardDefinition): Board {
  return {
    columns: board.squaresAcross - 1,
    rows: board.squaresDown - 1,
    squareSizeM: board.printedSquareMm / 1000,
  };
}

/**
 * Whether half a turn leaves the picture of the board as it was. A ChArUco board is coded and never does; a chessboard does
 * where both counts of squares are even or both are odd: then the ends of each diagonal have the same colour.
 */
export function isSymmetric(board: BoardDefinition): boolean {
  return board.pattern === 'chessboard' && (board.squaresAcross + board.squaresDown) % 2 === 0;
}

/** Throws `boardSymmetric` where `cameras` > 1 cameras could count the corners from opposite ends. */
export function refuseSymmetricBoard(board: BoardDefinition, cameras: number): void {
  if (cameras > 1 && isSymmetric(board)) {
    throw boardSymmetric(board.name, board.squaresAcross - 1, board.squaresDown - 1, cameras);
  }
}

/** Whether the square is black. Column and row from 0 at the top left. */
export function isBlackSquare(board: BoardDefinition, column: number, row: number): boolean {
  return ((column + row) % 2 === 0) === ((board.markers?.topLeftSquare ?? 'black') === 'black');
}

export interface PlacedMarker {
  readonly id: number;
  /** Its square, from 0 at the top left. */
  readonly column: number;
  readonly row: number;
}

/** Markers of a ChArUco board: one in every white square, numbered along the rows from the top left; none on a chessboard. */
export function placedMarkers(board: BoardDefinition): PlacedMarker[] {
  const placed: PlacedMarker[] = [];
  if (board.markers === null) return placed;
  for (let row = 0; row < board.squaresDown; row++) {
    for (let column = 0; column < board.squaresAcross; column++) {
      if (!isBlackSquare(board, column, row)) placed.push({ id: board.markers.firstId + placed.length, column, row });
    }
  }
  return placed;
}
