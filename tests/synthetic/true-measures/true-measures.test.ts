import { describe, expect, test } from '@jest/globals';
import { expectClose } from '../../expect-close.ts';
import { analysedWorld } from '../../validation/coverage-runs.ts';
import { withHabits } from '../../validation/measures-judged.ts';
import type { BothSides, Half } from '../both-sides.ts';
import { type Course, smoothStep } from '../course.ts';
import { DEMO_RECORDINGS, liftOf } from '../demo.ts';
import { drawnWorld } from '../drawn-world.ts';
import { reshaped } from '../faults/reshaped.ts';
import { drawnStyle } from '../styles.ts';
import { mirrored, type Vector } from '../vector.ts';
import { firstNotAbove, integralOf, largest, largestHeld, medianOver, rateOf, ratesOf, turnsOf } from './in-time.ts';
import { trueMeasureValues, trueValue } from './true-measures.ts';

const DEG = 180 / Math.PI;

describe('functions of time', () => {
  test('crossings, extremes, medians, integrals and derivatives of a sine, as in closed form', () => {
    const wave = (t: number) => Math.sin(2 * t);
    expectClose(
      firstNotAbove((t) => 0.5 - wave(t), 0, 1),
      Math.PI / 12,
      1e-9,
      'rises through 0.5',
    );
    expectClose(
      firstNotAbove((t) => 0.5 - wave(t), 1.5, 0),
      (5 * Math.PI) / 12,
      1e-9,
      'seen from behind',
    );
    const top = largest(wave, 0, 2);
    expectClose(top.timeS, Math.PI / 4, 1e-4, 'time of the peak');
    expectClose(top.value, 1, 1e-8, 'peak');
    // Held for 0.5 s: 0.25 s on either side of the peak.
    expectClose(largestHeld(wave, 0, 2, 0.5), Math.cos(0.5), 1e-5, 'held');
    expectClose(
      medianOver((t) => t ** 3, 0, 1),
      0.125,
      1e-12,
      'median',
    );
    expectClose(integralOf(wave, 0, 1), (1 - Math.cos(2)) / 2, 1e-7, 'integral');
    expectClose(rateOf(wave, 0.3), 2 * Math.cos(0.6), 1e-10, 'first derivative');
    expectClose(ratesOf(wave, 0.3)[1], -4 * Math.sin(0.6), 1e-8, 'second derivative');
    expect(turnsOf(wave, 0, 3.2, 0.5).map(({ top: isTop }) => isTop)).toEqual([false, true, false, true]);
  });
});

/** One repetition: down from 1 s to 3 s, still for 0.5 s, up within 1.5 s. */
const COURSE: Course = {
  repetitions: [{ startS: 1, descentS: 2, pauseS: 0.5, ascentS: 1.5, depth: 1, sticking: 0 }],
  durationS: 6,
  swayPhases: [0, 0],
};
const depth = (t: number) => smoothStep((t - 1) / 2) - smoothStep((t - 3.5) / 1.5);

/** A made-up figure in round numbers: hips 0.5 m down and 0.3 m back, knees 0.2 m forward, trunk 30° at the bottom. */
function figure(t: number): BothSides {
  const d = depth(t);
  const hipX = -0.3 * d;
  const hipY = 0.9 - 0.5 * d;
  const lean = (30 * d) / DEG;
  const onTrunk = (along: number, ahead: number, side: number): Vector => [
    hipX + along * Math.sin(lean) + ahead,
    hipY + along * Math.cos(lean),
    side,
  ];
  const right: Half = {
    heel: [-0.05, 0.03, 0.15],
    bigToe: [0.2, 0.02, 0.15],
    smallToe: [0.15, 0.02, 0.2],
    ankle: [0, 0.1, 0.15],
    knee: [0.2 * d, 0.5, 0.15 + 0.04 * d],
    hip: [hipX, hipY, 0.1],
    shoulder: onTrunk(0.5, 0, 0.2),
    elbow: onTrunk(0.5, 0.3, 0.2),
    wrist: onTrunk(0.55, 0.1, 0.3),
    hand: onTrunk(0.55, 0.1, 0.4),
    ear: onTrunk(0.7, 0.02, 0.07),
    eye: onTrunk(0.7, 0.1, 0.03),
    barEnd: onTrunk(0.55, 0.1, 1),
  };
  // The left heel rises by 20 mm, and the left knee goes 30 mm inside its foot.
  const left: Half = {
    ...(Object.fromEntries(Object.entries(right).map(([part, at]) => [part, mirrored(at)])) as unknown as Half),
    heel: [-0.05, 0.03 + 0.02 * d, -0.15],
    knee: [0.2 * d, 0.5, -0.15 + 0.03 * d],
  };
  return {
    left,
    right,
    nose: onTrunk(0.68, 0.12, 0),
    vertex: onTrunk(0.85, 0, 0),
    neckBase: onTrunk(0.55, -0.02, 0),
    midBack: onTrunk(0.3, -0.05, 0),
    spine: [onTrunk(0.2, 0, 0), onTrunk(0.4, 0, 0), onTrunk(0.5, 0, 0)],
  };
}

