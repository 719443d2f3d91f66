import { describe, expect, test } from '@jest/globals';
import { axisOf } from '../../src/body/attitudes/axes.ts';
import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import { type AngleKey, jointAngles } from '../../src/body/joint-angles/joint-angles.ts';
import { threeAngles } from '../../src/body/joint-angles/three-angles.ts';
import { jointLoads } from '../../src/mechanics/joint-loads-from-motion.ts';
import { spatialMoments } from '../../src/mechanics/spatial/spatial-moments.ts';
import { type Wrench, zeroWrench } from '../../src/mechanics/wrench.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { makeRecording, makeTrajectories, type Point } from '../body/made-lifter.ts';
import { aboutX, aboutY, aboutZ, type BodyPose, posedBody, product, SOME_POSE } from '../body/posed-body.ts';
import { expectClose } from '../expect-close.ts';
import { NO_TURN } from './made-motion.ts';

/*
 * The power of a joint is M · ω, ω the angular velocity of the part beyond it against the part before it. In the joint
 * coordinate system ω = α̇ e1 + β̇ e2 + γ̇ e3 (Grood and Suntay 1983), so that it must also be the sum of each component of the
 * moment times the rate of its angle: components of src/mechanics/spatial, angles of src/body/joint-angles, which share no sign.
 *
 * ω comes from the rotations the body was put together from, not from the product. Derivatives through five samples at 1 kHz: their
 * error dt⁴ x⁽⁵⁾ / 30 is below 1e-11 of the movements here; angles are exact to 1e-12 rad, rates then to 1e-9 rad/s and powers
 * of moments of 100 N·m to 1e-7 W.
 */
const RATE = 1000;
const FRAMES = 5;
const MIDDLE = 2;
const TOLERANCE_W = 1e-6;

/** (x₋₂ − 8 x₋₁ + 8 x₁ − x₂) / 12 dt */
const rateOf = (x: (frame: number) => number) => ((x(0) - x(4) + 8 * (x(3) - x(1))) * RATE) / 12;

type Matrix = ReturnType<typeof product>;
const SIDES = ['left', 'right'] as const;
type Side = (typeof SIDES)[number];

/** The rotations of the parts in the lab, as posedBody puts them together. */
function partsOf(pose: BodyPose): Record<string, Matrix> {
  const pelvis = product(aboutY(pose.pelvis[2]), aboutX(pose.pelvis[1]), aboutZ(-pose.pelvis[0]));
  const parts: Record<string, Matrix> = {
    pelvis,
    trunk: product(pelvis, aboutZ(-pose.spine[0]), aboutX(pose.spine[1]), aboutY(pose.spine[2])),
  };
  for (const side of SIDES) {
    const out = side === 'right' ? 1 : -1;
    const turned = (above: Matrix, flexes: number, [flexion, adduction, inward]: Point) =>
      product(above, aboutZ(flexes * flexion), aboutX(out * adduction), aboutY(out * inward));
    const thigh = turned(pelvis, 1, pose[side].hip);
    const shank = turned(thigh, -1, pose[side].knee);
    const foot = turned(shank, 1, pose[side].ankle);
    Object.assign(parts, { [`${side}_thigh`]: thigh, [`${side}_shank`]: shank, [`${side}_foot`]: foot });
  }
  return parts;
}

/** ω of a part in the middle frame: axial vector of Ṙ Rᵀ. */
function spin(rotation: (frame: number) => Matrix): Point {
  const r = rotation(MIDDLE);
  const element = (i: number, j: number) =>
    [0, 1, 2].reduce((sum, k) => sum + rateOf((f) => rotation(f)[i][k]) * r[j][k], 0);
  return [
    (element(2, 1) - element(1, 2)) / 2,
    (element(0, 2) - element(2, 0)) / 2,
    (element(1, 0) - element(0, 1)) / 2,
  ];
}

/** Every angle of the body in a swing of its own about a drawn pose. */
function movement(seed: number): (frame: number) => BodyPose {
  const random = seededRandom(seed);
  const between = (low: number, high: number) => low + (high - low) * random.uniform();
  const angle = (centre: number) => {
    const [start, size, speed, phase] = [centre + between(-0.2, 0.2), between(0.1, 0.3), between(2, 6), between(0, 6)];
    return (frame: number) => start + size * Math.sin(phase + (speed * (frame - MIDDLE)) / RATE);
  };
  const three = (centre: Point) => {
    const [a, b, c] = centre.map(angle);
    return (frame: number): Point => [a(frame), b(frame), c(frame)];
  };
  const pelvis = three(SOME_POSE.pelvis);
  const spine = three(SOME_POSE.spine);
  const sides = SIDES.map((side) => {
    const { hip, knee, ankle, shoulder, elbow } = SOME_POSE[side];
    return { hip: three(hip), knee: three(knee), ankle: three(ankle), shoulder, elbow };
  });
  const sideAt = (s: number, f: number) => {
    const { hip, knee, ankle, ...arm } = sides[s];
    return { ...arm, hip: hip(f), knee: knee(f), ankle: ankle(f) };
  };
  return (f) => ({ pelvis: pelvis(f), spine: spine(f), left: sideAt(0, f), right: sideAt(1, f) });
}

