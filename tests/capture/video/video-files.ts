import { spawnSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { describe, test } from '@jest/globals';
import { passthrough } from '../../../src/capture/video/programs.ts';
import { DataError } from '../../../src/errors.ts';

const version = spawnSync('ffmpeg', ['-version'], { encoding: 'utf8' });

/** Is ffmpeg on the path, with an encoder for the test videos? */
export const HAS_FFMPEG = version.status === 0;

/** `describe` where ffmpeg is installed; elsewhere its tests, and the videos they need, are skipped, and say so. */
export const describeWithFfmpeg = (name: string, tests: () => void): void => {
  if (HAS_FFMPEG) describe(name, tests);
  else describe(name, () => test.skip('needs ffmpeg, which is not installed', () => {}));
};
if (!HAS_FFMPEG) console.warn('ffmpeg is not installed: tests that make and read videos are skipped.');

const numbers = /^ffmpeg version n?(\d+)\.(\d+)/.exec(version.stdout ?? '');
export const PASSTHROUGH = passthrough(numbers ? [Number(numbers[1]), Number(numbers[2])] : null);

/** Runs ffmpeg with these arguments; `input` goes to its standard input. */
export function ffmpeg(args: readonly string[], input?: Uint8Array): void {
  const run = spawnSync('ffmpeg', ['-v', 'error', '-y', ...args], { input, encoding: 'utf8', maxBuffer: 1e8 });
  if (run.status !== 0) throw new Error(`ffmpeg ${args.join(' ')}: ${run.stderr}`);
}

export interface Making {
  readonly width: number;
  readonly height: number;
  readonly rateHz?: number;
  /** ffmpeg filters before encoding, and encoder options. */
  readonly filters?: string;
  readonly encoder?: readonly string[];
}

/** A nearly lossless MPEG-4 video (an encoder every build has) of grey frames given one after another. */
export function writeVideo(file: string, pixels: Uint8Array, making: Making): string {
  const { width, height, rateHz = 30, filters = 'null', encoder = ['-c:v', 'mpeg4', '-q:v', '1', '-bf', '0'] } = making;
  ffmpeg(
    [
      ...['-f', 'rawvideo', '-pix_fmt', 'gray', '-s', `${width}x${height}`, '-r', String(rateHz), '-i', 'pipe:0'],
      ...['-vf', filters, ...PASSTHROUGH, ...encoder, file],
    ],
    pixels,
  );
  return file;
}

export const WIDTH = 160;
export const HEIGHT = 120;
const CELL = 40;

/** Frames that carry their own number: bit b is the brightness of cell b (40 px squares, row by row), 60 or 200. */
export function numberedFrames(count: number): Uint8Array {
  const pixels = new Uint8Array(count * WIDTH * HEIGHT);
  for (let n = 0; n < count; n++) {
    for (let row = 0; row < HEIGHT; row++) {
      for (let column = 0; column < WIDTH; column++) {
        const bit = Math.floor(row / CELL) * (WIDTH / CELL) + Math.floor(column / CELL);
        pixels[(n * HEIGHT + row) * WIDTH + column] = (n >> bit) & 1 ? 200 : 60;
      }
    }
  }
  return pixels;
}

/** The number that such a frame carries, read in the middle of its cells; `scale`: its width over WIDTH. */
export function numberIn(image: { readonly width: number; readonly pixels: Uint8Array }): number {
  const scale = image.width / WIDTH;
  let number = 0;
  for (let bit = 0; bit < 12; bit++) {
    const row = Math.floor((Math.floor(bit / 4) + 0.5) * CELL * scale);
    const column = Math.floor(((bit % 4) + 0.5) * CELL * scale);
    if (image.pixels[row * image.width + column] > 130) number |= 1 << bit;
  }
  return number;
}

/**
 * Writes a display matrix into the track header of an MP4 file (ISO/IEC 14496-12:2015, 8.3.2: nine 32-bit numbers, 16.16 but
 * the third column 2.30, 40 bytes into a version 0 box after its type), without any program's help.
 */
export function withDisplayMatrix(
  from: string,
  to: string,
  [a, b, c, d]: readonly [number, number, number, number],
): string {
  const bytes = Buffer.from(readFileSync(from));
  const at = bytes.indexOf('tkhd') + 4 + 40;
  const matrix = [a * 65536, b * 65536, 0, c * 65536, d * 65536, 0, 0, 0, 0x40000000];
  if (bytes.readInt32BE(at) !== 65536 || bytes.readInt32BE(at + 32) !== 0x40000000)
    throw new Error('no unit matrix found');
  for (const [i, value] of matrix.entries()) bytes.writeInt32BE(value, at + 4 * i);
  writeFileSync(to, bytes);
  return to;
}

/** Presentation times of the decoded frames as `ffprobe -show_frames` prints them (6 decimals), in the order of decoding. */
export function timesByDecoding(file: string): number[] {
  const args = [
    '-v',
    'error',
    '-select_streams',
    'v:0',
    '-show_frames',
    '-show_entries',
    'frame=pts_time',
    '-of',
    'csv=p=0',
  ];
  const run = spawnSync('ffprobe', [...args, file], { encoding: 'utf8' });
  return run.stdout.trim().split(/\s+/).map(Number.parseFloat);
}

/** The DataError with which `run` is rejected; anything else fails. */
export async function rejection(run: () => Promise<unknown>): Promise<DataError> {
  try {
    await run();
  } catch (error) {
    if (error instanceof DataError) return error;
    throw error;
  }
  throw new Error('expected a DataError, nothing was thrown');
}

export async function all<T>(items: AsyncIterable<T>): Promise<T[]> {
  const list: T[] = [];
  for await (const item of items) list.push(item);
  return list;
}
