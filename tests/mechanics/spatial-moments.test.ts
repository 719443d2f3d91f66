import { describe, expect, test } from '@jest/globals';
import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import { cutsFromBelow, legDemands, momentsFromAbove, momentsOf } from '../../src/mechanics/cut-moments.ts';
import { jointLoads } from '../../src/mechanics/joint-loads-from-motion.ts';
import { abductorOf, extensorOf } from '../../src/mechanics/leg-sharing/leg-moments.ts';
import { legSharing } from '../../src/mechanics/leg-sharing/leg-sharing.ts';
import { LOADED_JOINTS } from '../../src/mechanics/loaded-joints.ts';
import type { SpatialJoint } from '../../src/mechanics/spatial/moment-axes.ts';
import { spatialMoments } from '../../src/mechanics/spatial/spatial-moments.ts';
import { addWrenchInto, momentAbout, zeroWrench } from '../../src/mechanics/wrench.ts';
import { lifterPoints, makeRecording, makeTrajectories, type Point, squatPosture } from '../body/made-lifter.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { NO_TURN } from './made-motion.ts';

const RATE = 100;
const FRAMES = 101;
const HELD = makeRecording({ load: { totalKg: 60, bar: { position: 'hands' } } });

/** An uneven lifter with a bar in the hands; legs turned out, so that no axis lies along the lab's. */
function unevenLifter(f: number): Record<string, Point> {
  const points: Record<string, Point> = {};
  for (const [name, [x, y, z]] of Object.entries(lifterPoints(squatPosture(f / RATE)))) {
    const uneven = name.startsWith('left') ? 1 : -1;
    const out = name.endsWith('knee') ? 0.08 : 0;
    // Bent elbows have a plane.
    const held = /wrist|hand/.test(name) ? 0.18 : 0;
    points[name] = [x + 0.01 * uneven * y + held, y + 0.003 * uneven + 0.1 * held, z - uneven * out + 0.01 * y];
  }
  return points;
}

/** The same lifter seen in a mirror: left and right exchanged, Z turned round. */
const mirrored = (points: Record<string, Point>) =>
  Object.fromEntries(
    Object.entries(points).map(([name, [x, y, z]]) => [
      name.replace(/left|right/, (side) => (side === 'left' ? 'right' : 'left')),
      [x, y, -z] as Point,
    ]),
  );

/** The same lifter facing another way. */
function facing(points: Record<string, Point>, angle: number): Record<string, Point> {
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  return Object.fromEntries(
    Object.entries(points).map(([name, [x, y, z]]) => [name, [c * x + s * z, y, c * z - s * x] as Point]),
  );
}

/** Loads with the ground reaction shared in a fixed way: `part` of the total under the left foot. */
function loadsOf(at: (f: number) => Record<string, Point>, part: number) {
  const motion = bodyMotion(makeTrajectories(FRAMES, RATE, at), HELD);
  const loads = jointLoads(motion, [], NO_TURN);
  const whole = momentsFromAbove(motion).ground.total;
  const left = zeroWrench(FRAMES);
  for (let i = 0; i < left.force.length; i++) {
    left.force[i] = part * whole.force[i];
    left.moment[i] = part * whole.moment[i];
  }
  const right = zeroWrench(FRAMES);
  addWrenchInto(right, whole);
  addWrenchInto(right, left, -1);
  const demands = legDemands(motion);
  const shared = {
    left: cutsFromBelow(motion, demands, left, 'left'),
    right: cutsFromBelow(motion, demands, right, 'right'),
  };
  return { motion, loads, shared };
}

const middle = (values: Float64Array) => values.subarray(50, 60);
type Run = ReturnType<typeof loadsOf>;
const componentsOf = ({ loads, shared }: Run, axes: 'joint' | 'segment' | 'lab', joint: SpatialJoint, side: string) =>
  spatialMoments(loads, axes, shared).find((found) => found.joint === joint && found.side === side)!;

