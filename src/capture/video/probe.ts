import { existsSync, statSync } from 'node:fs';
import {
  videoEmpty,
  videoIsFolder,
  videoIsPicture,
  videoMissing,
  videoTruncated,
  videoUnreadable,
  videoWithoutFrames,
  videoWithoutPicture,
  videoWithoutTimes,
} from '../../messages/video.ts';
import { type DisplayTurn, NO_TURN, swapsSides, turnFromMatrix } from './display-turn.ts';
import { type FrameSpacing, frameSpacing } from './frame-rate.ts';
import { runForLines } from './programs.ts';
import { type SlowMotion, slowMotionFromTags } from './slow-motion.ts';

export interface PictureSize {
  readonly width: number;
  readonly height: number;
}

/** What is known of a video before a frame is decoded. */
export interface VideoInfo {
  readonly file: string;
  /** Container and codec as ffprobe names them, for instance 'mov' and 'h264'. */
  readonly format: string;
  readonly codec: string;
  readonly pixelFormat: string;
  /** As stored, and as shown: `turn` applied. All frames that are read are upright. */
  readonly storedSize: PictureSize;
  readonly uprightSize: PictureSize;
  readonly turn: DisplayTurn;
  /** Width of a pixel over its height in the upright picture; 1 = square. Pictures are never stretched to square pixels. */
  readonly pixelAspect: number;
  /** Stored brightness runs over 0–255 (true) or 16–235 (false); frames that are read always run over 0–255. */
  readonly fullRange: boolean;
  readonly interlaced: boolean;
  readonly frames: number;
  /** True presentation time of each frame, ascending, seconds since frame 0, which is at 0. */
  readonly timesS: Float64Array;
  /** The same in ticks of the file's clock, not shifted: what ffmpeg prints as pts. */
  readonly ticks: Float64Array;
  /** Seconds a tick. */
  readonly tickS: number;
  /** Presentation time of frame 0 in the file's own clock, after its edit list, seconds. */
  readonly startS: number;
  /** Frames in the file before the start of its edit list: decoded but never shown, and not counted here. */
  readonly hiddenFrames: number;
  /** Frames over time; what the file announces (least common rate of its time stamps, as ffprobe guesses it). NaN = not known. */
  readonly averageHz: number;
  readonly nominalHz: number;
  readonly spacing: FrameSpacing;
  /** Not null where the file's tags say that it plays slower (or faster) than it was filmed. */
  readonly slowMotion: SlowMotion | null;
}

interface Stream {
  readonly codec_name?: string;
  readonly width?: number;
  readonly height?: number;
  readonly pix_fmt?: string;
  readonly color_range?: string;
  readonly field_order?: string;
  readonly sample_aspect_ratio?: string;
  readonly r_frame_rate?: string;
  readonly time_base?: string;
  readonly nb_frames?: string;
  readonly tags?: Record<string, string>;
  readonly side_data_list?: readonly { readonly displaymatrix?: string }[];
}

/** Words of ffprobe about a file that ends too early. */
const BROKEN_OFF = /partial file|ended prematurely|truncat/i;

/**
 * Everything about a video that stands in its container and in its packets; no picture is decoded (except in files whose
 * packets carry no times, such as AVI with B-frames). The first stream that is a moving picture is taken.
 *
 * Errors: ffmpeg-missing, video-missing, video-is-folder, video-empty, video-unreadable, video-truncated,
 * video-without-picture, video-is-picture, video-without-frames, video-without-times, video-turned-oddly, video-stalled.
 */
export async function probeVideo(file: string): Promise<VideoInfo> {
  checkFile(file);
  const told = await readContainer(file);
  const { stream, complaints } = told;
  let { ticks } = told;
  const [num, den] = fraction(stream.time_base);
  const tickS = num / den;
  if (complaints.length > 0) {
    throw videoTruncated(file, ticks.length, Number(stream.nb_frames ?? 0) || 0, complaints.join(' | '));
  }
  if (ticks.length === 0) throw videoWithoutFrames(file);
  if (ticks.some(Number.isNaN)) {
    ticks = await readFrameTicks(file);
    const without = ticks.filter(Number.isNaN).length;
    if (without > 0) throw videoWithoutTimes(file, without, ticks.length);
  }
  const sorted = Float64Array.from(ticks).sort();
  const timesS = sorted.map((tick) => ((tick - sorted[0]) * num) / den);
  const lengthS = timesS[timesS.length - 1];
  const matrix = stream.side_data_list?.find((data) => data.displaymatrix !== undefined)?.displaymatrix;
  const turn = matrix === undefined ? NO_TURN : turnFromMatrix(file, matrix);
  const storedSize = { width: stream.width!, height: stream.height! };
  const spacing = frameSpacing(timesS, tickS);
  const [sampleWidth, sampleHeight] = fraction(stream.sample_aspect_ratio?.replace(':', '/'));
  const storedAspect = sampleWidth > 0 && sampleHeight > 0 ? sampleWidth / sampleHeight : 1;
  const [rateNum, rateDen] = fraction(stream.r_frame_rate);
  return {
    file,
    format: told.format,
    codec: stream.codec_name ?? 'unknown',
    pixelFormat: stream.pix_fmt ?? 'unknown',
    storedSize,
    uprightSize: swapsSides(turn) ? { width: storedSize.height, height: storedSize.width } : storedSize,
    turn,
    pixelAspect: swapsSides(turn) ? 1 / storedAspect : storedAspect,
    fullRange: isFullRange(stream),
    interlaced: /^(tt|bb|tb|bt)$/.test(stream.field_order ?? ''),
    frames: sorted.length,
    timesS,
    ticks: sorted,
    tickS,
    startS: (sorted[0] * num) / den,
    hiddenFrames: told.hidden,
    averageHz: lengthS > 0 ? (sorted.length - 1) / lengthS : Number.NaN,
    nominalHz: rateNum > 0 && rateDen > 0 ? rateNum / rateDen : Number.NaN,
    spacing,
    slowMotion: slowMotionFromTags(told.tags, spacing.gridHz),
  };
}

