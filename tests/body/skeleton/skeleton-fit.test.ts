import { describe, expect, test } from '@jest/globals';
import { skeletonFit } from '../../../src/body/skeleton/skeleton-fit.ts';
import { SampleStatus } from '../../../src/capture/sample-status.ts';
import type { Trajectories } from '../../../src/reconstruction/trajectories.ts';
import { expectClose } from '../../expect-close.ts';
import { recordingWith } from './made-recording.ts';
import { BODY, RATE_HZ, rmsDistance, smoothedPoints, trueLift, usualCutoffHz, withNoise } from './noisy-lift.ts';

const truth = trueLift(BODY);
const noisy = smoothedPoints(BODY, withNoise(truth.position, 3), usualCutoffHz);
const fit = skeletonFit(noisy, recordingWith());
const count = BODY.length;

/** Distance of two points in every frame. */
function distances(position: Float64Array, from: string, to: string): number[] {
  const [a, b] = [from, to].map((name) => (BODY as readonly string[]).indexOf(name));
  return Array.from({ length: truth.frames }, (_, k) => {
    const [i, j] = [3 * (k * count + a), 3 * (k * count + b)];
    return Math.hypot(position[j] - position[i], position[j + 1] - position[i + 1], position[j + 2] - position[i + 2]);
  });
}

const RODS = [
  ['left_hip', 'right_hip'],
  ...['left', 'right'].flatMap((side) =>
    [
      ['hip', 'knee'],
      ['knee', 'ankle'],
      ['ankle', 'heel'],
      ['ankle', 'big_toe'],
      ['heel', 'big_toe'],
      ['shoulder', 'elbow'],
      ['elbow', 'wrist'],
    ].map((ends) => ends.map((end) => `${side}_${end}`)),
  ),
  ['bar_left_end', 'bar_right_end'],
];

describe('a noisy lift', () => {
  test('every limb has one length in all frames, within 1e-9 m', () => {
    for (const [from, to] of RODS) {
      const found = distances(fit.trajectories.position, from, to);
      expectClose(Math.max(...found) - Math.min(...found), 0, 1e-9, `${from}–${to}`);
    }
    expect(fit.quality.lengths).toHaveLength(RODS.length);
  });

  test('lengths are the true ones within 4 of their standard deviations', () => {
    const names = RODS.map(([from, to]) => distances(truth.position, from, to)[0]);
    const found = fit.quality.lengths.map(({ lengthM }) => lengthM).sort();
    // Sorted: true lengths of left and right are equal, and no two kinds of limb are within a millimetre of each other here.
    names.sort().forEach((length, i) => {
      const { sdM } = fit.quality.lengths.find(({ lengthM }) => lengthM === found[i])!;
      expectClose(found[i], length, 4 * sdM + 2e-4, `length ${length}`);
    });
  });

  test('hips, knees, ankles and shoulders lie nearer the truth than the free points, together and each', () => {
    const of = (position: Float64Array, which: RegExp) => rmsDistance(position, truth.position, BODY, which);
    const joints = ['hip', 'knee', 'ankle', 'shoulder'].map((joint) => new RegExp(`_${joint}$`));
    const pooled = (position: Float64Array) => Math.hypot(...joints.map((joint) => of(position, joint)));
    const ratio = pooled(fit.trajectories.position) / pooled(noisy.position);
    expect(ratio).toBeLessThan(0.85);
    for (const joint of joints) {
      expect(of(fit.trajectories.position, joint) / of(noisy.position, joint)).toBeLessThan(1);
    }
  });

  test('feet that do not move are single points', () => {
    for (const landmark of ['left_heel', 'left_big_toe', 'left_ankle', 'right_ankle'] as const) {
      const l = BODY.indexOf(landmark);
      for (let axis = 0; axis < 3; axis++) {
        const values = Array.from(
          { length: truth.frames },
          (_, k) => fit.trajectories.position[3 * (k * count + l) + axis],
        );
        expectClose(Math.max(...values) - Math.min(...values), 0, 1e-12, `${landmark} axis ${axis}`);
      }
    }
    expect(fit.quality.rests.map(({ landmark }) => landmark)).toEqual([
      'left_heel',
      'left_big_toe',
      'left_ankle',
      'right_heel',
      'right_big_toe',
      'right_ankle',
    ]);
  });

  test('misfit of lengths is what white noise explains', () => {
    // 10 lengths (resting feet have none) in 290 frames, of which smoothing leaves every tenth to fifth independent: some
    // 400 squares, whose mean scatters by √(2 / 400) = 7 %; each fitted length takes one of about 40.
    expectClose(fit.quality.misfit!, 1, 0.25, 'misfit');
  });

  test('status, frames, covariance and layout are those that came in, and nothing that came in was changed', () => {
    const before = smoothedPoints(BODY, withNoise(truth.position, 3), usualCutoffHz);
    expect(noisy.position).toEqual(before.position);
    expect(fit.trajectories.status).toBe(noisy.status);
    expect(fit.trajectories.covariance).toBe(noisy.covariance);
    expect(fit.trajectories.landmarks).toBe(noisy.landmarks);
  });

  test('refitting the same positions gives the same points to the last digit', () => {
    expect(fit.refit(noisy.position)).toEqual(fit.trajectories.position);
  });

  test('a refit of other noise fits as well as a fit of its own', () => {
    const other = smoothedPoints(BODY, withNoise(truth.position, 4), usualCutoffHz);
    const own = skeletonFit(other, recordingWith()).trajectories.position;
    const refitted = fit.refit(other.position);
    const of = (position: Float64Array) => rmsDistance(position, truth.position, BODY, /hip|knee|ankle|shoulder/);
    expectClose(of(refitted) / of(own), 1, 0.02, 'error of refit over error of fit');
    for (const [from, to] of RODS) {
      const found = distances(refitted, from, to);
      expectClose(Math.max(...found) - Math.min(...found), 0, 1e-9, `${from}–${to}`);
    }
  });

  test('a refit moves with a shift of all points, and lengths grow with a scale', () => {
    const shifted = fit.refit(noisy.position.map((value, i) => value + [0.01, -0.02, 0.03][i % 3]));
    for (let i = 0; i < shifted.length; i += 101) {
      expectClose(shifted[i], fit.trajectories.position[i] + [0.01, -0.02, 0.03][i % 3], 1e-9, `shifted ${i}`);
    }
    const scaled = fit.refit(noisy.position.map((value) => 1.01 * value));
    const [before, after] = [fit.trajectories.position, scaled].map((p) => distances(p, 'left_hip', 'left_knee')[0]);
    // The prior (28 mm) and the exact points' bend against their noise leave a few micrometres.
    expectClose(after / before, 1.01, 2e-5, 'thigh');
  });

  test('exact points stay where they are', () => {
    const exact = smoothedPoints(BODY, truth.position, () => Number.NaN);
    const { position } = skeletonFit(exact, recordingWith()).trajectories;
    // The priors pull lengths by (0.1 mm / 28 mm)² of their distance from the mean: micrometres.
    expectClose(rmsDistance(position, truth.position, BODY, /./), 0, 5e-6, 'r.m.s. distance');
  });
});

