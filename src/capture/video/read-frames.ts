import {
  videoFrameOutside,
  videoFramesMissing,
  videoSizeChanges,
  videoSpanEmpty,
  videoStalled,
  videoTimesDisagree,
} from '../../messages/video.ts';
import type { GreyImage } from '../image-file.ts';
import { turnFilters } from './display-turn.ts';
import { inputOf, type PictureSize, probeVideo, type VideoInfo } from './probe.ts';
import {
  ffmpegVersion,
  LONGEST_SILENCE_S,
  passthrough,
  programFailure,
  type RunningProgram,
  start,
} from './programs.ts';
import { type ShownFrame, shownFrames } from './shown-frames.ts';

/** One frame, upright, brightness 0–255. */
export interface VideoFrame {
  /** Number of the frame in the whole video, from 0 in the order of showing; the index into VideoInfo.timesS. */
  readonly index: number;
  /** VideoInfo.timesS[index]: seconds since frame 0. */
  readonly timeS: number;
  readonly image: GreyImage;
}

/** One frame in colour, upright: red, green and blue 0–255, `3 * (row * width + column)`. */
export interface ColourFrame extends PictureSize {
  readonly index: number;
  readonly timeS: number;
  readonly rgb: Uint8Array;
}

export interface FrameChoice {
  /** First and last time, seconds since frame 0; absent = from the start, to the end. */
  readonly fromS?: number;
  readonly toS?: number;
  /** Of each such stretch of time the first frame; absent = every frame. */
  readonly everyS?: number;
  /** Wider pictures are made smaller, shape kept: pixel u of the small one is at (u + ½) · width / small width − ½ of the large one. */
  readonly maxWidth?: number;
  /** Seconds without a word from ffmpeg after which it is ended; 120 when absent. */
  readonly longestSilenceS?: number;
}

/** Wanted frames farther apart than this are decoded apart, where the container allows to seek, seconds. */
const SEEK_GAP_S = 4;
/** Decoding begins at least this long before a wanted frame: a seek may land a little late by the file's own clock, seconds. */
const SEEK_MARGIN_S = 1.5;
/** Wanted frames up to which they are named to ffmpeg one by one: its expressions take no more than 100 terms. */
const MOST_NAMED = 90;

/**
 * The frames of a video, in order, decoded as they are asked for: leaving the loop ends the program. `video`: path, or what
 * probeVideo found. Errors: those of probeVideo, video-span-empty, video-frames-missing, video-size-changes,
 * video-program-failed, video-stalled.
 */
export async function* readVideoFrames(
  video: string | VideoInfo,
  choice: FrameChoice = {},
): AsyncGenerator<VideoFrame, void, undefined> {
  const info = typeof video === 'string' ? await probeVideo(video) : video;
  const wanted = chosenFrames(info, choice);
  if (wanted.length === 0) {
    const lengthS = info.timesS[info.frames - 1];
    throw videoSpanEmpty(info.file, choice.fromS ?? 0, choice.toS ?? lengthS, lengthS);
  }
  yield* decodeGrey(
    info,
    wanted,
    sizeWithin(info.uprightSize, choice.maxWidth),
    choice.longestSilenceS ?? LONGEST_SILENCE_S,
  );
}

/** The frames with these numbers, each once, in ascending order. Errors: those of readVideoFrames, video-frame-outside. */
export async function* readFramesAt(
  video: string | VideoInfo,
  indices: Iterable<number>,
  maxWidth?: number,
): AsyncGenerator<VideoFrame, void, undefined> {
  const info = typeof video === 'string' ? await probeVideo(video) : video;
  const size = sizeWithin(info.uprightSize, maxWidth);
  for (const cluster of clusters(info, numbered(info, indices))) {
    yield* decodeGrey(info, cluster, size, LONGEST_SILENCE_S);
  }
}

/** The same in colour. Errors: those of readFramesAt. */
export async function* readColourFramesAt(
  video: string | VideoInfo,
  indices: Iterable<number>,
  maxWidth?: number,
): AsyncGenerator<ColourFrame, void, undefined> {
  const info = typeof video === 'string' ? await probeVideo(video) : video;
  const size = sizeWithin(info.uprightSize, maxWidth);
  for (const cluster of clusters(info, numbered(info, indices))) {
    for await (const { index, pixels } of decode(info, cluster, size, 'rgb24', LONGEST_SILENCE_S)) {
      yield { index, timeS: info.timesS[index], ...size, rgb: pixels };
    }
  }
}

