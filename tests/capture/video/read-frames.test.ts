import { readFileSync } from 'node:fs';
import { expect, test } from '@jest/globals';
import { probeVideo } from '../../../src/capture/video/probe.ts';
import { chosenFrames, readFramesAt, readVideoFrames } from '../../../src/capture/video/read-frames.ts';
import { expectClose } from '../../expect-close.ts';
import { temporaryFolder, write } from '../written-files.ts';
import {
  all,
  describeWithFfmpeg,
  ffmpeg,
  HEIGHT,
  numberedFrames,
  numberIn,
  rejection,
  WIDTH,
  withDisplayMatrix,
  writeVideo,
} from './video-files.ts';

const folder = temporaryFolder();
const made = { width: WIDTH, height: HEIGHT };
const count = (length: number) => Array.from({ length }, (_, n) => n);

describeWithFfmpeg('frames with their own numbers and times', () => {
  /** Irregular: frames as near as 1 ms and as far as 59 ms, so that many share one tick of the nominal rate. */
  const ms = (n: number) => 60 * Math.floor(n / 2) + (n % 2) * (Math.floor(n / 2) % 3 === 0 ? 1 : 41);
  const irregular = writeVideo(`${folder}/irregular.mp4`, numberedFrames(240), {
    ...made,
    filters: "settb=1/1000,setpts='60*floor(N/2)+mod(N,2)*if(mod(floor(N/2),3),41,1)'",
    encoder: [
      ...['-c:v', 'mpeg4', '-q:v', '1', '-bf', '2', '-g', '20', '-enc_time_base', '1:1000'],
      ...['-video_track_timescale', '90000'],
    ],
  });

  test('every frame once, in order, each with the time it was given', async () => {
    const frames = await all(readVideoFrames(irregular));
    expect(frames.map(({ index }) => index)).toEqual(count(240));
    expect(frames.map(({ image }) => numberIn(image))).toEqual(count(240));
    for (const { index, timeS } of frames) expectClose(timeS, ms(index) / 1000, 1e-12, `time of ${index}, s`);
    expect(new Set(frames.map(({ image }) => `${image.width} × ${image.height}, ${image.pixels.length}`))).toEqual(
      new Set([`${WIDTH} × ${HEIGHT}, ${WIDTH * HEIGHT}`]),
    );
  });

  test('named frames, near and far (decoding begins anew at a key frame): the same pictures', async () => {
    const info = await probeVideo(irregular);
    const wanted = [239, 0, 3, 3, 180, 181, 90];
    const frames = await all(readFramesAt(info, wanted));
    expect(frames.map(({ index }) => index)).toEqual([0, 3, 90, 180, 181, 239]);
    expect(frames.map(({ image }) => numberIn(image))).toEqual([0, 3, 90, 180, 181, 239]);
    // More than ffmpeg can be told by name in one expression (100).
    const even = count(240).filter((frame) => frame % 2 === 0);
    const halves = await all(readFramesAt(info, even));
    expect(halves.map(({ image }) => numberIn(image))).toEqual(even);
    const error = await rejection(() => all(readFramesAt(info, [240])));
    expect([error.code, error.facts.frame, error.facts.count]).toEqual(['video-frame-outside', 240, 240]);
  });

  test('a span, thinned and made smaller', async () => {
    const info = await probeVideo(irregular);
    const choice = { fromS: 6.05, toS: 6.5, everyS: 0.1, maxWidth: 80 };
    const expected = chosenFrames(info, choice);
    const frames = await all(readVideoFrames(info, choice));
    expect(frames.map(({ index }) => index)).toEqual(expected);
    expect(frames.map(({ image }) => numberIn(image))).toEqual(expected);
    expect(frames[0].image).toMatchObject({ width: 80, height: 60 });
    expect((await rejection(() => all(readVideoFrames(info, { fromS: 99 })))).code).toBe('video-span-empty');
  });

  test('hidden frames before an edit list are not given', async () => {
    const cut = `${folder}/cut.mp4`;
    ffmpeg(['-ss', '1.5', '-i', irregular, '-c', 'copy', cut]);
    const info = await probeVideo(cut);
    const numbers = (await all(readVideoFrames(info))).map(({ image }) => numberIn(image));
    expect(info.hiddenFrames).toBeGreaterThan(0);
    expect(numbers).toHaveLength(info.frames);
    // The last frame is the film's last, and none is missing.
    expect(numbers).toEqual(count(240).slice(-numbers.length));
    // Cut at 1.5 s: frame 50 stands at 1.500 s.
    expect(numbers[0]).toBe(50);
  });

  test('a damaged file gives no frame a wrong number', async () => {
    const bytes = Buffer.from(readFileSync(irregular));
    const from = Math.round(bytes.length * 0.4);
    bytes.fill(0, from, from + 400);
    const file = write(folder, 'damaged.mp4', bytes);
    const seen: [number, number][] = [];
    try {
      for await (const { index, image } of readVideoFrames(file)) seen.push([index, numberIn(image)]);
    } catch (error) {
      expect((error as { code?: string }).code).toMatch(/^video-(frames-missing|program-failed|unreadable)$/);
    }
    expect(seen.length).toBeGreaterThan(50);
    // Damage spoils pictures up to the next key frame (every 20 frames) and no others.
    expect(seen.filter(([index, number]) => index !== number).length).toBeLessThanOrEqual(40);
    const after = seen.filter(([index]) => index >= 200);
    expect(after.map(([, number]) => number)).toEqual(after.map(([index]) => index));
  });
});

