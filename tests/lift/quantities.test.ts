import { describe, expect, test } from '@jest/globals';
import { SHARE_FLOOR_NM_PER_KG } from '../../src/lift/limits.ts';
import { columnName, frameQuantities, quantityTable } from '../../src/lift/quantities.ts';
import { hipKneeRatio, hipShare } from '../../src/lift/shares.ts';
import type { JointLoads } from '../../src/mechanics/joint-loads.ts';
import { gravityPartUnknown, needsLandmarks, shareUndefined } from '../../src/messages.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import {
  ANKLE,
  blend,
  DEEP,
  HEEL_X,
  LENGTH,
  makeLoads,
  mirrored,
  move,
  RATE,
  STANDING,
  squats,
  statics,
  TOE_X,
} from './make-loads.ts';

// Closed form: positions follow from the angles, so the angles must come back to rounding.
const ROUNDING = 1e-9;

describe('posture', () => {
  const postures = move(STANDING, DEEP, 60);
  const table = quantityTable(makeLoads(postures));
  const values = (quantity: string, side: 'both' | 'left' | 'right' | null = null) =>
    table.find(quantity, side)!.values;

  test('the angles a lifter is made from come back', () => {
    expectAllClose(
      values('trunk_lean'),
      postures.map((p) => p.trunk),
      ROUNDING,
      'trunk lean',
    );
    for (const side of ['both', 'left', 'right'] as const) {
      expectAllClose(
        values('thigh_elevation', side),
        postures.map((p) => p.thigh),
        ROUNDING,
        `thigh ${side}`,
      );
      expectAllClose(
        values('shank_inclination', side),
        postures.map((p) => p.shank),
        ROUNDING,
        `shank ${side}`,
      );
    }
  });

  test('knee flexion is the angle between shank and thigh: 90° + shank − thigh elevation', () => {
    // acos-free form: a nearly straight knee keeps 1e-6 degrees.
    expectAllClose(
      values('knee_flexion', 'left'),
      postures.map((p) => 90 + p.shank - p.thigh),
      1e-6,
      'knee flexion',
    );
  });

  test('thigh elevation is that of the thigh itself, also with the knees turned out', () => {
    // Hips 0.085 m, knees 0.185 m from the middle: 0.1 m of the horizontal distance is sideways.
    const loads = makeLoads([DEEP], { hipHalfM: 0.085, ankleHalfM: 0.285 });
    const drop = LENGTH.thigh * Math.sin((DEEP.thigh * Math.PI) / 180);
    const forward = LENGTH.thigh * Math.cos((DEEP.thigh * Math.PI) / 180);
    const expected = (Math.atan2(drop, Math.hypot(forward, 0.1)) * 180) / Math.PI;
    expectClose(quantityTable(loads).find('thigh_elevation', 'both')!.values[0], expected, ROUNDING);
  });

  test('knee over toe, centre of mass along the foot, hip height, in metres and shares of the foot', () => {
    const s = postures.map((p) => statics(p));
    expectAllClose(
      values('knee_over_toe', 'both'),
      s.map(({ kneeX }) => kneeX - TOE_X),
      ROUNDING,
      'knee over toe',
    );
    expectAllClose(
      values('com_along_foot'),
      s.map(({ comX }) => (comX - HEEL_X) / LENGTH.foot),
      ROUNDING,
      'com',
    );
    expectAllClose(
      values('hip_height'),
      s.map(({ hipY }) => hipY),
      ROUNDING,
      'hip height',
    );
  });

  test('a heel that is higher than the toe is a positive foot inclination, on either foot', () => {
    const loads = makeLoads(postures);
    const { landmarks, position } = loads.motion.trajectories;
    for (let f = 0; f < loads.frames; f++) {
      position[3 * (f * landmarks.length + landmarks.indexOf('left_heel')) + 1] = 0.05;
      position[3 * (f * landmarks.length + landmarks.indexOf('right_heel')) + 1] = -0.02;
    }
    const raised = quantityTable(loads);
    const angle = (upM: number) => (Math.atan2(upM, LENGTH.foot) * 180) / Math.PI;
    expectClose(raised.find('foot_inclination', 'left')!.values[5], angle(0.05), ROUNDING);
    expectClose(raised.find('foot_inclination', 'right')!.values[5], angle(-0.02), ROUNDING);
  });

  test('hip height is counted from the floor, wherever that lies', () => {
    const loads = makeLoads(postures);
    const trajectories = { ...loads.motion.trajectories, floorHeightM: -0.1 };
    const lowered = quantityTable({ ...loads, motion: { ...loads.motion, trajectories } });
    expectClose(lowered.find('hip_height')!.values[5], statics(postures[5]).hipY + 0.1, ROUNDING);
  });

  test('velocity is the five-point difference of height, unknown at both ends', () => {
    const hip = values('hip_height');
    const velocity = values('hip_velocity_y');
    expect(velocity[0]).toBeNaN();
    expect(velocity[59]).toBeNaN();
    expectClose(velocity[30], ((8 * (hip[31] - hip[29]) - (hip[32] - hip[28])) * RATE) / 12, ROUNDING);
    expectClose(velocity[1], ((hip[2] - hip[0]) * RATE) / 2, ROUNDING);
  });

  test('without a heel, everything along the foot is unknown and says which point it needs', () => {
    const lacking = quantityTable(makeLoads(postures, { without: ['left_heel'] }));
    expect(lacking.at('com_along_foot', null, 20)).toEqual({
      value: Number.NaN,
      reason: needsLandmarks(['left_heel']),
    });
    expect(lacking.at('foot_inclination', 'both', 20).reason).toBe(needsLandmarks(['left_heel']));
    expect(lacking.at('foot_inclination', 'right', 20).reason).toBe('');
    expect(lacking.at('knee_over_toe', 'both', 20).reason).toBe('');
  });
});