describe('moments in three dimensions', () => {
  const run = loadsOf(unevenLifter, 0.4);

  test('in lab axes, extension is the extensor moment of the sagittal plane', () => {
    for (const side of ['left', 'right'] as const) {
      const moments = momentsOf(run.motion, run.shared[side], side);
      for (const joint of LOADED_JOINTS) {
        const { components, way } = componentsOf(run, 'lab', joint, side);
        expect(way).toBe('shared');
        expectAllClose(middle(components[0]), middle(moments[joint].total), 1e-9, `${side} ${joint}`);
      }
    }
    const lumbar = componentsOf(run, 'lab', 'lumbosacral', 'both');
    expectAllClose(middle(lumbar.components[0]), middle(run.loads.lumbosacral!.moment.total), 1e-9, 'L5/S1');
    const elbow = componentsOf(run, 'lab', 'elbow', 'left');
    const arm = run.loads.arms.find(({ joint, side }) => joint === 'elbow' && side === 'left')!;
    expectAllClose(middle(elbow.components[0]), middle(arm.moment.total), 1e-9, 'elbow');
  });

  test('shared legs with hip points over the trochanters: about the same drawn-in centres as the tables of leg sharing', () => {
    const wide = (f: number) => {
      const points = unevenLifter(f);
      for (const [name, by] of [
        ['left_hip', -0.1],
        ['right_hip', 0.1],
      ] as const)
        points[name] = [points[name][0], points[name][1], points[name][2] + by];
      return points;
    };
    const loads = jointLoads(bodyMotion(makeTrajectories(FRAMES, RATE, wide), HELD), [], NO_TURN);
    const sharing = legSharing(loads, 'proportional')!;
    const shared = { left: sharing.left.cuts, right: sharing.right.cuts };
    for (const side of ['left', 'right'] as const) {
      const { moments } = sharing[side];
      const { components } = spatialMoments(loads, 'lab', shared).find(
        (found) => found.joint === 'hip' && found.side === side,
      )!;
      expectAllClose(middle(components[0]), middle(extensorOf(moments, 'hip')), 1e-9, `${side}, extension`);
      const abductor = abductorOf(moments, 'hip', side);
      expectAllClose(
        middle(components[1]),
        middle(abductor).map((value) => -value),
        1e-9,
        `${side}, adduction`,
      );
      // About the points as given it is another moment.
      const point = loads.motion.joints[`${side}_hip`]!;
      const given = momentAbout(sharing[side].cuts!.hip.total, point)[3 * 55] * (side === 'right' ? 1 : -1);
      expect(Math.abs(given - abductor[55])).toBeGreaterThan(5);
    }
  });

  test.each(['joint', 'segment', 'lab'] as const)(
    'a mirrored lift has the same moments on the other side: %s',
    (axes) => {
      const other = loadsOf((f) => mirrored(unevenLifter(f)), 0.6);
      for (const joint of ['hip', 'knee', 'ankle', 'shoulder', 'elbow'] as const) {
        const here = componentsOf(run, axes, joint, 'left');
        const there = componentsOf(other, axes, joint, 'right');
        for (let c = 0; c < 3; c++)
          expectAllClose(middle(there.components[c]), middle(here.components[c]), 1e-9, `${joint} ${c}`);
      }
      // The trunk bends and turns to the other side.
      const here = componentsOf(run, axes, 'lumbosacral', 'both').components;
      const there = componentsOf(other, axes, 'lumbosacral', 'both').components;
      [1, -1, -1].forEach((sign, c) => {
        expectAllClose(
          middle(there[c]),
          middle(here[c]).map((value) => sign * value),
          1e-9,
          `L5/S1 ${c}`,
        );
      });
    },
  );

  test('axes of joints and segments turn with the lifter, those of the lab do not', () => {
    const turned = loadsOf((f) => facing(unevenLifter(f), 0.7), 0.4);
    for (const joint of ['hip', 'knee', 'ankle', 'shoulder', 'elbow'] as const) {
      for (const axes of ['joint', 'segment'] as const) {
        for (let c = 0; c < 3; c++)
          expectAllClose(
            middle(componentsOf(turned, axes, joint, 'right').components[c]),
            middle(componentsOf(run, axes, joint, 'right').components[c]),
            1e-9,
            `${axes} ${joint} ${c}`,
          );
      }
    }
    const lab = (of: Run) => middle(componentsOf(of, 'lab', 'hip', 'right').components[0])[0];
    expect(Math.abs(lab(turned) - lab(run))).toBeGreaterThan(5);
  });

  test('a force straight up under the outer edge of a right foot: signs by hand', () => {
    // A leg upright at z = 0.1, pressed by 500 N at 5 cm outside the ankle and 10 cm before it, and nothing weighs anything.
    const point = (x: number, y: number, z: number) =>
      Float64Array.from({ length: 3 * FRAMES }, (_, i) => [x, y, z][i % 3]);
    const ground = zeroWrench(FRAMES);
    for (let i = 0; i < ground.force.length; i += 3) {
      ground.force[i + 1] = 500;
      ground.moment[i] = -0.15 * 500;
      ground.moment[i + 2] = 0.1 * 500;
    }
    const cut = { total: ground, gravity: null };
    const loads = {
      ...run.loads,
      motion: {
        ...run.motion,
        joints: { right_hip: point(0, 0.9, 0.1), right_knee: point(0, 0.5, 0.1), right_ankle: point(0, 0.1, 0.1) },
      },
      cuts: { above: null, left: null, right: { hip: cut, knee: cut, ankle: cut } },
    };
    const of = (joint: SpatialJoint) =>
      spatialMoments(loads, 'lab', null).find((found) => found.joint === joint && found.side === 'right')!;
    // The floor's force, 10 cm ahead, dorsiflexes the ankle: the calf must work with 50 N·m. It bends the knee backward: the
    // flexors (extension negative) must hold. It flexes the hip: the extensors must hold.
    expectClose(of('ankle').components[0][5], 50, 1e-9, 'plantarflexion');
    expectClose(of('knee').components[0][5], -50, 1e-9, 'knee extension');
    expectClose(of('hip').components[0][5], 50, 1e-9, 'hip extension');
    // 5 cm outside, it tips sole, shank and thigh outward: what holds them pulls inward.
    for (const joint of LOADED_JOINTS) expectClose(of(joint).components[1][5], 25, 1e-9, `${joint}, inward`);
    expect(of('hip').way).toBe('measured');
  });

  test('axes of the segment: Z, X and Y of the part beyond the joint, in this order', () => {
    const hip = run.motion.joints.right_hip!;
    // On the thigh acts the opposite of what it gives the pelvis; extension is backward, about −Z.
    const onThigh = momentAbout(run.shared.right.hip.total, hip).map((value) => -value);
    const thigh = run.motion.attitudes!.right_thigh!.labFromPart;
    const { components } = componentsOf(run, 'segment', 'hip', 'right');
    const f = 55;
    [2, 0, 1].forEach((column, c) => {
      const along = [0, 1, 2].reduce((sum, k) => sum + onThigh[3 * f + k] * thigh[9 * f + 3 * k + column], 0);
      expectClose(components[c][f], c === 0 ? -along : along, 1e-9, `component ${c}`);
    });
    expect(Math.abs(components[1][f] - components[2][f])).toBeGreaterThan(1);
  });

  test('L5/S1 of a still lifter who leans: weights above it times their levers', () => {
    const { motion, lumbosacral } = jointLoads(
      bodyMotion(
        makeTrajectories(5, RATE, () => lifterPoints({ shankLean: 0.3, thighLean: -1, trunkLean: 0.7 })),
        HELD,
      ),
      [],
      NO_TURN,
    );
    const g = 9.80665;
    const f = 2;
    const { mid_hip: hip, mid_shoulder: shoulder } = motion.joints;
    const at = (share: number) => hip![3 * f] + share * (shoulder![3 * f] - hip![3 * f]);
    // Dumas et al. (2007): L5/S1 a fifth of the way up; pelvis 14.6 (women), 14.2 % (men) of the mass, its centre 23.2, 28.0 % below L5/S1.
    const l5 = at(0.2);
    const above = [...motion.segments, motion.barbell!].filter(({ name }) => !/thigh|shank|foot/.test(name));
    const whole = above.reduce((sum, { massKg, centre }) => sum + massKg * g * (centre[3 * f] - l5), 0);
    const pelvis = 0.144 * motion.bodyMassKg * g * (at(0.2 * (1 - 0.256)) - l5);
    expect(whole).toBeGreaterThan(100);
    expectClose(lumbosacral!.moment.total[f], whole - pelvis, 1e-9, 'N·m, extensor');
  });

  test('a bar on the shoulders leaves shoulders and elbows unknown, with the reason', () => {
    const racked = makeRecording({ load: { totalKg: 60, bar: { position: 'front rack' } } });
    const loads = jointLoads(bodyMotion(makeTrajectories(FRAMES, RATE, unevenLifter), racked), [], NO_TURN);
    expect(loads.arms).toHaveLength(4);
    for (const { cut, moment, reason } of loads.arms) {
      expect(cut).toBeNull();
      expect(moment.total.every(Number.isNaN)).toBe(true);
      expect(reason).toContain('rests on shoulders');
    }
  });

  test('a bar in still, level hands: each shoulder holds its half, by the lever rule', () => {
    const still = jointLoads(
      bodyMotion(
        makeTrajectories(5, RATE, () => lifterPoints({ shankLean: 0, thighLean: 0, trunkLean: 0 })),
        HELD,
      ),
      [],
      NO_TURN,
    );
    const { motion, arms } = still;
    const g = 9.80665;
    for (const side of ['left', 'right'] as const) {
      const shoulder = motion.joints[`${side}_shoulder`]!;
      const x = (name: string) => motion.segments.find((each) => each.name === `${side}_${name}`)!;
      const own = ['upper_arm', 'forearm', 'hand'].reduce(
        (sum, name) => sum + x(name).massKg * g * (x(name).centre[6] - shoulder[6]),
        0,
      );
      const bar = 30 * g * (x('hand').centre[6] - shoulder[6]);
      const found = arms.find((arm) => arm.joint === 'shoulder' && arm.side === side)!;
      // A weight in front of the shoulder needs flexors, which is negative.
      expectClose(found.moment.total[2], -(own + bar), 1e-9, `${side} shoulder, N·m`);
    }
  });
});
