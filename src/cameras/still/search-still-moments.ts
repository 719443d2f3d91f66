import type { GreyImage } from '../../capture/image-file.ts';
import { STILL_DEFAULTS, type StillMoments, type StillOptions, stillMoments } from '../still-moments.ts';
import { boardSharpness } from './board-sharpness.ts';
import type { BoardTrack } from './board-track.ts';
import { type FrameDifferences, frameDifferences, quietFrames, type TimedPicture } from './frame-difference.ts';
import { offsetFromMotion } from './motion-clock.ts';

/** Finds the board in a picture: its inner corners, `2 * (row * columns + column)` px, or null. */
export type FindBoard = (image: GreyImage) => Float64Array | null | Promise<Float64Array | null>;

/** One camera's video; the two readers are those of `src/capture/video`, given by the caller, who may read files. */
export interface BoardVideo {
  readonly camera: string;
  readonly imageSize: { readonly width: number; readonly height: number };
  /** All frames, small. */
  smallFrames(): AsyncIterable<TimedPicture>;
  /** These frames, whole, in ascending order. */
  framesAt(indices: readonly number[]): AsyncIterable<TimedPicture>;
}

export interface SearchOptions extends Partial<Omit<StillOptions, 'columns' | 'offsetsS'>> {
  readonly columns: number;
  /** As in StillOptions; absent = from the movement in the pictures, within `mostOffsetS`. */
  readonly offsetsS?: readonly number[];
  /** Largest offset looked for, seconds. */
  readonly mostOffsetS?: number;
}

/** Share of each video, the quieter one, in which the board is looked for, and the step in which it is. Common practice, no source. */
const QUIET_SHARE = 0.6;
const LOOK_EVERY_S = 0.1;
const MOST_OFFSET_S = 60;

export interface SearchResult extends StillMoments {
  readonly offsetsS: readonly number[];
  readonly tracks: readonly BoardTrack[];
}

/**
 * Still moments of a board from the videos themselves: differences of small pictures give the clocks' offsets (unless
 * given) and the quiet times; only there, in steps of LOOK_EVERY_S, is the board looked for in whole pictures.
 * Errors: still-moments-none, board-motion-unclear, and those of the readers.
 */
export async function searchStillMoments(
  videos: readonly BoardVideo[],
  find: FindBoard,
  options: SearchOptions,
): Promise<SearchResult> {
  const { mostOffsetS = MOST_OFFSET_S, ...given } = options;
  const differences: FrameDifferences[] = [];
  for (const video of videos) differences.push(await frameDifferences(video.camera, video.smallFrames()));
  const offsetsS =
    options.offsetsS ??
    differences.map((other, c) => (c === 0 ? 0 : offsetFromMotion(differences[0], other, mostOffsetS).offsetS));
  const settled: StillOptions = { ...STILL_DEFAULTS, ...given, offsetsS };
  const wanted = framesToLookAt(differences, offsetsS, settled.clockSlackS);
  const tracks: BoardTrack[] = [];
  for (const [c, video] of videos.entries()) tracks.push(await followBoard(video, wanted[c], find, options.columns));
  return { ...stillMoments(tracks, settled), offsetsS, tracks };
}

/** Looks for the board in these frames of one video. */
export async function followBoard(
  video: BoardVideo,
  frames: readonly number[],
  find: FindBoard,
  columns: number,
): Promise<BoardTrack> {
  const timesS: number[] = [];
  const sharpness: number[] = [];
  const corners: (Float64Array | null)[] = [];
  const looked: number[] = [];
  for await (const { index, timeS, image } of video.framesAt(frames)) {
    const found = await find(image);
    looked.push(index);
    timesS.push(timeS);
    corners.push(found);
    sharpness.push(found ? boardSharpness(image, found, columns) : Number.NaN);
  }
  return {
    camera: video.camera,
    imageSize: video.imageSize,
    frames: looked,
    timesS: Float64Array.from(timesS),
    corners,
    sharpness: Float64Array.from(sharpness),
  };
}

/**
 * Per camera the frames at which the board is looked for: those of the quieter part at times at which every camera has a quiet
 * frame not farther off than the clocks may be wrong, thinned to steps of no more than LOOK_EVERY_S where the frame rate allows.
 */
export function framesToLookAt(
  differences: readonly FrameDifferences[],
  offsetsS: readonly number[],
  slackS: number,
): number[][] {
  const quiet = differences.map((camera, c) => {
    const marks = quietFrames(camera, QUIET_SHARE);
    return camera.timesS.filter((_, i) => marks[i] === 1).map((timeS) => timeS + offsetsS[c]);
  });
  return differences.map((camera, c) => {
    const marks = quietFrames(camera, QUIET_SHARE);
    const chosen: number[] = [];
    let lastS = Number.NEGATIVE_INFINITY;
    for (let i = 0; i < camera.timesS.length; i++) {
      // The last frame before the step would grow too long; of a slow camera every frame.
      if (marks[i] === 0 || camera.timesS[i + 1] - lastS <= LOOK_EVERY_S + 1e-6) continue;
      const timeS = camera.timesS[i] + offsetsS[c];
      if (!quiet.every((times) => isNear(times, timeS, slackS + LOOK_EVERY_S / 2))) continue;
      chosen.push(camera.frames[i]);
      lastS = camera.timesS[i];
    }
    return chosen;
  });
}

/** Whether one of ascending times lies within `slackS`. */
function isNear(times: Float64Array, timeS: number, slackS: number): boolean {
  let low = 0;
  let high = times.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (times[middle] < timeS - slackS) low = middle + 1;
    else high = middle;
  }
  return low < times.length && times[low] <= timeS + slackS;
}
