import { readFileSync } from 'node:fs';
import { expect, test } from '@jest/globals';
import { probeVideo } from '../../../src/capture/video/probe.ts';
import { expectAllClose, expectClose } from '../../expect-close.ts';
import { temporaryFolder, write } from '../written-files.ts';
import {
  describeWithFfmpeg,
  ffmpeg,
  HEIGHT,
  numberedFrames,
  rejection,
  timesByDecoding,
  WIDTH,
  withDisplayMatrix,
  writeVideo,
} from './video-files.ts';

const folder = temporaryFolder();
const made = { width: WIDTH, height: HEIGHT };
/** Shown at 33 N + (N² mod 17) ms: irregular, known by construction. */
const irregularMs = (n: number) => 33 * n + ((n * n) % 17);

describeWithFfmpeg('what a video says of itself', () => {
  const plain = writeVideo(`${folder}/plain.mp4`, numberedFrames(30), made);
  const irregular = writeVideo(`${folder}/irregular.mp4`, numberedFrames(40), {
    ...made,
    filters: "settb=1/1000,setpts='33*N+mod(N*N,17)'",
    encoder: ['-c:v', 'mpeg4', '-q:v', '1', '-bf', '2', '-enc_time_base', '1:1000', '-video_track_timescale', '90000'],
  });

  test('constant rate', async () => {
    const info = await probeVideo(plain);
    expect(info).toMatchObject({
      format: 'mov',
      codec: 'mpeg4',
      storedSize: made,
      uprightSize: made,
      pixelAspect: 1,
      frames: 30,
      startS: 0,
      hiddenFrames: 0,
      fullRange: false,
      interlaced: false,
      slowMotion: null,
    });
    expect(info.spacing).toMatchObject({ dropped: 0, crowded: 0, constant: true });
    expectClose(info.averageHz, 30, 1e-9, 'average rate, Hz');
    expectClose(info.nominalHz, 30, 1e-9, 'nominal rate, Hz');
    expectClose(info.spacing.gridHz, 30, 1e-9, 'rate of the grid, Hz');
  });

  test('irregular times are those that were written, B-frames put in order', async () => {
    const info = await probeVideo(irregular);
    // Whole milliseconds are whole ticks of 1/90000 s: exact but for the last bit. Frame 0 is at 0 ms.
    expectAllClose(
      info.timesS,
      Array.from({ length: 40 }, (_, n) => irregularMs(n) / 1000),
      1e-12,
      'time, s',
    );
    // The same by another road: decoded frames as ffprobe prints them, to 6 decimals.
    const decoded = timesByDecoding(irregular);
    expectAllClose(
      info.timesS,
      decoded.map((t) => t - decoded[0]),
      1.1e-6,
      'time of the decoded frame, s',
    );
    expect(info.spacing.constant).toBe(false);
    expect(info.spacing.largestDeviationS).toBeGreaterThan(0.005);
  });

  test('Matroska: whole milliseconds; a video of 59.94 frames a second is as constant as its stamps can say', async () => {
    const file = writeVideo(`${folder}/ms.mkv`, numberedFrames(60), { ...made, rateHz: 59.94 });
    const { spacing, tickS } = await probeVideo(file);
    expectClose(tickS, 0.001, 1e-15, 'tick, s');
    expect(spacing.constant).toBe(true);
    // 60 stamps each up to half a millisecond off, over 0.984 s: the line errs by less than 0.1 % (1e-3 · √(12/60) / 0.984).
    expectClose(spacing.gridHz, 59.94, 0.03, 'rate of the grid, Hz');
    expect(spacing.largestDeviationS).toBeGreaterThan(1e-4);
  });

  test('dropped frames are counted', async () => {
    const file = writeVideo(`${folder}/dropped.mp4`, numberedFrames(30), {
      ...made,
      filters: "select='not(eq(n,7)+eq(n,8)+eq(n,20))'",
    });
    const info = await probeVideo(file);
    expect(info.frames).toBe(27);
    expect(info.spacing).toMatchObject({ dropped: 3, crowded: 0, constant: false });
    expectClose(info.spacing.gridHz, 30, 1e-6, 'rate of the grid, Hz');
    expectClose(info.timesS[7], 9 / 30, 1e-9, 'time of the first frame after the gap, s');
  });

  test('a cut that copies keeps hidden frames before its edit list; they are not counted', async () => {
    const long = writeVideo(`${folder}/long.mp4`, numberedFrames(60), {
      ...made,
      encoder: ['-c:v', 'mpeg4', '-q:v', '1', '-bf', '0', '-g', '12'],
    });
    const cut = `${folder}/cut.mp4`;
    ffmpeg(['-ss', '0.55', '-i', long, '-c', 'copy', cut]);
    const info = await probeVideo(cut);
    expect(info.hiddenFrames).toBeGreaterThan(0);
    expect(info.frames).toBe(timesByDecoding(cut).length);
    expect(info.timesS[0]).toBe(0);
  });

  test('a start other than 0 is kept apart', async () => {
    const file = writeVideo(`${folder}/late.ts`, numberedFrames(10), {
      ...made,
      encoder: ['-c:v', 'mpeg2video', '-q:v', '1', '-muxpreload', '0', '-output_ts_offset', '7'],
    });
    const info = await probeVideo(file);
    expectClose(info.startS, timesByDecoding(file)[0], 1e-6, 'start, s');
    expect(info.startS).toBeGreaterThan(6.9);
    expectClose(info.timesS[9], 9 / 30, 1e-9, 'last time, s');
  });

  test('pixels that are not square, also turned', async () => {
    const wide = `${folder}/wide.mp4`;
    writeVideo(wide, numberedFrames(3), { ...made, filters: 'setsar=4/3' });
    expectClose((await probeVideo(wide)).pixelAspect, 4 / 3, 1e-12, 'pixel aspect');
    const turned = withDisplayMatrix(wide, `${folder}/wide-turned.mp4`, [0, 1, -1, 0]);
    expectClose((await probeVideo(turned)).pixelAspect, 3 / 4, 1e-12, 'pixel aspect, turned');
  });

  test('slow motion that a tag reveals', async () => {
    const file = `${folder}/slow.mp4`;
    const tag = ['-metadata', 'com.android.capture.fps=240', '-movflags', 'use_metadata_tags'];
    ffmpeg(['-i', plain, '-c', 'copy', ...tag, file]);
    expect((await probeVideo(file)).slowMotion).toMatchObject({ captureHz: 240, tag: 'com.android.capture.fps=240' });
  });

  test('names that look like an option or an address are files', async () => {
    for (const name of ['-i.mp4', 'http:a b\'c".mp4']) {
      const file = write(folder, name, readFileSync(plain));
      expect((await probeVideo(file)).frames).toBe(30);
    }
  });

  test.each([
    ['no file', 'missing.mp4', () => {}, 'video-missing'],
    ['no bytes', 'zero.mp4', (file: string) => write('', file, ''), 'video-empty'],
    ['words', 'words.mp4', (file: string) => write('', file, 'This is not a video.\n'), 'video-unreadable'],
    [
      'broken off, index at the end',
      'half.mp4',
      (file: string) => write('', file, readFileSync(plain).subarray(0, 3000)),
      'video-unreadable',
    ],
    [
      'sound alone',
      'sound.m4a',
      (file: string) => ffmpeg(['-f', 'lavfi', '-i', 'sine=d=0.2', '-c:a', 'aac', file]),
      'video-without-picture',
    ],
    [
      'a photograph',
      'photo.jpg',
      (file: string) => ffmpeg(['-f', 'lavfi', '-i', 'testsrc2=s=160x120', '-frames:v', '1', file]),
      'video-is-picture',
    ],
    [
      'AVI with B-frames, which has no place for times',
      'b-frames.avi',
      (file: string) => ffmpeg(['-i', irregular, '-c', 'copy', file]),
      'video-without-times',
    ],
  ])('%s is refused and named', async (_, name, make, code) => {
    const file = `${folder}/${name}`;
    make(file);
    const error = await rejection(() => probeVideo(file));
    expect(error.code).toBe(code);
    expect(error.facts.file).toBe(file);
    expect(error.message).toContain(file);
  });

  test('a folder is refused', async () => {
    expect((await rejection(() => probeVideo(folder))).code).toBe('video-is-folder');
  });

  test('broken off, index at the start: says how many frames there are', async () => {
    const whole = `${folder}/index-first.mp4`;
    ffmpeg(['-i', plain, '-c', 'copy', '-movflags', '+faststart', whole]);
    const bytes = readFileSync(whole);
    const file = write(folder, 'broken.mp4', bytes.subarray(0, Math.round(0.6 * bytes.length)));
    const error = await rejection(() => probeVideo(file));
    expect(error.code).toBe('video-truncated');
    expect(error.facts).toMatchObject({ framesStated: 30 });
    expect(Number(error.facts.framesRead)).toBeLessThan(30);
  });
});
