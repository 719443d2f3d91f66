/** A board followed through the video of one camera. */
export interface BoardTrack {
  readonly camera: string;
  readonly imageSize: { readonly width: number; readonly height: number };
  /** Numbers of the frames that were looked at, ascending, and their times on the camera's own clock, seconds. */
  readonly frames: ArrayLike<number>;
  readonly timesS: Float64Array;
  /** Per frame the inner corners, `2 * (row * columns + column)`, px, NaN where one is missing; null = no board seen. */
  readonly corners: readonly (Float64Array | null)[];
  /** Per frame 1 / width of the edges (`boardSharpness`), NaN where there is no board; absent = not measured. */
  readonly sharpness?: Float64Array;
}

/** Samples farther apart than this do not show that the board stood still between them, seconds. */
export const LONGEST_BLINK_S = 0.15;

/** Median over the corners of the distance between two sets of corners, px; NaN where fewer than 4 corners are in both. */
export function medianShift(a: Float64Array, b: Float64Array): number {
  if (room.length < a.length / 2) room = new Float64Array(a.length / 2);
  let count = 0;
  for (let o = 0; o < a.length; o += 2) {
    const u = a[o] - b[o];
    const v = a[o + 1] - b[o + 1];
    const square = u * u + v * v;
    if (square >= 0) room[count++] = square;
  }
  if (count < 4) return Number.NaN;
  const squares = room.subarray(0, count).sort();
  const middle = count >> 1;
  if (count % 2 === 1) return Math.sqrt(squares[middle]);
  return (Math.sqrt(squares[middle - 1]) + Math.sqrt(squares[middle])) / 2;
}

/** Workspace of medianShift, which is called for every pair of frames. */
let room = new Float64Array(0);

/**
 * Speed of the board in the picture, px/s, per looked-at frame: median corner shift from the frame before over its time.
 * NaN for the first frame, without a board in either, and across more than LONGEST_BLINK_S.
 */
export function boardSpeed({ timesS, corners }: BoardTrack): Float64Array {
  const speed = new Float64Array(timesS.length).fill(Number.NaN);
  for (let i = 1; i < timesS.length; i++) {
    const before = corners[i - 1];
    const now = corners[i];
    const stepS = timesS[i] - timesS[i - 1];
    if (before && now && stepS <= LONGEST_BLINK_S) speed[i] = medianShift(before, now) / stepS;
  }
  return speed;
}
