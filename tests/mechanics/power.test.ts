import { describe, expect, test } from '@jest/globals';
import type { BodyMotion } from '../../src/body/body-motion.ts';
import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import { cutsFromBelow, legDemands, momentsFromAbove } from '../../src/mechanics/cut-moments.ts';
import { LOADED_JOINTS } from '../../src/mechanics/joint-loads.ts';
import { jointLoads } from '../../src/mechanics/joint-loads-from-motion.ts';
import { legPowerBalance, legPowers } from '../../src/mechanics/power/leg-powers.ts';
import { addWrenchInto, zeroWrench } from '../../src/mechanics/wrench.ts';
import { rms } from '../../src/numerics/statistics.ts';
import { lifterPoints, makeRecording, makeTrajectories, type Point, squatPosture } from '../body/made-lifter.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { DEMO_RECORDINGS, demoFilming, liftOf } from '../synthetic/demo.ts';
import { analysedInMemory } from '../synthetic/in-memory.ts';
import { NO_TURN } from './made-motion.ts';

/*
 * The power balance: what the net moments do must be the rate of change of kinetic and potential energy (work–energy
 * theorem). The energy is differentiated by itself and shares no step with the moments but the positions.
 */

const RACKED = makeRecording({ load: { totalKg: 100, bar: { position: 'front rack' } } });
const RATE = 100;
const FRAMES = 401;

const motionOf = (at: (timeS: number) => Record<string, Point>, recording = RACKED) =>
  bodyMotion(
    makeTrajectories(FRAMES, RATE, (f) => at(f / RATE)),
    recording,
  );
const inner = (values: ArrayLike<number>, edge = 3) => Array.from(values).slice(edge, -edge);
const peakOf = (values: readonly number[]) => Math.max(...values.map(Math.abs));

/** Σ M · ω of all joints and the upper body's own part, less the rate of change of the energy: rms as a share of its peak. */
function imbalance(motion: BodyMotion, edge = 3) {
  const { left, right, upperBody, energyRate } = legPowerBalance(motion, sharedAnyhow(motion));
  const peakW = peakOf(inner(energyRate, edge));
  const over = energyRate.map((rate, f) => {
    const joints = LOADED_JOINTS.reduce((sum, joint) => sum + left.joints[joint][f] + right.joints[joint][f], 0);
    return joints + upperBody[f] - rate;
  });
  return {
    peakW,
    share: rms(inner(over, edge)) / peakW,
  };
}

/** Two wrenches of no particular kind that add up to what the whole body needs: the balance must not depend on the sharing. */
function sharedAnyhow(motion: BodyMotion) {
  const whole = momentsFromAbove(motion).ground.total;
  const left = zeroWrench(motion.frames);
  for (let i = 0; i < left.force.length; i++) {
    left.force[i] = 0.4 * whole.force[i] + (i % 3 === 2 ? 30 : 0);
    left.moment[i] = 0.45 * whole.moment[i] + 5;
  }
  const right = zeroWrench(motion.frames);
  addWrenchInto(right, whole);
  addWrenchInto(right, left, -1);
  const demands = legDemands(motion);
  return {
    left: cutsFromBelow(motion, demands, left, 'left'),
    right: cutsFromBelow(motion, demands, right, 'right'),
  };
}