describe('moments and shares', () => {
  test('moments pass through unchanged; support, difference and shares are made of them', () => {
    const postures = move(STANDING, DEEP, 40);
    const table = quantityTable(makeLoads(postures));
    const s = postures.map((p) => statics(p));
    const values = (quantity: string) => table.find(quantity, 'both')!.values;
    expectAllClose(
      values('hip_moment'),
      s.map(({ hip }) => hip),
      ROUNDING,
    );
    expectAllClose(
      values('support_moment'),
      s.map(({ hip, knee, ankle }) => hip + knee + ankle),
      ROUNDING,
    );
    expectAllClose(
      values('hip_minus_knee'),
      s.map(({ hip, knee }) => hip - knee),
      ROUNDING,
    );
    const last = s[39];
    expectClose(values('hip_share')[39], last.hip / (last.hip + last.knee), ROUNDING);
    expectClose(values('hip_knee_ratio')[39], last.hip / last.knee, ROUNDING);
    expectClose(values('ankle_share')[39], last.ankle / (last.hip + last.knee + last.ankle), ROUNDING);
  });

  test('hip share is unknown up to the floor per kilogram, known above it', () => {
    const floor = 100 * SHARE_FLOOR_NM_PER_KG;
    expect(hipShare(0.6 * floor, 0.4 * floor, 100)).toBeNaN();
    expectClose(hipShare(0.6 * floor + 0.01, 0.4 * floor, 100), 0.6, 1e-3);
    expect(hipShare(-80, 200, 100)).toBeLessThan(0);
    expect(hipShare(Number.NaN, 200, 100)).toBeNaN();
  });

  test('the ratio needs a knee moment of at least a tenth of the sum', () => {
    expect(hipKneeRatio(181, 19, 100)).toBeNaN();
    expectClose(hipKneeRatio(180, 20, 100), 9, ROUNDING);
    expect(hipKneeRatio(300, -20, 100)).toBeNaN();
  });

  test('standing upright the share is unknown because the moments are small, not because they are missing', () => {
    const table = quantityTable(makeLoads(squats(1)));
    expect(table.at('hip_share', 'both', 50).reason).toBe(shareUndefined(SHARE_FLOOR_NM_PER_KG));
  });

  test('with force plates too: the legs, and the moments from below beside those from above', () => {
    const above = makeLoads(move(STANDING, DEEP, 20));
    const half = (series: Float64Array) => series.map((x) => 0.5 * x);
    const leg = Object.fromEntries(
      Object.entries(above.fromAbove!).map(([joint, m]) => [
        joint,
        { total: half(m.total), gravity: half(m.gravity), inertial: half(m.inertial) },
      ]),
    ) as NonNullable<JointLoads['fromAbove']>;
    const loads: JointLoads = { ...above, fromBelow: { both: above.fromAbove, left: leg, right: leg } };
    const columns = frameQuantities(loads).map(columnName);
    for (const column of [
      'hip_moment_from_below_both_nm',
      'knee_moment_left_nm',
      'ankle_moment_gravity_right_nm',
      'hip_share_left',
    ]) {
      expect(columns).toContain(column);
    }
    const table = quantityTable(loads);
    // Half the moment on half the mass: the share of a leg is that of both.
    expectClose(table.find('hip_share', 'left')!.values[19], table.find('hip_share', 'both')!.values[19], ROUNDING);
    // The floor of the share is half that of both too: it is unknown in the same frames.
    const isKnown = (side: 'both' | 'left') => [...table.find('hip_share', side)!.values].map(Number.isFinite);
    expect(isKnown('both')).toContain(false);
    expect(isKnown('left')).toEqual(isKnown('both'));
    // Measured forces give no gravity part, and what needs it says so.
    const unknown = new Float64Array(above.frames).fill(Number.NaN);
    const total = Object.fromEntries(
      Object.entries(leg).map(([joint, m]) => [joint, { total: m.total, gravity: unknown, inertial: unknown }]),
    ) as typeof leg;
    const below = quantityTable({ ...above, fromBelow: { both: above.fromAbove, left: total, right: total } });
    expect(below.at('hip_moment_gravity', 'left', 18).reason).toBe(gravityPartUnknown());
    expect(below.at('hip_share_gravity', 'left', 18).reason).toBe(gravityPartUnknown());
    expect(below.at('hip_share_gravity', 'both', 18).reason).toBe('');
  });
});

