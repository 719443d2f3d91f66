import type { DictionaryName } from '../../capture/board-file.ts';

export interface CharucoFound {
  readonly found: true;
  /** (u, v) px, `2 * (row * columns + column)` as in `board.ts`; NaN where a corner was not seen or was cut. */
  readonly corners: Float64Array;
  /** Corners that are not NaN. */
  readonly seen: number;
  /** Corners that were read but did not lie where the others put them, or on no corner of two dark and two bright squares. */
  readonly cut: number;
  /** Root mean square distance of the corners kept from a flat board seen through a simple lens, px. */
  readonly surfaceRmsPx: number;
  /** Median 10 % to 90 % width of the edges, px. */
  readonly edgeWidthPx: number;
  /** Median distance of neighbouring corners, px. */
  readonly squarePx: number;
}

export type CharucoMissReason =
  /** Fewer markers than tell anything. */
  | 'no-board'
  /** The board, but too few of its corners, or all in one line. */
  | 'too-few-corners'
  /** The board reads only in the flipped picture. */
  | 'mirrored'
  /** Markers of another dictionary, other numbers, another arrangement, or of another size in their squares. */
  | 'other-board'
  /** Edges too wide for the gaps between markers and squares, or for anything in the picture. */
  | 'too-blurred'
  /** Squares without readable markers: moved while the shutter was open, too far away, or a plain chessboard. */
  | 'unreadable'
  /** Corners that do not lie on a plane. */
  | 'not-flat';

export interface CharucoMissed {
  readonly found: false;
  readonly reason: CharucoMissReason;
  /** Of this board. */
  readonly markersSeen: number;
  readonly cornersSeen: number;
  /** NaN where it was not looked at. */
  readonly edgeWidthPx: number;
  readonly surfaceRmsPx: number;
  /** Of 'other-board': what shows it. */
  readonly other: OtherBoard | null;
}

export type OtherBoard =
  | { readonly what: 'dictionary' | 'ids'; readonly dictionary: DictionaryName; readonly ids: readonly number[] }
  | { readonly what: 'arrangement' }
  /** Side of a marker over that of its square, in the picture and as defined. */
  | { readonly what: 'marker size'; readonly seen: number; readonly defined: number };

export type CharucoOutcome = CharucoFound | CharucoMissed;
