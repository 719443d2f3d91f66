import { describe, expect, test } from '@jest/globals';
import { ascentComesFirst, missing, needsLandmarks } from '../../../src/messages.ts';
import { expectClose } from '../../expect-close.ts';
import {
  ANKLE,
  blend,
  DEEP,
  LENGTH,
  type LoadsOptions,
  makeLoads,
  mirrored,
  type Point,
  statics,
} from '../make-loads.ts';
import { depthOf, EVEN, thirdOfTheWayUp } from './even-squat.ts';
import { deadlift, PULL } from './pulled.ts';
import { described, measure } from './with-points.ts';

const RAD = Math.PI / 180;

describe('hip shift', () => {
  /** The hips stand 5 mm to the left and go to the right by `m` on the way down. */
  const shifted = (m: number): LoadsOptions => ({
    moved: (name, [x, y, z], f): Point => (name.endsWith('hip') ? [x, y, z - 0.005 + m * depthOf(EVEN[f])] : [x, y, z]),
  });

  test('is the way to the right since the start, at parallel, bottom and drive', () => {
    const record = described(makeLoads(EVEN, shifted(0.04)));
    for (const at of ['parallel descent', 'parallel ascent', 'parallel']) {
      // Hips that go sideways turn the thighs out: between two frames their elevation is no longer quite linear.
      expectClose(measure(record, 'hip_shift', at).value, (0.04 * 90) / 110, 1e-7, at);
    }
    expectClose(measure(record, 'hip_shift', 'bottom').value, 0.04, 1e-9);
    const { after, part } = thirdOfTheWayUp(
      EVEN.map((p) => statics(p).hipY),
      306,
      0,
    );
    const depth = depthOf(blend(EVEN[after - 1], EVEN[after], part));
    expectClose(measure(record, 'hip_shift', 'drive').value, 0.04 * depth, 1e-9);
  });

  test('to the left is negative; in a mirror the sign turns over', () => {
    const loads = makeLoads(EVEN, shifted(-0.03));
    expectClose(measure(described(loads), 'hip_shift', 'bottom').value, -0.03, 1e-9);
    expectClose(measure(described(mirrored(loads)), 'hip_shift', 'bottom').value, 0.03, 1e-9);
  });

  test('a lifter who stands off to one side does not shift', () => {
    const aside = EVEN.map((p) => ({ ...p, z: 0.2 }));
    expectClose(measure(described(makeLoads(aside)), 'hip_shift', 'bottom').value, 0, 1e-12);
  });

  test('needs hips and ankles; unknown in a pull', () => {
    const pulled = described(makeLoads(PULL), deadlift());
    for (const at of ['parallel descent', 'parallel ascent', 'parallel', 'bottom', 'drive']) {
      expect(measure(pulled, 'hip_shift', at).reason).toBe(ascentComesFirst());
    }
    const bare = described(makeLoads(EVEN, { without: ['left_ankle'] }));
    for (const { reason } of bare.measures.filter((m) => m.measure === 'hip_shift')) {
      expect(reason).toBe(needsLandmarks(['left_ankle']));
    }
  });
});

