import { describe, expect, test } from '@jest/globals';
import { frameSpacing } from '../../../src/capture/video/frame-rate.ts';
import { slowMotionFromTags } from '../../../src/capture/video/slow-motion.ts';
import { expectClose } from '../../expect-close.ts';

const times = (count: number, timeOf: (n: number) => number) =>
  Float64Array.from({ length: count }, (_, n) => timeOf(n));

describe('spacing of frames', () => {
  test('60000/1001 Hz in ticks of 1/600 s: constant within a tick, rate from the whole length', () => {
    const spacing = frameSpacing(
      times(3600, (n) => Math.round((600 * n * 1001) / 60000) / 600),
      1 / 600,
    );
    expect(spacing).toMatchObject({ dropped: 0, crowded: 0, constant: true });
    // Stamps are off by up to half a tick, evenly spread: over a minute the slope errs by about 1e-3 / 60 / √3600.
    expectClose(spacing.gridHz, 60000 / 1001, 1e-4, 'rate of the grid, Hz');
    expectClose(spacing.medianHz, 60, 1e-9, 'rate of the median interval, Hz');
  });

  test('dropped, crowded and late frames', () => {
    const spacing = frameSpacing(Float64Array.of(0, 0.1, 0.2, 0.5, 0.6, 0.61, 0.7, 0.8, 0.9, 1), 1e-5);
    expect(spacing).toMatchObject({ dropped: 2, crowded: 1, constant: false });
    const late = frameSpacing(
      times(101, (n) => n / 50 + (n === 50 ? 0.004 : 0)),
      1e-5,
    );
    // One of 101 frames 4 ms late, in the middle: the line's mean moves by 4 / 101 ms.
    expectClose(late.largestDeviationS, 0.004 * (1 - 1 / 101), 1e-9, 'largest deviation, s');
    expect(late).toMatchObject({ dropped: 0, crowded: 0, constant: false });
  });

  test('one frame has no rate', () => {
    expect(frameSpacing(Float64Array.of(0), 0.001)).toMatchObject({ gridHz: Number.NaN, constant: true });
  });
});

describe('slow motion', () => {
  test.each([
    [{ 'com.android.capture.fps': '240.000000' }, 30, 240],
    [{ 'com.android.capture.fps': '119.88' }, 29.97, 119.88],
  ])('%j played at %d Hz', (tags, playHz, captureHz) => {
    expect(slowMotionFromTags(tags, playHz)).toMatchObject({ captureHz, playHz });
  });

  test.each([
    [{ 'com.android.capture.fps': '60' }, 59.94],
    [{ encoder: 'x' }, 30],
    [{ 'capture.fps': 'unknown' }, 30],
  ])('%j at %d Hz is none', (tags, playHz) => {
    expect(slowMotionFromTags(tags as Record<string, string>, playHz)).toBeNull();
  });
});
