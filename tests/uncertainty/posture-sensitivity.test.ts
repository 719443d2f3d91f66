import { describe, expect, test } from '@jest/globals';
import type { Landmark } from '../../src/capture/landmarks.ts';
import { GRAVITY_M_PER_S2 } from '../../src/numerics/constants.ts';
import { limbLengths } from '../../src/predict/build.ts';
import { pointOf } from '../../src/predict/posture.ts';
import { loadedLifter, squatPosture } from '../../src/predict/squat-posture.ts';
import { postureSensitivity } from '../../src/uncertainty/posture-sensitivity.ts';
import { gradientAtElevation, standardDeviation } from '../../src/uncertainty/posture-uncertainty.ts';
import { expectClose } from '../expect-close.ts';

const lifter = {
  sex: 'male',
  massKg: 80,
  lengths: limbLengths('male', 1.8),
  stance: { ankleDistanceM: 0.34, toeOutRad: 0.35 },
  load: { totalKg: 100, bar: { position: 'front rack', lengthM: null, massKg: null } },
  segments: 'de-leva-1996',
} as const;
const posture = squatPosture(lifter, 0);
const sensitivity = postureSensitivity(loadedLifter(lifter), posture);
const by = (quantity: keyof typeof sensitivity.byPoint, landmark: Landmark, axis: 0 | 1 | 2) =>
  sensitivity.byPoint[quantity][3 * posture.landmarks.indexOf(landmark) + axis];

describe('derivatives of a posture, against closed forms', () => {
  // Central differences of 0.1 mm: error of second order, below 1e-6 of the value.
  test('hip moment by an end of the bar: half the load’s weight forward, nothing up or sideways', () => {
    expectClose(by('hip_moment_gravity_both_nm', 'bar_left_end', 0), 50 * GRAVITY_M_PER_S2, 1e-3);
    expectClose(by('hip_moment_gravity_both_nm', 'bar_left_end', 1), 0, 1e-6);
    expectClose(by('hip_moment_gravity_both_nm', 'bar_left_end', 2), 0, 1e-6);
  });

  test('hip moment by all points moved forward together: none', () => {
    const forward = sensitivity.byPoint.hip_moment_gravity_both_nm.filter((_, i) => i % 3 === 0);
    expectClose(
      forward.reduce((sum, value) => sum + value, 0),
      0,
      1e-3,
    );
  });

  test('lean by a shoulder: half of cos² / height of the trunk a metre', () => {
    const [hip, shoulder] = [pointOf(posture, 'left_hip'), pointOf(posture, 'left_shoulder')];
    const [x, y] = [shoulder[0] - hip[0], shoulder[1] - hip[1]];
    const wanted = (0.5 * y) / (x * x + y * y);
    expectClose(by('trunk_lean_deg', 'left_shoulder', 0), (wanted * 180) / Math.PI, 1e-4);
    expectClose(by('trunk_lean_deg', 'left_hip', 0), (-wanted * 180) / Math.PI, 1e-4);
  });

  test('a wrong vertical leans everything by as much', () => {
    expectClose(sensitivity.perDegreeOfVertical.trunk_lean_deg, 1, 1e-6);
    // The thighs lie forward of the hips: leaning forward lowers the knees against the hips… a thigh along X turns by the whole degree.
    const [hip, knee] = [pointOf(posture, 'left_hip'), pointOf(posture, 'left_knee')];
    const alongX = (knee[0] - hip[0]) / Math.hypot(knee[0] - hip[0], knee[2] - hip[2]);
    expectClose(sensitivity.perDegreeOfVertical.thigh_elevation_both_deg, alongX, 1e-5);
  });

  test('the share follows from the moments: ds = (K dH − H dK) / (H + K)²', () => {
    const { hip_moment_gravity_both_nm: h, knee_moment_gravity_both_nm: k } = sensitivity.values;
    for (const landmark of ['bar_right_end', 'left_hip', 'right_knee', 'left_shoulder'] as const) {
      const [dh, dk] = [by('hip_moment_gravity_both_nm', landmark, 0), by('knee_moment_gravity_both_nm', landmark, 0)];
      expectClose(by('hip_share_gravity_both', landmark, 0), (k * dh - h * dk) / (h + k) ** 2, 1e-6, landmark);
    }
  });

  test('read at an elevation, an error that moves the elevation alone moves the reading along the movement', () => {
    const slope = 0.01;
    const gradient = gradientAtElevation(sensitivity, 'hip_share_gravity_both', slope);
    const i = 3 * posture.landmarks.indexOf('left_knee') + 1;
    const wanted =
      sensitivity.byPoint.hip_share_gravity_both[i] - slope * sensitivity.byPoint.thigh_elevation_both_deg[i];
    expectClose(gradient[i], wanted, 1e-12);
  });

  test('a point of unknown covariance matters only where it has a part', () => {
    const covariances = new Float64Array(6 * posture.landmarks.length).fill(1e-6);
    covariances.fill(Number.NaN, 0, 6); // the nose
    expect(Number.isFinite(standardDeviation(sensitivity.byPoint.hip_share_gravity_both, covariances))).toBe(true);
    covariances.fill(
      Number.NaN,
      6 * posture.landmarks.indexOf('left_hip'),
      6 * posture.landmarks.indexOf('left_hip') + 6,
    );
    expect(Number.isNaN(standardDeviation(sensitivity.byPoint.hip_share_gravity_both, covariances))).toBe(true);
  });
});