/** Some force and moment, the same in all frames. */
function someWrench(seed: number): Wrench {
  const random = seededRandom(seed);
  const wrench = zeroWrench(FRAMES);
  const [force, moment] = [0, 1].map(() => [0, 1, 2].map(() => 400 * random.uniform() - 200));
  for (let i = 0; i < 3 * FRAMES; i++) {
    wrench.force[i] = force[i % 3];
    wrench.moment[i] = moment[i % 3];
  }
  return wrench;
}

/** M − P × F in the middle frame. */
function aboutPoint({ force, moment }: Wrench, [x, y, z]: ArrayLike<number> & Iterable<number>): Point {
  const i = 3 * MIDDLE;
  const [fx, fy, fz] = force.subarray(i, i + 3);
  return [moment[i] - (y * fz - z * fy), moment[i + 1] - (z * fx - x * fz), moment[i + 2] - (x * fy - y * fx)];
}

const dot = (a: Point, b: Point) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const minus = (a: Point, b: Point): Point => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];

/** Joint, its two parts, its angles as the product names them; of each angle the sense in which the moment counts positive. */
const LEG_JOINTS = [
  { joint: 'hip', upper: () => 'pelvis', lower: 'thigh', angles: ['hip_flexion', 'hip_adduction', 'hip_rotation'] },
  {
    joint: 'knee',
    upper: (side: Side) => `${side}_thigh`,
    lower: 'shank',
    angles: ['knee_flexion', 'knee_adduction', 'knee_rotation'],
  },
  {
    joint: 'ankle',
    upper: (side: Side) => `${side}_shank`,
    lower: 'foot',
    angles: ['ankle_dorsiflexion', 'ankle_inversion', 'ankle_rotation'],
  },
] as const;

describe.each([1, 2, 3, 4, 5, 6, 7, 8])('a moving body with all markers, drawn with seed %i', (seed) => {
  const poseAt = movement(seed);
  const points = Array.from({ length: FRAMES }, (_, f) => posedBody(poseAt(f)));
  const motion = bodyMotion(
    makeTrajectories(FRAMES, RATE, (f) => points[f]),
    makeRecording(),
  );
  const loads = jointLoads(motion, [], NO_TURN);
  const wrench = someWrench(100 + seed);
  const cut = { total: wrench, gravity: null };
  const cuts = { hip: cut, knee: cut, ankle: cut };
  const moments = spatialMoments(loads, 'joint', { left: cuts, right: cuts });
  const componentsOf = (joint: string, side: string) =>
    moments.find((found) => found.joint === joint && found.side === side)!.components.map((c) => c[MIDDLE]);
  const found = jointAngles(motion);
  const rotations = Array.from({ length: FRAMES }, (_, f) => partsOf(poseAt(f)));
  const turning = (part: string) => spin((f) => rotations[f][part]);
  const angleRate = (name: string, side: Side) => {
    // `knee_flexion` of the tables is the angle of three points, which with varus is a little more than the turn about e1.
    const radians = name === 'knee_flexion' ? kneeAboutE1(side) : found[`${name}/${side}` as AngleKey].radians;
    return rateOf((f) => radians[f]);
  };
  const kneeAboutE1 = (side: Side) => {
    const [thigh, shank] = (['thigh', 'shank'] as const).map(
      (part) => motion.attitudes![`${side}_${part}`]!.labFromPart,
    );
    return threeAngles(thigh, axisOf(thigh, 2), shank, axisOf(shank, 1)).aboutE1.map((angle) => -angle);
  };

  test.each(SIDES)('hip, knee and ankle, %s: moment component × rate of its angle adds up to M · ω', (side) => {
    for (const { joint, upper, lower, angles } of LEG_JOINTS) {
      const centre = motion.joints[`${side}_${joint}`]!.subarray(3 * MIDDLE, 3 * MIDDLE + 3);
      // The cut holds what the lower part gives the upper: its opposite acts on the lower.
      const moment = aboutPoint(wrench, centre).map((m) => -m) as unknown as Point;
      const power = dot(moment, minus(turning(`${side}_${lower}`), turning(upper(side))));
      const [extension, sideways, inward] = componentsOf(joint, side);
      const rates = angles.map((name) => angleRate(name, side));
      const sum = -extension * rates[0] + sideways * rates[1] + inward * rates[2];
      expectClose(sum, power, TOLERANCE_W, `${side} ${joint}, W`);
      // None of the three parts is small: a wrong sign of one cannot pass.
      for (const part of [extension * rates[0], sideways * rates[1], inward * rates[2]])
        expect(Math.abs(part)).toBeGreaterThan(1000 * TOLERANCE_W);
    }
  });

  test('L5/S1: the same for the trunk on the pelvis', () => {
    const { cut: lumbar, point } = loads.lumbosacral!;
    const moment = aboutPoint(lumbar.total, point.subarray(3 * MIDDLE, 3 * MIDDLE + 3));
    const power = dot(moment, minus(turning('trunk'), turning('pelvis')));
    const [extension, right, left] = componentsOf('lumbosacral', 'both');
    const rate = (key: AngleKey) => rateOf((f) => found[key].radians[f]);
    const parts = [-extension * rate('spine_flexion'), right * rate('spine_side_bend'), left * rate('spine_rotation')];
    expectClose(parts[0] + parts[1] + parts[2], power, TOLERANCE_W, 'L5/S1, W');
    for (const part of parts) expect(Math.abs(part)).toBeGreaterThan(1000 * TOLERANCE_W);
  });
});
