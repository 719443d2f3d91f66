/** Counts of inner corners, as seen or as wanted. */
export interface GridSize {
  readonly columns: number;
  readonly rows: number;
}

export interface ChessboardFound {
  readonly found: true;
  /** (u, v) px, `2 * (row * columns + column)` as in `board.ts`; NaN for the few that may be missing. */
  readonly corners: Float64Array;
  readonly missing: number;
  /** Median standard deviation of a corner's less certain direction, px, from the residuals of its fit. */
  readonly cornerSdPx: number;
  /**
   * R.m.s. departure of the corners from a grid that is smooth over five corners (error of one corner, px), a check that
   * shares nothing with the fit; NaN where no line has five.
   */
  readonly roughnessPx: number;
  /** Median 10 % to 90 % width of the edges, px. */
  readonly edgeWidthPx: number;
  /** Median distance of neighbouring corners, px. */
  readonly squarePx: number;
  /** Median difference of bright and dark squares, grey levels of 255. */
  readonly contrast: number;
  /** Colour of the square outside the first corner. Dark wherever the board leaves a choice. */
  readonly firstSquare: 'dark' | 'bright';
}

export type MissReason =
  /** The whole picture is of nearly one grey. */
  | 'flat-picture'
  /** No pattern of squares. */
  | 'no-corners'
  /** Edges are too wide for the squares, or for anything in the picture. */
  | 'too-blurred'
  /** The board is there, but its squares are too few pixels wide. */
  | 'too-small'
  /** A complete grid of `seen` corners, well inside the picture. */
  | 'other-size'
  /** `seen` corners of the board; the missing ones lie outside the picture. */
  | 'cut-off'
  /** `seen` corners at most; others are covered, in glare or too weak. */
  | 'partly-hidden'
  /** Two or more complete boards of this size. */
  | 'several-boards';

export interface ChessboardMissed {
  readonly found: false;
  readonly reason: MissReason;
  /** Size of the largest grid of corners in the picture, the longer side first; null where there was none. */
  readonly seen: GridSize | null;
  /** Corners found in that grid. */
  readonly cornersSeen: number;
  /** 10 % to 90 % width of edges, px: of the grid, or of the picture's sharpest edges where there is none; NaN if flat. */
  readonly edgeWidthPx: number;
  /** Spread of the picture's grey levels (5 % to 95 %), of 255. */
  readonly contrast: number;
}

export type ChessboardOutcome = ChessboardFound | ChessboardMissed;