test('column names are those of the design', () => {
  const columns = frameQuantities(makeLoads(move(STANDING, DEEP, 5))).map(columnName);
  for (const column of [
    'hip_moment_both_nm',
    'hip_moment_gravity_both_nm',
    'trunk_lean_deg',
    'thigh_elevation_both_deg',
    'com_x_m',
    'cop_x_m',
    'ground_force_y_n',
    'bar_velocity_y_m_per_s',
    'hip_share_both',
    'com_along_foot',
  ]) {
    expect(columns).toContain(column);
  }
  expect(new Set(columns).size).toBe(columns.length);
  for (const column of columns) expect(column).toMatch(/^[a-z0-9_]+$/);
});

test('a mirrored lift gives equal values with left and right exchanged', () => {
  const loads = makeLoads([...move(STANDING, DEEP, 30), blend(STANDING, DEEP, 0.5)], {
    leftKneeAheadM: 0.03,
    toeOutDeg: { left: 10, right: 25 },
    ankleHalfM: 0.2,
  });
  const found = quantityTable(loads);
  const inMirror = quantityTable(mirrored(loads));
  const other = { left: 'right', right: 'left', both: 'both' } as const;
  let compared = 0;
  for (const { quantity, side, values } of found.list) {
    const there = inMirror.find(quantity, side && other[side])!.values;
    const sign = quantity.endsWith('_z') ? -1 : 1;
    for (let f = 0; f < values.length; f++) {
      if (Number.isNaN(values[f])) expect(there[f]).toBeNaN();
      else expectClose(there[f], sign * values[f], 1e-12, `${quantity} ${side} frame ${f}`);
    }
    compared++;
  }
  expect(compared).toBeGreaterThan(50);
  expect(ANKLE.y).toBeGreaterThan(0);
});