/** A squat with turned-out, unequal legs of constant length on feet that stand still; trunk and arms as in the plane. */
function turnedOut(timeS: number): Record<string, Point> {
  const points: Record<string, Point> = { ...lifterPoints(squatPosture(timeS)) };
  const depth = (1 - Math.cos(Math.PI * timeS)) / 2;
  const drop: Point = [-0.02 - 0.12 * depth, 0.9 - 0.4 * depth, 0.03 * Math.sin(2 * timeS)];
  const hipMiddle = points.left_hip;
  for (const name of Object.keys(points)) {
    if (/shoulder|elbow|wrist|hand|ear|hip/.test(name)) {
      points[name] = [
        points[name][0] - hipMiddle[0] + drop[0],
        points[name][1] - hipMiddle[1] + drop[1],
        points[name][2] + drop[2],
      ];
    }
  }
  for (const [side, sign, outDeg] of [
    ['left', -1, 35],
    ['right', 1, 20],
  ] as const) {
    const out = (outDeg * Math.PI) / 180;
    points[`${side}_ankle`] = [0, 0.08, 0.2 * sign];
    points[`${side}_heel`] = [-0.05, 0.03, 0.2 * sign];
    points[`${side}_big_toe`] = [0.19 * Math.cos(out), 0.02, (0.2 + 0.19 * Math.sin(out)) * sign];
    points[`${side}_knee`] = kneeBetween(points[`${side}_hip`], points[`${side}_ankle`], [
      Math.cos(out),
      0,
      sign * Math.sin(out),
    ]);
  }
  return points;
}

/** Knee of a thigh of 0.42 m and a shank of 0.43 m, in the plane that `ahead` spans with the line from ankle to hip. */
function kneeBetween(hip: Point, ankle: Point, ahead: Point): Point {
  const line = hip.map((value, k) => value - ankle[k]);
  const apart = Math.hypot(...line);
  const along = line.map((value) => value / apart);
  const inLine = ahead.reduce((sum, value, k) => sum + value * along[k], 0);
  const bent = ahead.map((value, k) => value - inLine * along[k]);
  const length = Math.hypot(...bent);
  const up = (0.43 ** 2 - 0.42 ** 2 + apart ** 2) / (2 * apart);
  const over = Math.sqrt(0.43 ** 2 - up ** 2);
  return ankle.map((value, k) => value + up * along[k] + (over * bent[k]) / length) as unknown as Point;
}