describe('missing points', () => {
  const gapped = withGap(noisy, 'left_knee', 120, 170);

  function withGap(points: Trajectories, landmark: string, first: number, end: number): Trajectories {
    const position = points.position.slice();
    const status = points.status.slice();
    const l = (BODY as readonly string[]).indexOf(landmark);
    for (let k = first; k < end; k++) {
      position.fill(Number.NaN, 3 * (k * count + l), 3 * (k * count + l) + 3);
      status[k * count + l] = SampleStatus.occluded;
    }
    return { ...points, position, status };
  }

  test('a missing knee between hip and ankle is not invented, and its neighbours stay known', () => {
    const found = skeletonFit(gapped, recordingWith()).trajectories.position;
    for (let i = 0; i < found.length; i++) expect(Number.isNaN(found[i])).toBe(Number.isNaN(gapped.position[i]));
  });

  test('the hip is not pushed where the knee is lost and found again', () => {
    // Second difference of the correction over the gap's ends, as an acceleration; unsmoothed it would be some 3 m/s².
    const found = skeletonFit(gapped, recordingWith()).trajectories.position;
    const l = BODY.indexOf('left_hip');
    const correction = (k: number, axis: number) => {
      const at = 3 * (k * count + l) + axis;
      return found[at] - gapped.position[at];
    };
    for (const edge of [120, 170]) {
      for (let k = edge - 2; k <= edge + 2; k++) {
        for (let axis = 0; axis < 3; axis++) {
          const bend = correction(k + 1, axis) - 2 * correction(k, axis) + correction(k - 1, axis);
          expect(Math.abs(bend) * RATE_HZ ** 2).toBeLessThan(0.8);
        }
      }
    }
  });

  test('a point that is never known costs only its own limbs', () => {
    const found = skeletonFit(withGap(noisy, 'left_elbow', 0, truth.frames), recordingWith());
    expect(found.quality.lengths.map(({ segment }) => segment)).not.toContain('left forearm');
    expect(found.quality.lengths).toHaveLength(RODS.length - 2);
  });

  test('without any limb the points stay as they are, and a note says so', () => {
    const l = BODY.indexOf('left_shoulder');
    const position = new Float64Array(3 * truth.frames);
    for (let k = 0; k < truth.frames; k++) {
      position.set(noisy.position.subarray(3 * (k * count + l), 3 * (k * count + l) + 3), 3 * k);
    }
    const alone = {
      ...noisy,
      landmarks: ['left_shoulder' as const],
      position,
      covariance: new Float64Array(6 * truth.frames).fill(1e-6),
      status: new Uint8Array(truth.frames),
      cutoffHz: new Float64Array([3]),
    };
    const found = skeletonFit(alone, recordingWith());
    expect(found.trajectories.position).toEqual(position);
    expect(found.quality.lengths).toEqual([]);
    expect(found.quality.notes).toHaveLength(1);
  });
});

describe('uncertainty of the points', () => {
  test('without any covariance all points are alike, and the misfit is unknown', () => {
    const unknown = { ...noisy, covariance: new Float64Array(noisy.covariance.length).fill(Number.NaN) };
    const found = skeletonFit(unknown, recordingWith());
    expect(found.quality.misfit).toBeNull();
    expect(found.quality.points[0].movedRmsSd).toBeNull();
    const of = (position: Float64Array) => rmsDistance(position, truth.position, BODY, /hip|knee|ankle|shoulder/);
    expect(of(found.trajectories.position)).toBeLessThan(of(noisy.position));
  });

  test('a knee of huge variance is pulled and does not pull', () => {
    const l = BODY.indexOf('left_knee');
    const position = noisy.position.slice();
    const covariance = noisy.covariance.slice();
    for (let k = 0; k < truth.frames; k++) {
      position[3 * (k * count + l) + 1] += 0.04;
      for (let c = 0; c < 6; c++) covariance[6 * (k * count + l) + c] *= 1e6;
    }
    const found = skeletonFit({ ...noisy, position, covariance }, recordingWith()).trajectories.position;
    const error = (which: RegExp) => rmsDistance(found, fit.trajectories.position, BODY, which);
    // Its places are 40 mm off; hip, ankle and the likeness of both legs put it back.
    expect(error(/left_hip/)).toBeLessThan(0.002);
    expect(error(/left_knee/)).toBeLessThan(0.01);
  });
});