/** Numbers of frames, each once, ascending; all must be in the video. */
function numbered(info: VideoInfo, indices: Iterable<number>): number[] {
  const wanted = [...new Set(indices)].sort((a, b) => a - b);
  const outside = wanted.find((frame) => !Number.isInteger(frame) || frame < 0 || frame >= info.frames);
  if (outside !== undefined) throw videoFrameOutside(info.file, outside, info.frames);
  return wanted;
}

async function* decodeGrey(
  info: VideoInfo,
  wanted: readonly number[],
  size: PictureSize,
  silenceS: number,
): AsyncGenerator<VideoFrame> {
  for await (const { index, pixels } of decode(info, wanted, size, 'gray', silenceS)) {
    yield { index, timeS: info.timesS[index], image: { ...size, pixels } };
  }
}

/** Numbers of the frames that a choice means, ascending. */
export function chosenFrames(info: Pick<VideoInfo, 'timesS' | 'frames'>, choice: FrameChoice): number[] {
  const { fromS = Number.NEGATIVE_INFINITY, toS = Number.POSITIVE_INFINITY, everyS = 0 } = choice;
  const wanted: number[] = [];
  let due = Number.NEGATIVE_INFINITY;
  for (let frame = 0; frame < info.frames; frame++) {
    const timeS = info.timesS[frame];
    if (timeS < fromS || timeS > toS || timeS < due - 1e-9) continue;
    wanted.push(frame);
    if (everyS > 0) {
      const originS = info.timesS[wanted[0]];
      due = originS + (Math.floor((timeS - originS) / everyS + 1e-6) + 1) * everyS;
    }
  }
  return wanted;
}

function sizeWithin(full: PictureSize, maxWidth: number | undefined): PictureSize {
  if (maxWidth === undefined || maxWidth >= full.width) return full;
  const width = Math.max(1, Math.round(maxWidth));
  return { width, height: Math.max(1, Math.round((full.height * width) / full.width)) };
}

const canSeek = (info: VideoInfo): boolean => info.format === 'mov' || info.format === 'matroska';

function clusters(info: VideoInfo, wanted: readonly number[]): number[][] {
  const all: number[][] = [];
  for (const frame of wanted) {
    const last = all.at(-1)?.at(-1);
    const far = last === undefined || (canSeek(info) && info.timesS[frame] - info.timesS[last] > SEEK_GAP_S);
    if (far) all.push([frame]);
    else all.at(-1)!.push(frame);
  }
  return all;
}

/** Bytes of a pixel, by the name that ffmpeg has for it. */
const PIXEL_BYTES = { gray: 1, rgb24: 3 } as const;
type PixelFormat = keyof typeof PIXEL_BYTES;

/** Decodes the wanted frames (ascending, at least one) by one run of ffmpeg. */
async function* decode(
  info: VideoInfo,
  wanted: readonly number[],
  size: PictureSize,
  pixel: PixelFormat,
  silenceS: number,
): AsyncGenerator<{ readonly index: number; readonly pixels: Uint8Array }> {
  const args = argumentsFor(info, wanted, size, pixel, await ffmpegVersion(info.file));
  const shown = shownFrames();
  const running = start('ffmpeg', args, shown.takeLine);
  running.ended.then(shown.end, shown.end);
  const chosen = new Set(wanted);
  let given = 0;
  let firstMissing = 0;
  let at = firstPossible(info, wanted[0]);
  try {
    for await (const pixels of pictures(info.file, running, PIXEL_BYTES[pixel] * size.width * size.height, silenceS)) {
      const stamp = await orStalled(info.file, running, shown.next(), silenceS);
      if (stamp === null) break;
      at = frameWithTime(info, stamp, at);
      checkSize(info, stamp, at);
      const index = at++;
      if (!chosen.has(index)) continue;
      if (index === wanted[firstMissing]) firstMissing++;
      given++;
      yield { index, pixels };
    }
    const exit = await running.ended;
    if (exit !== null) throw programFailure(info.file, running, exit);
    if (given < wanted.length) {
      throw videoFramesMissing(info.file, wanted.length - given, wanted.length, wanted[firstMissing]);
    }
  } finally {
    running.kill();
  }
}

/** First of several frames at the same instant. */
function firstPossible(info: VideoInfo, frame: number): number {
  let first = frame;
  while (first > 0 && info.ticks[first - 1] === info.ticks[frame]) first--;
  return first;
}

