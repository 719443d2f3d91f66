import { describe, expect, test } from '@jest/globals';
import { checkSameMode, type LensMode } from '../../../src/capture/video/mode.ts';
import type { VideoInfo } from '../../../src/capture/video/probe.ts';
import { dataError } from '../written-files.ts';

const size = (width: number, height: number) => ({ width, height });
const lens = (width: number, height: number, more: Partial<LensMode> = {}): LensMode => ({
  imageSize: size(width, height),
  madeFrom: 'board.mp4',
  ...more,
});
const spacing = { medianHz: 60, gridHz: 59.94, largestDeviationS: 0, dropped: 0, crowded: 0, constant: true };
type Video = Parameters<typeof checkSameMode>[1];
const video = (width: number, height: number, more: Partial<VideoInfo> = {}): Video => ({
  file: 'lift.mp4',
  uprightSize: size(width, height),
  turn: { clockwiseDeg: 90, mirrored: false },
  pixelAspect: 1,
  spacing,
  ...more,
});

describe('lens and lift in one mode', () => {
  test('equal size, shape and way up: no error; what cannot be seen is said', () => {
    expect(checkSameMode(lens(1080, 1920, { clockwiseDeg: 90, rateHz: 60 }), video(1080, 1920))).toHaveLength(1);
    expect(checkSameMode(lens(1080, 1920), video(1080, 1920))).toHaveLength(1);
  });

  test('another frame rate is noted', () => {
    expect(checkSameMode(lens(1080, 1920, { rateHz: 240 }), video(1080, 1920))).toHaveLength(2);
  });

  test.each([
    ['photograph 4:3 against video 16:9', lens(3024, 4032), video(1080, 1920), 'video-mode-aspect'],
    ['4K against 1080p', lens(2160, 3840), video(1080, 1920), 'video-mode-scaled'],
    ['a resized copy', lens(1080, 1920), video(540, 960), 'video-mode-scaled'],
    ['landscape against portrait', lens(1920, 1080), video(1080, 1920), 'video-mode-turned'],
    ['landscape in 4K against portrait', lens(3840, 2160), video(1080, 1920), 'video-mode-turned'],
    ['a crop', lens(1080, 1920), video(1080, 1440), 'video-mode-aspect'],
  ])('%s is refused; both are named', (_, made, lift, code) => {
    const error = dataError(() => checkSameMode(made, lift));
    expect(error.code).toBe(code);
    expect(error.facts).toMatchObject({
      made: 'board.mp4',
      file: 'lift.mp4',
      lensWidth: made.imageSize.width,
      videoWidth: lift.uprightSize.width,
    });
    for (const name of ['board.mp4', 'lift.mp4']) expect(error.message).toContain(name);
  });

  test('held the other way round at equal size: the turn differs by half', () => {
    const error = dataError(() => checkSameMode(lens(1080, 1920, { clockwiseDeg: 270 }), video(1080, 1920)));
    expect(error).toMatchObject({ code: 'video-mode-upside-down', facts: { lensDeg: 270, videoDeg: 90 } });
  });

  test('pixels of another shape', () => {
    const error = dataError(() => checkSameMode(lens(1080, 1920), video(1080, 1920, { pixelAspect: 4 / 3 })));
    expect(error.code).toBe('video-mode-pixel-shape');
  });
});