/** `file:` keeps names with a colon or a leading dash from being read as an address or an option; nothing else is opened. */
export const inputOf = (file: string): string[] => ['-protocol_whitelist', 'file', '-i', `file:${file}`];

function checkFile(file: string): void {
  if (!existsSync(file)) throw videoMissing(file);
  const status = statSync(file);
  if (status.isDirectory()) throw videoIsFolder(file);
  if (status.size === 0) throw videoEmpty(file);
}

interface Told {
  readonly stream: Stream;
  readonly format: string;
  readonly tags: Record<string, string>;
  /** Presentation times of the packets that are shown, in file order; NaN where a packet has none. */
  readonly ticks: number[];
  readonly hidden: number;
  readonly complaints: readonly string[];
}

/** Header and packets by one run of ffprobe. */
async function readContainer(file: string): Promise<Told> {
  const lines: string[] = [];
  const show = ['-show_streams', '-show_format', '-show_entries', 'packet=pts,flags', '-of', 'json=compact=1'];
  const args = ['-v', 'error', '-select_streams', 'V:0', ...show, ...inputOf(file)];
  const { failure, lastWords, complaints } = await runForLines(file, 'ffprobe', args, (line) => void lines.push(line));
  if (failure !== null) throw videoUnreadable(file, lastWords.replaceAll(`file:${file}`, file));
  const told = JSON.parse(lines.join('\n')) as {
    readonly packets?: readonly { readonly pts?: number; readonly flags?: string }[];
    readonly streams?: readonly Stream[];
    readonly format?: { readonly format_name?: string; readonly tags?: Record<string, string> };
  };
  const name = told.format?.format_name ?? 'unknown';
  const stream = told.streams?.[0];
  if (!stream?.width || !stream.height) throw videoWithoutPicture(file);
  if (/(^|,)(image2|\w+_pipe)/.test(name)) throw videoIsPicture(file, stream.codec_name ?? name);
  // D: before the start of the edit list, only needed to decode what follows.
  const shown = (told.packets ?? []).filter((packet) => !packet.flags?.includes('D'));
  return {
    stream,
    format: name.split(',')[0],
    tags: { ...told.format?.tags, ...stream.tags },
    ticks: shown.map((packet) => packet.pts ?? Number.NaN),
    hidden: (told.packets?.length ?? 0) - shown.length,
    complaints: complaints.filter((line) => BROKEN_OFF.test(line)),
  };
}

/** Times of decoded frames, for containers that do not write them in the packets; the decoder's best estimate. */
async function readFrameTicks(file: string): Promise<number[]> {
  const ticks: number[] = [];
  const entry = 'frame=best_effort_timestamp';
  const show = ['-v', 'error', '-select_streams', 'V:0', '-show_entries', entry, '-of', 'compact=p=0:nk=0'];
  const { failure, lastWords } = await runForLines(file, 'ffprobe', [...show, ...inputOf(file)], (line) => {
    const found = /best_effort_timestamp=(-?\d+|N\/A)/.exec(line);
    if (found) ticks.push(Number(found[1]));
  });
  if (failure !== null) throw videoUnreadable(file, lastWords);
  return ticks;
}

/** Brightness over 0–255? Where the file does not say: grey, RGB and the "j" formats do, other YUV formats do not. */
function isFullRange({ color_range: range, pix_fmt: format = '' }: Stream): boolean {
  if (range === 'pc') return true;
  if (range === 'tv') return false;
  return !/^(yuv(?!j)|yuva|nv\d|p0\d\d|y2\d\d|uyvy|yuyv)/.test(format);
}

function fraction(text: string | undefined): [number, number] {
  const found = /^(\d+)\/(\d+)$/.exec(text ?? '');
  return found ? [Number(found[1]), Number(found[2])] : [Number.NaN, Number.NaN];
}
