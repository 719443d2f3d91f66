import { describe, expect, test } from '@jest/globals';
import type { BarPosition, Sex } from '../../src/capture/recording.ts';
import { jointLoads } from '../../src/mechanics/joint-loads-from-motion.ts';
import { rotationAboutY } from '../../src/numerics/rotation.ts';
import { type LimbLengths, limbLengths } from '../../src/predict/build.ts';
import { pointOf, posturesAsMotion } from '../../src/predict/posture.ts';
import { type ForeseenLifter, loadedLifter, squatPosture } from '../../src/predict/squat-posture.ts';
import { expectClose } from '../expect-close.ts';

const lifter = (
  position: BarPosition = 'front rack',
  totalKg = 100,
  sex: Sex = 'male',
  measured: Partial<LimbLengths> = {},
): ForeseenLifter => ({
  sex,
  massKg: 84,
  lengths: limbLengths(sex, 1.78, measured),
  stance: { ankleDistanceM: 0.34, toeOutRad: 0.35 },
  load: { totalKg, bar: { position, lengthM: null, massKg: null } },
  segments: 'de-leva-1996',
});
const leanDeg = (of: ForeseenLifter, thigh: number) => (squatPosture(of, thigh).angles.leanRad * 180) / Math.PI;

describe('the foreseen squat', () => {
  test.each(['front rack', 'high back', 'low back', 'overhead', 'none'] as const)(
    '%s: the centre of mass of lifter and bar stands over mid-foot, in every posture',
    (position) => {
      const who = lifter(position, position === 'none' ? 0 : 60);
      for (const thigh of [84, 45, 0, -15]) {
        const posture = squatPosture(who, thigh);
        const motion = posturesAsMotion(loadedLifter(who), posture.landmarks, posture.position);
        const { centreOfMass } = jointLoads(motion, [], rotationAboutY(0));
        const middle = (pointOf(posture, 'right_heel')[0] + pointOf(posture, 'right_big_toe')[0]) / 2;
        // The last bracket is 1/1400 of a degree wide and linear within: below a micrometre.
        expectClose(centreOfMass![0], middle, 1e-6, `${position} ${thigh}°`);
      }
    },
  );

  test('limbs keep their lengths, thighs have the elevation asked for, left mirrors right', () => {
    const who = lifter();
    const posture = squatPosture(who, 0);
    const gap = (a: Parameters<typeof pointOf>[1], b: Parameters<typeof pointOf>[1]) => {
      const [p, q] = [pointOf(posture, a), pointOf(posture, b)];
      return Math.hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2]);
    };
    expectClose(gap('left_hip', 'left_knee'), who.lengths.thigh, 1e-12, 'thigh');
    expectClose(gap('left_knee', 'left_ankle'), who.lengths.shank, 1e-12, 'shank');
    expectClose(gap('left_shoulder', 'left_elbow'), who.lengths.upperArm, 1e-12, 'upper arm');
    expectClose(gap('left_elbow', 'left_wrist'), who.lengths.forearm, 1e-12, 'forearm');
    expectClose(gap('bar_left_end', 'bar_right_end'), 2.2, 1e-12, 'bar');
    expectClose(pointOf(posture, 'left_hip')[1], pointOf(posture, 'left_knee')[1], 1e-12, 'parallel');
    expectClose(pointOf(posture, 'left_knee')[2], -pointOf(posture, 'right_knee')[2], 0, 'mirror');
  });

  test('the bar further back, or longer thighs, lean the trunk more (common practice, no source)', () => {
    const front = leanDeg(lifter('front rack'), 0);
    const high = leanDeg(lifter('high back'), 0);
    const low = leanDeg(lifter('low back'), 0);
    expect(front).toBeLessThan(high);
    expect(high).toBeLessThan(low);
    expect(leanDeg(lifter('front rack', 100, 'male', { thigh: 0.5 }), 0)).toBeGreaterThan(front + 5);
    for (const lean of [front, high, low]) {
      expect(lean).toBeGreaterThan(10);
      expect(lean).toBeLessThan(65);
    }
  });

  test('mean lengths scale with stature and are those of the table at its own', () => {
    // de Leva (1996) Table 4, men: thigh 422.2 mm, shank KJC–AJC 440.3 mm at a mean stature of 1.741 m.
    const mean = limbLengths('male', 1.741);
    expectClose(mean.thigh, 0.4222, 5e-5, 'thigh');
    expectClose(mean.shank, 0.4403, 5e-5, 'shank');
    expectClose(limbLengths('male', 2 * 1.741).thigh, 2 * mean.thigh, 1e-12);
  });

  test('a lifter who cannot stand in balance is refused', () => {
    const tipping = lifter('front rack', 0, 'male', { thigh: 0.62, trunk: 0.3, shank: 0.25, foot: 0.4 });
    expect(() => squatPosture(tipping, 0)).toThrow(expect.objectContaining({ code: 'posture-unbalanced' }));
  });
});