describe('power balance', () => {
  const planar = motionOf((t) => lifterPoints(squatPosture(t)));

  test('from above, both legs at once, on an analytic squat: hips + knees + ankles + upper body to 0.1 % of the peak', () => {
    const { joints, rest, bar } = jointLoads(planar, [], NO_TURN).powers.both!;
    const { energyRate, upperBody, besideThePlane } = rest;
    const peakW = peakOf(inner(energyRate));
    const over = (extra: Float64Array | null) =>
      inner(
        energyRate.map((rate, f) => {
          const parts = joints.hip[f] + joints.knee[f] + joints.ankle[f] + upperBody[f] + (extra?.[f] ?? 0);
          return parts - rate;
        }),
      );
    expect(peakW).toBeGreaterThan(500);
    expect(rms(over(null))).toBeLessThanOrEqual(0.001 * peakW);
    expect(rms(over(besideThePlane))).toBeLessThanOrEqual(0.001 * peakW);
    // Nothing here is small by being nothing.
    for (const joint of LOADED_JOINTS) expect(rms(inner(joints[joint]))).toBeGreaterThan(0.02 * peakW);
    expect(rms(inner(bar!))).toBeGreaterThan(0.2 * peakW);
  });

  test('leg by leg, in the plane and with turned-out legs that differ: to 0.1 % of the peak, however the floor is shared', () => {
    for (const motion of [planar, motionOf(turnedOut)]) {
      const { peakW, share } = imbalance(motion);
      expect(peakW).toBeGreaterThan(500);
      expect(share).toBeLessThanOrEqual(0.001);
    }
  });

  test('a table that turns solids about their long axes by convention does not change what a leg does', () => {
    const dumas = motionOf(turnedOut, makeRecording({ load: RACKED.load, segments: 'dumas-2007' }));
    expect(dumas.segments.filter(({ solid }) => solid).length).toBeGreaterThan(0);
    const slender = { ...dumas, segments: dumas.segments.map(({ solid: _, ...segment }) => segment) };
    const cuts = sharedAnyhow(dumas);
    for (const side of ['left', 'right'] as const) {
      const [found, expected] = [dumas, slender].map((motion) => legPowers(motion, cuts[side], side).joints);
      for (const joint of LOADED_JOINTS)
        expectAllClose(inner(found[joint]), inner(expected[joint]), 1e-9, `${side} ${joint}, W`);
    }
    // The spin left out at a hip comes back at the knee, but for what it moves: a centre 3 cm beside the line of a thigh of some
    // 11 kg, 3 N·m at up to 0.4 rad/s, 1.3 W on each side: below 0.2 % of the peak.
    const { peakW, share } = imbalance(dumas);
    expect(peakW).toBeGreaterThan(1300);
    expect(share).toBeLessThanOrEqual(0.002);
  });

  test('what stretches takes the rest: all parts with it add up to the rate of change of the energy, also when a thigh grows', () => {
    const growing = motionOf((t) => {
      const points = turnedOut(t);
      const [x, y, z] = points.left_knee;
      return { ...points, left_knee: [x + 0.02 * Math.sin(2 * t), y, z] };
    });
    const { left, right, upperBody, stretch, energyRate } = legPowerBalance(growing, sharedAnyhow(growing));
    const peakW = peakOf(inner(energyRate));
    const over = energyRate.map((rate, f) => {
      const joints = LOADED_JOINTS.reduce((sum, joint) => sum + left.joints[joint][f] + right.joints[joint][f], 0);
      return joints + upperBody[f] + stretch[f] - rate;
    });
    expect(rms(inner(over))).toBeLessThanOrEqual(0.001 * peakW);
    expect(rms(inner(stretch))).toBeGreaterThan(0.005 * peakW);
  });

  test('a trunk that turns about its own line over still legs: 10 N·m about the vertical at 0.5 rad/s are 5 W at the hip', () => {
    const turning = motionOf((t) => {
      const points: Record<string, Point> = { ...lifterPoints({ shankLean: 0, thighLean: 0, trunkLean: 0 }) };
      // Hips turn to the left about the vertical through mid-hip; thighs are measured to knees that stay, so only the trunk spins.
      const [c, s] = [Math.cos(0.5 * t), Math.sin(0.5 * t)];
      for (const side of ['left', 'right']) {
        const [x, y, z] = points[`${side}_hip`];
        points[`${side}_hip`] = [x + z * s, y, z * c];
      }
      return points;
    });
    const upright = { force: new Float64Array(3 * FRAMES), moment: new Float64Array(3 * FRAMES) };
    for (let i = 1; i < upright.moment.length; i += 3) upright.moment[i] = 10;
    const cut = { total: upright, gravity: null };
    const { joints } = legPowers(turning, { hip: cut, knee: cut, ankle: cut }, 'right');
    const thigh = turning.segments.find(({ name }) => name === 'right_thigh')!;
    for (const f of [20, 100, 200]) {
      // What the upright part of the thigh's own slow turning takes off is computed from its ends.
      const at = (g: number) => thigh.axis.subarray(3 * g, 3 * g + 3);
      const rate = at(f + 1).map((value, k) => (value - at(f - 1)[k]) * (RATE / 2));
      const thighUp = at(f)[2] * rate[0] - at(f)[0] * rate[2];
      expectClose(joints.hip[f], 10 * (0.5 - thighUp), 1e-3, `frame ${f}, W`);
    }
  });

  test('the check can fail: without the knees it is far off', () => {
    const { left, right, energyRate } = legPowerBalance(planar, sharedAnyhow(planar));
    const knees = left.joints.knee.map((value, f) => value + right.joints.knee[f]);
    expect(rms(inner(knees))).toBeGreaterThan(0.1 * peakOf(inner(energyRate)));
  });

  test('filmed by two cameras with the noise of a detector, limbs held at constant length: to 2 % of the peak', () => {
    const recorded = { ...DEMO_RECORDINGS[0], plan: { ...DEMO_RECORDINGS[0].plan, repetitions: 1 } };
    const { loads } = analysedInMemory(liftOf(recorded, 'outside'), demoFilming(recorded));
    const { peakW, share } = imbalance(loads.motion, 30);
    expect(peakW).toBeGreaterThan(500);
    expect(share).toBeLessThanOrEqual(0.02);
  });
});