describeWithFfmpeg('upright pictures', () => {
  // Four brightnesses in the corners of the stored picture, each as large as a quarter of it.
  const stored = Uint8Array.from({ length: WIDTH * HEIGHT }, (_, i) => {
    const [row, column] = [Math.floor(i / WIDTH), i % WIDTH];
    return [40, 100, 160, 220][(row < HEIGHT / 2 ? 0 : 2) + (column < WIDTH / 2 ? 0 : 1)];
  });
  const file = writeVideo(`${folder}/corners.mp4`, stored, made);

  // Corners top left, top right, bottom left, bottom right of the upright picture; stored: 40 100 / 160 220.
  // ISO/IEC 14496-12: x' = a x + c y, y' = b x + d y with y down: [a, b, c, d] = [0, 1, −1, 0] takes the stored top to the right.
  test.each([
    ['as stored', [1, 0, 0, 1], [40, 100, 160, 220]],
    ['quarter turn clockwise', [0, 1, -1, 0], [160, 40, 220, 100]],
    ['half a turn', [-1, 0, 0, -1], [220, 160, 100, 40]],
    ['quarter turn anticlockwise', [0, -1, 1, 0], [100, 220, 40, 160]],
    ['mirrored', [-1, 0, 0, 1], [100, 40, 220, 160]],
  ] as const)('%s', async (name, matrix, corners) => {
    const turned = withDisplayMatrix(file, `${folder}/${name}.mp4`, matrix);
    const [{ image }] = await all(readVideoFrames(turned));
    const { width, height, pixels } = image;
    expect([width, height]).toEqual(matrix[0] === 0 ? [HEIGHT, WIDTH] : [WIDTH, HEIGHT]);
    const found = [0, width - 1, (height - 1) * width, height * width - 1].map((at) => pixels[at]);
    // Two steps of the codec's finest quantiser, spread from 16–235 to 0–255: 2 · 1.16, and rounding.
    for (let i = 0; i < 4; i++) expectClose(found[i], corners[i], 3, `corner ${i}`);
  });
});

describeWithFfmpeg('brightness', () => {
  /** Luma as stored, without any program's idea of ranges: planar YUV, grey chroma. */
  const yuv = (luma: readonly number[], bits: 8 | 10) => {
    const plane = Array.from({ length: 64 * 16 }, (_, i) => luma[Math.floor((i % 64) / 16)]);
    const chroma = Array.from({ length: 32 * 8 * 2 }, () => 1 << (bits - 1));
    const all = [...plane, ...chroma];
    return new Uint8Array(bits === 8 ? Uint8Array.from(all) : Uint16Array.from(all).buffer);
  };
  const write = (name: string, luma: readonly number[], bits: 8 | 10, range: readonly string[]) => {
    const format = bits === 8 ? 'yuv420p' : 'yuv420p10le';
    const raw = ['-f', 'rawvideo', '-pix_fmt', format, '-s', '64x16', '-r', '30', ...range, '-i', 'pipe:0'];
    ffmpeg([...raw, '-c:v', 'ffv1', '-pix_fmt', format, ...range, `${folder}/${name}.mkv`], yuv(luma, bits));
    return `${folder}/${name}.mkv`;
  };

  // ITU-R BT.601/709: limited range 16–235 (10 bit: 64–940) → 0–255, so (Y − 16) · 255 / 219.
  test.each([
    ['limited, not stated', [16, 126, 235, 70], 8, [], [0, 128.1, 255, 62.9]],
    ['full range', [0, 126, 255, 70], 8, ['-color_range', 'pc'], [0, 126, 255, 70]],
    ['10 bit, limited', [64, 504, 940, 280], 10, ['-color_range', 'tv'], [0, 128.1, 255, 62.9]],
  ] as const)('%s', async (name, luma, bits, range, expected) => {
    const [{ image }] = await all(readVideoFrames(write(name.replace(/\W+/g, '-'), luma, bits, range)));
    const found = [8, 24, 40, 56].map((column) => image.pixels[8 * 64 + column]);
    for (let i = 0; i < 4; i++) expectClose(found[i], expected[i], 1, `patch ${i}`);
  });
});
