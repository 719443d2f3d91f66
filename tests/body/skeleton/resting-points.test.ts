import { describe, expect, test } from '@jest/globals';
import { skeletonFit } from '../../../src/body/skeleton/skeleton-fit.ts';
import { expectClose } from '../../expect-close.ts';
import { recordingWith } from './made-recording.ts';
import { BODY, RATE_HZ, smoothedPoints, trueLift, usualCutoffHz, withNoise } from './noisy-lift.ts';

const truth = trueLift(BODY);
const count = BODY.length;

/** Smooth step of 0.3 s from 0 to 1. */
const step = (t: number) => {
  const u = Math.min(1, Math.max(0, t / 0.3));
  return u * u * u * (10 + u * (6 * u - 15));
};

/** The true lift with one point of a foot moved by `by(t)` along an axis, then noise and smoothing. */
function moved(landmarks: readonly string[], axis: number, by: (t: number) => number, seed = 5) {
  const position = truth.position.slice();
  for (const landmark of landmarks) {
    const l = (BODY as readonly string[]).indexOf(landmark);
    for (let k = 0; k < truth.frames; k++) position[3 * (k * count + l) + axis] += by(k / RATE_HZ);
  }
  return {
    position,
    fit: skeletonFit(smoothedPoints(BODY, withNoise(position, seed), usualCutoffHz), recordingWith()),
  };
}

const series = (position: Float64Array, landmark: string, axis: number) =>
  Array.from(
    { length: truth.frames },
    (_, k) => position[3 * (k * count + (BODY as readonly string[]).indexOf(landmark)) + axis],
  );

const restsOf = (fit: ReturnType<typeof moved>['fit'], landmark: string) =>
  fit.quality.rests.filter((rest) => rest.landmark === landmark);

describe('feet that stand, and feet that do not', () => {
  test('a heel that lifts by 20 mm for a second is seen: its height, and the ankle that goes with it', () => {
    const lift = (t: number) => 0.02 * (step(t - 1.5) - step(t - 2.8));
    const { fit } = moved(['left_heel', 'left_ankle'], 1, lift);
    const height = series(fit.trajectories.position, 'left_heel', 1);
    const rise = Math.max(...height) - height[20];
    // Noise of a point smoothed at 6 Hz: 1.9 mm × √0.21 = 0.9 mm, largest of some 15: two and a half of that.
    expectClose(rise, 0.02, 0.003, 'rise');
    const rests = restsOf(fit, 'left_heel');
    expect(rests.length).toBeGreaterThanOrEqual(2);
    expect(rests[0].toS).toBeLessThan(1.8);
    expect(restsOf(fit, 'left_big_toe')).toHaveLength(1);
    expect(restsOf(fit, 'right_heel')).toHaveLength(1);
  });

  test('a toe that lifts is seen, and the ankle of its foot is not held meanwhile', () => {
    const { fit } = moved(['right_big_toe'], 1, (t) => 0.015 * (step(t - 1.5) - step(t - 3)));
    const height = series(fit.trajectories.position, 'right_big_toe', 1);
    expectClose(Math.max(...height) - height[20], 0.015, 0.003, 'rise');
    for (const { fromS, toS } of restsOf(fit, 'right_ankle')) expect(toS < 1.9 || fromS > 1.5).toBe(true);
  });

  test('a foot that is put elsewhere rests twice, on spots as far apart as the step', () => {
    const foot = ['left_heel', 'left_big_toe', 'left_ankle'];
    const { fit } = moved(foot, 2, (t) => -0.03 * step(t - 2.5));
    for (const landmark of foot) {
      const rests = restsOf(fit, landmark);
      expect(rests).toHaveLength(2);
      const z = series(fit.trajectories.position, landmark, 2);
      // Two means of over 100 frames of 2.7 mm: 0.4 mm.
      expectClose(z[truth.frames - 20] - z[20], -0.03, 0.0015, landmark);
    }
  });

  test('slow shuffling of 40 mm over the whole recording is no rest', () => {
    const total = truth.frames / RATE_HZ;
    const { fit } = moved(['left_big_toe', 'left_heel', 'left_ankle'], 0, (t) => (0.04 * t) / total);
    expect(restsOf(fit, 'left_big_toe')).toEqual([]);
    const x = series(fit.trajectories.position, 'left_big_toe', 0);
    expectClose(x[truth.frames - 10] - x[10], (0.04 * (truth.frames - 20)) / truth.frames, 0.005, 'way');
  });

  test('where a rest begins or ends the point is not jerked', () => {
    const { fit } = moved(['left_heel', 'left_ankle'], 1, (t) => 0.02 * (step(t - 1.5) - step(t - 2.8)));
    const height = series(fit.trajectories.position, 'left_heel', 1);
    let largest = 0;
    for (let k = 1; k < height.length - 1; k++) {
      largest = Math.max(largest, Math.abs(height[k + 1] - 2 * height[k] + height[k - 1]) * RATE_HZ ** 2);
    }
    // The lift itself: 5.8 · 20 mm / (0.3 s)² = 1.3 m/s²; noise at 6 Hz adds some 1 m/s². A switch of 2 mm in one frame: 7 m/s².
    expect(largest).toBeLessThan(3.5);
  });

  test('twice the noise widens the limit and still finds the rests', () => {
    const noisy = skeletonFit(smoothedPoints(BODY, withNoise(truth.position, 6, 2), usualCutoffHz, 2), recordingWith());
    const calm = moved([], 0, () => 0).fit;
    expect(noisy.quality.restLimits[0].limitM).toBeGreaterThan(calm.quality.restLimits[0].limitM);
    expect(noisy.quality.rests).toHaveLength(6);
  });
});