describe('a made-up figure, by hand', () => {
  const demo = liftOf(DEMO_RECORDINGS[0], 'inside');
  const lift = reshaped({ ...demo, course: COURSE }, (_sides, t) => figure(t));
  const of = (measure: string, at: string, side = '') => trueValue(lift, { measure, at, side });
  /** Share u of a step at which it has gone `level`. */
  const stepAt = (level: number) => firstNotAbove((u) => level - smoothStep(u), 0, 1);
  const lean = 30 / DEG;

  test.each([
    ['hip_drop', 'bottom', '', 0.5],
    ['trunk_lean', 'bottom', '', 30],
    ['extra_lean', 'largest', '', 30],
    ['knee_over_toe', 'bottom', 'both', 0],
    ['bottom_thigh_elevation', 'bottom', 'right', Math.atan2(-0.1, Math.hypot(0.5, 0.09)) * DEG],
    ['knee_track', 'bottom', 'right', 0.04],
    ['knee_track', 'smallest', 'left', -0.03],
    ['heel_lift', 'largest', 'left', 0.02],
    ['heel_lift', 'largest', 'both', 0.01],
    ['toe_lift', 'largest', 'both', 0],
    ['hip_shift', 'bottom', '', 0],
    ['bar_drift', 'bottom', '', -0.3 + 0.55 * Math.sin(lean)],
    ['bar_ahead_of_shoulders', 'start', '', 0.1],
    ['upper_arm_elevation', 'start', 'both', 0],
    ['hand_spacing', 'start', '', 0.6 / 0.4],
    ['head_tilt', 'bottom', '', 0],
    ['chord_shortening', 'largest', '', 0],
    ['stance_ankle_distance', 'start', '', 0.3],
    ['pelvis_ahead', 'start', '', 0],
    ['bar_tilt', 'bottom', '', 0],
    ['double_bounce', 'bottom', '', 0],
  ])('%s, %s %s', (measure, at, side, expected) => {
    // The figure's knees turn its forward by a hundredth of a degree.
    expectClose(of(measure, at, side), expected, 2e-4 * Math.max(1, Math.abs(expected)), `${measure} ${at} ${side}`);
  });

  test('times by the step that the hips follow', () => {
    const [early, late] = [stepAt(0.02), stepAt(0.98)];
    // The stand ends a thousandth of a millimetre below its height: a hundred-thousandth of a second.
    expectClose(of('descent_time', 'descent'), 2 * (late - early), 2e-5, 'descent');
    expectClose(of('ascent_time', 'ascent'), 1.5 * (late - early), 2e-5, 'ascent');
    expectClose(of('bottom_pause', 'bottom'), 0.5 + 2 * (1 - late) + 1.5 * early, 2e-5, 'pause');
    // Steepest half-way: 35/16 of the mean speed.
    expectClose(of('hip_velocity_peak', 'ascent'), (0.5 / 1.5) * (35 / 16), 1e-5, 'peak velocity');
    const third = depthTimeOfRise(1 / 3);
    expectClose(of('lean_gained_in_drive', 'ascent'), 30 * depth(third) - 30, 1e-3, 'lean gained');
    expectClose(of('knee_return', 'drive', 'both'), 0.2 * (1 - depth(third)), 1e-5, 'knee return');
  });

  function depthTimeOfRise(risen: number): number {
    return 3.5 + 1.5 * stepAt(risen);
  }
});

/**
 * How near the analysis of exact pixels comes, by unit, and as a share: what 120 frames/s without a filter leave (largest of
 * eight lifts: 0.12° and 1.3 mm at places read off a single frame of a level stand).
 */
const NEAR: Readonly<Record<string, readonly [absolute: number, share: number]>> = {
  deg: [0.4, 0],
  m: [0.003, 0],
  s: [0.01, 0],
  m_per_s: [0.004, 0],
  '1': [0.006, 0.01],
  nm: [3, 0.01],
  // Half a frame of 1/120 s at either end of a phase, of moments up to 400 N·m.
  nms: [3.5, 0.01],
  j: [4, 0.01],
  w: [8, 0.02],
};

test('exact pixels give the truth of every measure back', () => {
  const style = drawnStyle(0);
  const world = withHabits(drawnWorld(style, 0, new Set()), style);
  const { record } = analysedWorld(
    { ...world, filming: { ...world.filming, frameRateHz: 120 } },
    { smoothing: { kind: 'none' } },
  );
  const truths = trueMeasureValues(world.lift);
  let compared = 0;
  for (const { measure, at, side, repetition, value } of truths) {
    if (Number.isNaN(value)) continue;
    const found = record.measures.find(
      (one) => one.measure === measure && one.at === at && one.side === side && one.repetition === repetition,
    );
    expect([measure, at, side, found === undefined]).toEqual([measure, at, side, false]);
    const [absolute, share] = NEAR[found!.unit];
    expectClose(found!.value, value, absolute + share * Math.abs(value), `${measure}, ${at} ${side}`);
    compared++;
  }
  expect(compared).toBeGreaterThan(150);
});