/** The frame from `at` on whose time this is. */
function frameWithTime(info: VideoInfo, stamp: ShownFrame, at: number): number {
  const timeS = stamp.pts * stamp.tickS;
  const slackS = 0.6 * Math.max(info.tickS, stamp.tickS);
  for (let frame = at; frame < info.frames; frame++) {
    const difference = info.ticks[frame] * info.tickS - timeS;
    if (Math.abs(difference) < slackS) return frame;
    if (difference > 0) break;
  }
  throw videoTimesDisagree(info.file, timeS);
}

function checkSize(info: VideoInfo, stamp: ShownFrame, frame: number): void {
  const { width, height } = info.storedSize;
  if (stamp.width === width && stamp.height === height) return;
  throw videoSizeChanges(info.file, frame, `${stamp.width} × ${stamp.height}`, `${width} × ${height}`);
}

/**
 * The file's own turning is switched off and done by a filter here, so that it is done once in every version of ffmpeg;
 * brightness is spread to 0–255 explicitly for the same reason. `-copyts` keeps the file's own time stamps, `showinfo` prints
 * them, and `passthrough` neither doubles nor drops frames.
 */
function argumentsFor(
  info: VideoInfo,
  wanted: readonly number[],
  size: PictureSize,
  pixel: PixelFormat,
  version: readonly [number, number] | null,
): string[] {
  const firstS = info.ticks[wanted[0]] * info.tickS - SEEK_MARGIN_S;
  const seeks = canSeek(info) && firstS > info.startS + SEEK_GAP_S;
  const seek = seeks ? ['-noaccurate_seek', '-seek_timestamp', '1', '-ss', firstS.toFixed(6)] : [];
  const range = info.fullRange ? 'full' : 'limited';
  const filters = [
    `select='${selection(info, wanted)}'`,
    'showinfo=checksum=0',
    ...turnFilters(info.turn),
    `scale=w=${size.width}:h=${size.height}:flags=area+accurate_rnd:in_range=${range}:out_range=full`,
    `format=${pixel}`,
  ];
  return [
    ...['-hide_banner', '-nostdin', '-nostats', '-loglevel', 'repeat+level+info'],
    ...[...seek, '-copyts', '-noautorotate', ...inputOf(info.file)],
    ...['-map', '0:V:0', '-vf', filters.join(',')],
    ...passthrough(version),
    ...['-f', 'rawvideo', '-pix_fmt', pixel, 'pipe:1'],
  ];
}

/** Which frames ffmpeg lets through: the wanted ones by name, or, where they are many, all from the first to the last. */
function selection(info: VideoInfo, wanted: readonly number[]): string {
  const first = wanted[0];
  const last = wanted[wanted.length - 1];
  const all = last - first + 1 === wanted.length;
  if (all || wanted.length > MOST_NAMED) return `between(pts,${info.ticks[first]},${info.ticks[last]})`;
  return wanted.map((frame) => `eq(pts,${info.ticks[frame]})`).join('+');
}

/** Cuts the program's output into pictures of `bytes` bytes. An incomplete last one is left out. */
async function* pictures(
  file: string,
  running: RunningProgram,
  bytes: number,
  silenceS: number,
): AsyncGenerator<Uint8Array> {
  const chunks = running.child.stdout[Symbol.asyncIterator]() as AsyncIterator<Buffer>;
  let picture = new Uint8Array(bytes);
  let filled = 0;
  for (;;) {
    const chunk = await orStalled(file, running, chunks.next(), silenceS);
    if (chunk.done) return;
    let from = 0;
    while (from < chunk.value.length) {
      const take = Math.min(bytes - filled, chunk.value.length - from);
      picture.set(chunk.value.subarray(from, from + take), filled);
      filled += take;
      from += take;
      if (filled < bytes) continue;
      yield picture;
      picture = new Uint8Array(bytes);
      filled = 0;
    }
  }
}

/** Waits for the program, but not for ever: the clock runs only while it is waited for. */
async function orStalled<T>(file: string, running: RunningProgram, waiting: Promise<T>, silenceS: number): Promise<T> {
  let alarm: NodeJS.Timeout | undefined;
  const late = new Promise<never>((_, reject) => {
    alarm = setTimeout(() => reject(videoStalled(file, running.program, silenceS)), 1000 * silenceS);
  });
  try {
    return await Promise.race([waiting, late]);
  } finally {
    clearTimeout(alarm);
  }
}
