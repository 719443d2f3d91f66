import { describe, expect, test } from '@jest/globals';
import { poseOf, standingPlace } from '../../../src/web/scene/pose.ts';
import { makePayload, withoutPoint } from './make-payload.ts';

const payload = makePayload();
const at = (name: string, frame: number) => {
  const p = payload.points.indexOf(name);
  return [...payload.position.subarray(3 * (frame * payload.points.length + p)).slice(0, 3)];
};

describe('the lifter at one moment', () => {
  test('is the frame itself, or the straight line between two', () => {
    const pose = poseOf(payload);
    pose.moveTo(20);
    const slot = pose.slot('left_knee');
    expect([...pose.at.subarray(3 * slot, 3 * slot + 3)]).toEqual(at('left_knee', 20));
    pose.moveTo(20.25);
    const [before, after] = [at('left_knee', 20), at('left_knee', 21)];
    for (let k = 0; k < 3; k++) {
      expect(pose.at[3 * slot + k]).toBeCloseTo(0.75 * before[k] + 0.25 * after[k], 10);
    }
  });

  test('a missing point is not known, nor what is made of it, and never stands at the origin', () => {
    const pose = poseOf(withoutPoint(payload, 'left_hip', 30, 40));
    const hips = pose.slot('middle_of_hips');
    for (const frame of [30, 35.5, 39, 29.5, 39.5]) {
      pose.moveTo(frame);
      expect(pose.known(pose.slot('left_hip'))).toBe(false);
      expect(pose.known(hips)).toBe(false);
    }
    pose.moveTo(40);
    expect(pose.known(hips)).toBe(true);
    pose.moveTo(29);
    expect(pose.known(hips)).toBe(true);
    expect(pose.slot('mid_back')).toBe(-1);
    expect(pose.known(-1)).toBe(false);
  });

  test('the head is between the ears, else at one ear, else at the nose', () => {
    const head = (data: typeof payload) => {
      const pose = poseOf(data);
      pose.moveTo(10);
      const slot = pose.slot('head_centre');
      return [...pose.at.subarray(3 * slot, 3 * slot + 3)];
    };
    const [left, right] = [at('left_ear', 10), at('right_ear', 10)];
    head(payload).forEach((value, k) => {
      expect(value).toBeCloseTo((left[k] + right[k]) / 2, 6);
    });
    const oneEar = withoutPoint(payload, 'left_ear', 0, 300);
    expect(head(oneEar)).toEqual(right);
    expect(head(withoutPoint(oneEar, 'right_ear', 0, 300))).toEqual(at('nose', 10));
  });

  test('the bar has its true length about its middle, along the ends that were seen', () => {
    const pose = poseOf(payload);
    pose.moveTo(100);
    const [left, right, middle] = ['bar_left', 'bar_right', 'bar'].map((name) => 3 * pose.slot(name));
    const apart = [0, 1, 2].map((k) => pose.at[right + k] - pose.at[left + k]);
    expect(Math.hypot(...apart)).toBeCloseTo(2.01, 6);
    for (let k = 0; k < 3; k++)
      expect((pose.at[left + k] + pose.at[right + k]) / 2).toBeCloseTo(pose.at[middle + k], 10);
    const seen = at('bar_right_end', 100).map((value, k) => value - at('bar_left_end', 100)[k]);
    const cosine = apart.reduce((sum, value, k) => sum + value * seen[k], 0) / (2.01 * Math.hypot(...seen));
    expect(cosine).toBeCloseTo(1, 9);
  });

  test('a bar that was not seen lies along the shoulders; without shoulders sideways', () => {
    const placed = { ...payload, bar: { ...payload.bar!, tracked: false } };
    const pose = poseOf(withoutPoint(placed, 'left_shoulder', 50, 60));
    const [left, right] = ['bar_left', 'bar_right'].map((name) => 3 * pose.slot(name));
    pose.moveTo(55);
    expect(pose.at[right] - pose.at[left]).toBeCloseTo(0, 9);
    expect(pose.at[right + 2] - pose.at[left + 2]).toBeCloseTo(2.01, 9);
    pose.moveTo(40);
    expect(Math.abs(pose.at[right] - pose.at[left])).toBeGreaterThan(1e-3);
  });

  test('stands where the feet are, else the ankles; a shift moves everything', () => {
    const [x, z] = standingPlace(payload, 10)!;
    const feet = ['left_heel', 'left_big_toe', 'right_heel', 'right_big_toe'].map((name) => at(name, 10));
    expect(x).toBeCloseTo(feet.reduce((sum, p) => sum + p[0], 0) / 4, 6);
    expect(z).toBeCloseTo(0, 6);
    const bare = ['left_heel', 'right_heel'].reduce((data, name) => withoutPoint(data, name, 0, 300), payload);
    expect(standingPlace(bare, 10)![0]).toBeCloseTo((at('left_ankle', 10)[0] + at('right_ankle', 10)[0]) / 2, 6);
    const moved = poseOf(payload, [1, 0, -2]);
    moved.moveTo(10);
    const slot = 3 * moved.slot('nose');
    expect(moved.at[slot]).toBeCloseTo(at('nose', 10)[0] + 1, 6);
    expect(moved.at[slot + 2]).toBeCloseTo(at('nose', 10)[2] - 2, 6);
  });
});