describe('left minus right', () => {
  /** The left hip lies lower than the right one by this much at the bottom. */
  const lower = (m: number): LoadsOptions => ({
    moved: (name, [x, y, z], f): Point => (name === 'left_hip' ? [x, y - m * depthOf(EVEN[f]), z] : [x, y, z]),
  });

  test('thighs at the bottom: the deeper left one gives a negative number', () => {
    const { hipX, hipY, kneeX } = statics(DEEP);
    const kneeY = ANKLE.y + LENGTH.shank * Math.cos(DEEP.shank * RAD);
    const left = Math.atan2(hipY - 0.03 - kneeY, kneeX - hipX) / RAD;
    const loads = makeLoads(EVEN, lower(0.03));
    const { value, side } = measure(described(loads), 'left_minus_right_thigh', 'bottom');
    expectClose(value, left - DEEP.thigh, 1e-9);
    expect([side, value < 0]).toEqual(['', true]);
    expectClose(measure(described(mirrored(loads)), 'left_minus_right_thigh', 'bottom').value, -value, 1e-9);
  });

  test('knees over the toes at the bottom', () => {
    const loads = makeLoads(EVEN, { leftKneeAheadM: 0.025 });
    expectClose(measure(described(loads), 'left_minus_right_knee_over_toe', 'bottom').value, 0.025, 1e-9);
    expectClose(measure(described(mirrored(loads)), 'left_minus_right_knee_over_toe', 'bottom').value, -0.025, 1e-9);
  });

  test('each says what it needs, and that a point is missing at the bottom', () => {
    const bare = described(makeLoads(EVEN, { without: ['right_big_toe'] }));
    expect(measure(bare, 'left_minus_right_knee_over_toe', 'bottom').reason).toBe(needsLandmarks(['right_big_toe']));
    const lost = described(
      makeLoads(EVEN, {
        moved: (name, place, f): Point => (name === 'left_knee' && f > 303 && f < 310 ? [Number.NaN, 0, 0] : place),
      }),
    );
    for (const name of ['left_minus_right_thigh', 'left_minus_right_knee_over_toe']) {
      expect(measure(lost, name, 'bottom').reason).toBe(missing());
    }
  });

  test('a pull has both', () => {
    const pulled = described(makeLoads(PULL, { leftKneeAheadM: 0.01 }), deadlift());
    expectClose(measure(pulled, 'left_minus_right_knee_over_toe', 'bottom').value, 0.01, 1e-9);
    expect(measure(pulled, 'left_minus_right_thigh', 'bottom').reason).toBe('');
  });
});

describe('tilt of hips and shoulders', () => {
  /** Right points higher by this much from the stand to the bottom, evenly. */
  const tilted = (part: 'hip' | 'shoulder', standM: number, deepM: number): LoadsOptions => ({
    moved: (name, [x, y, z], f): Point =>
      name === `right_${part}` ? [x, y + standM + (deepM - standM) * depthOf(EVEN[f]), z] : [x, y, z],
  });

  test.each([
    ['hips_tilt', 'hip', 0.17],
    ['shoulders_tilt', 'shoulder', 0.36],
  ] as const)('%s: slope seen from the front, right higher positive', (name, part, widthM) => {
    const loads = makeLoads(EVEN, tilted(part, 0.01, -0.02));
    const slope = (m: number) => Math.atan2(m, widthM) / RAD;
    expectClose(measure(described(loads), name, 'start').value, slope(0.01), 1e-9);
    expectClose(measure(described(loads), name, 'bottom').value, slope(-0.02), 1e-9);
    expectClose(measure(described(mirrored(loads)), name, 'bottom').value, slope(0.02), 1e-9);
    const absent = `left_${part}` as const;
    const bare = described(makeLoads(EVEN, { without: [absent] }));
    for (const { reason } of bare.measures.filter((m) => m.measure === name))
      expect(reason).toBe(needsLandmarks([absent]));
    const pulled = described(makeLoads(PULL), deadlift());
    expectClose(measure(pulled, name, 'start').value, 0, 1e-12);
  });
});

describe('stagger of the feet', () => {
  const stagger = (m: number): LoadsOptions => ({
    moved: (name, [x, y, z]): Point => (name === 'left_ankle' ? [x + m, y, z] : [x, y, z]),
  });

  test('is how far the left ankle is ahead; in a mirror the sign turns over', () => {
    const loads = makeLoads(EVEN, stagger(0.06));
    expectClose(measure(described(loads), 'stance_stagger', 'start').value, 0.06, 1e-12);
    expectClose(measure(described(mirrored(loads)), 'stance_stagger', 'start').value, -0.06, 1e-12);
    expectClose(measure(described(makeLoads(PULL), deadlift()), 'stance_stagger', 'start').value, 0, 1e-12);
  });

  test('is a median: a few frames of another place do not move it', () => {
    const loads = makeLoads(EVEN, {
      moved: (name, [x, y, z], f): Point =>
        name === 'left_ankle' ? [x + (f % 5 === 0 ? 0.3 : 0.06), y, z] : [x, y, z],
    });
    expectClose(measure(described(loads), 'stance_stagger', 'start').value, 0.06, 1e-12);
  });

  test('needs both ankles', () => {
    const bare = described(makeLoads(EVEN, { without: ['right_ankle'] }));
    for (const { reason } of bare.measures.filter((m) => m.measure === 'stance_stagger')) {
      expect(reason).toBe(needsLandmarks(['right_ankle']));
    }
  });
});
