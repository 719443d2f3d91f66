import { describe, expect, test } from '@jest/globals';
import type { Landmark } from '../../src/capture/landmarks.ts';
import { DEFAULT_SETTINGS } from '../../src/capture/recording.ts';
import { SampleStatus } from '../../src/capture/sample-status.ts';
import type { MeasuredPoints } from '../../src/reconstruction/measured-points.ts';
import type { Smoothed } from '../../src/reconstruction/smooth.ts';
import { velocityCutoffHz, velocityPoints } from '../../src/reconstruction/velocity-points.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';

const LANDMARKS: readonly Landmark[] = ['left_knee', 'left_hip', 'bar_left_end', 'bar_right_end'];
const RATE = 60;
const FRAMES = 600;
const HZ = 2;

/** Bar ends that swing up and down by 10 cm at 2 Hz, the other points at rest. */
function swinging(status = new Uint8Array(FRAMES * LANDMARKS.length)): { points: MeasuredPoints; smoothed: Smoothed } {
  const position = new Float64Array(3 * FRAMES * LANDMARKS.length);
  for (let s = 0; s < status.length; s++) {
    const bar = LANDMARKS[s % LANDMARKS.length].startsWith('bar_');
    const time = Math.floor(s / LANDMARKS.length) / RATE;
    position[3 * s + 1] = 1 + (bar ? 0.1 * Math.sin(2 * Math.PI * HZ * time) : 0);
    if (status[s] !== SampleStatus.seen) position.fill(Number.NaN, 3 * s, 3 * s + 3);
  }
  const points = {
    landmarks: LANDMARKS,
    frames: FRAMES,
    frameRateHz: RATE,
    position,
    status,
  } as unknown as MeasuredPoints;
  const smoothed: Smoothed = { position, status, cutoffHz: Float64Array.of(6, 3, 3, 3) };
  return { points, smoothed };
}

describe('points for velocities', () => {
  test('hips and bar ends, at twice the cut-off; no higher than the frame rate allows', () => {
    const { points, smoothed } = swinging();
    const found = velocityPoints(points, DEFAULT_SETTINGS, smoothed).points;
    expect(found.landmarks).toEqual(['left_hip', 'bar_left_end', 'bar_right_end']);
    expect(Array.from(found.cutoffHz)).toEqual([6, 6, 6]);
    expectClose(velocityCutoffHz(6, 25), 9.9, 1e-12, '25 frames a second');
    expect(velocityCutoffHz(Number.NaN, 60)).toBeNaN();
  });

  test('a swing of 2 Hz keeps its height to the closed-form gain of a fifth-degree spline', () => {
    const { points, smoothed } = swinging();
    const { position, landmarks } = velocityPoints(points, DEFAULT_SETTINGS, smoothed).points;
    // Gain 1/(1 + (2 sin(πf/fs) / …)⁶); in the limit of many frames a period 1/(1 + (√2 − 1)(f/fc)⁶).
    const gain = 1 / (1 + (Math.SQRT2 - 1) * (HZ / 6) ** 6);
    let largest = 0;
    for (let f = 200; f < 400; f++) {
      largest = Math.max(largest, position[3 * (f * landmarks.length + 1) + 1] - 1);
    }
    // Frames fall up to 6° from the crest: its cosine, 0.5 % at most, is found by the same frames of the exact swing.
    let exact = 0;
    for (let f = 200; f < 400; f++) exact = Math.max(exact, 0.1 * Math.sin((2 * Math.PI * HZ * f) / RATE));
    expectClose(largest / exact, gain, 1e-4, 'gain');
  });

  test('the response is the operator that made the points', () => {
    const { points, smoothed } = swinging();
    const made = velocityPoints(points, DEFAULT_SETTINGS, smoothed);
    expectAllClose(made.respond(points.position), made.points.position, 1e-12, 'position');
  });

  test('missing where the smoothed points are', () => {
    const status = new Uint8Array(FRAMES * LANDMARKS.length);
    for (let f = 300; f < 330; f++) status[f * LANDMARKS.length + 2] = SampleStatus.occluded;
    const { points, smoothed } = swinging(status);
    const { position, landmarks } = velocityPoints(points, DEFAULT_SETTINGS, smoothed).points;
    for (let f = 300; f < 330; f++) expect(position[3 * (f * landmarks.length + 1) + 1]).toBeNaN();
    expect(position[3 * (299 * landmarks.length + 1) + 1]).not.toBeNaN();
  });
});
