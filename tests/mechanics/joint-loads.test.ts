import { describe, expect, test } from '@jest/globals';
import type { BodyMotion, SegmentMotion } from '../../src/body/body-motion.ts';
import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import { legDemands, momentsFromAbove } from '../../src/mechanics/cut-moments.ts';
import { LOADED_JOINTS } from '../../src/mechanics/joint-loads.ts';
import { jointLoads } from '../../src/mechanics/joint-loads-from-motion.ts';
import { GRAVITY_M_PER_S2 } from '../../src/numerics/constants.ts';
import {
  lifterPoints,
  makeRecording,
  makeTrajectories,
  type Point,
  type Posture,
  squatPosture,
} from '../body/made-lifter.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { NO_TURN } from './made-motion.ts';

const RATE = 100;
const FRAMES = 201;
const RACKED = makeRecording({ load: { totalKg: 100, bar: { position: 'front rack' } } });

type Points = Readonly<Record<string, Point>>;
/** A squat in which the two sides also differ a little and sway sideways: nothing is symmetric. */
function unevenSquat(frame: number): Points {
  const t = frame / RATE;
  const points: Record<string, Point> = {};
  for (const [name, [x, y, z]] of Object.entries(lifterPoints(squatPosture(t)))) {
    const uneven = name.startsWith('left') ? 1 : -1;
    points[name] = [x + 0.01 * uneven * Math.sin(2 * t) * y, y + 0.003 * uneven, z + 0.02 * y * Math.sin(3 * t)];
  }
  points.bar_left_end = [0.25 + 0.02 * Math.sin(3 * t), 1.4 - 0.2 * Math.sin(1.5 * t) ** 2, -1.08];
  points.bar_right_end = [0.27 + 0.03 * Math.sin(3 * t), 1.42 - 0.2 * Math.sin(1.5 * t) ** 2, 1.1];
  return points;
}

const still = (posture: Posture, recording = RACKED) =>
  jointLoads(
    bodyMotion(
      makeTrajectories(5, RATE, () => lifterPoints(posture)),
      recording,
    ),
    [],
    NO_TURN,
  );
const moving = (at: (frame: number) => Points, recording = RACKED) =>
  bodyMotion(makeTrajectories(FRAMES, RATE, at), recording);
const bodies = (motion: BodyMotion) => (motion.barbell ? [...motion.segments, motion.barbell] : [...motion.segments]);
const isUpper = (each: SegmentMotion) => !/_(thigh|shank|foot)$/.test(each.name);
const weightN = (each: { massKg: number }) => each.massKg * GRAVITY_M_PER_S2;

describe('a lifter who stands still', () => {
  const loads = still({ shankLean: 0.3, thighLean: 0.9, trunkLean: 0.6 });
  const systemN = 180 * GRAVITY_M_PER_S2;

  test('ground force = weight of lifter and bar, centre of pressure under the centre of mass', () => {
    expectAllClose(loads.groundForce!.subarray(6, 9), [0, systemN, 0], 1e-9, 'ground force, N');
    expectClose(loads.centreOfPressure![6], loads.centreOfMass![6], 1e-12, 'x, m');
    expectClose(loads.centreOfPressure![7], 0, 0, 'on the floor');
    expectClose(loads.centreOfPressure![8], loads.centreOfMass![8], 1e-12, 'z, m');
    expectClose(loads.quality.meanVerticalShare!, 1, 1e-12, 'share of the weight');
  });

  test('the centre of mass with the bar lies between body and bar, as their masses', () => {
    const bar = loads.motion.barbell!.centre[0];
    expectClose(loads.centreOfMass![0], (80 * loads.bodyCentreOfMass![0] + 100 * bar) / 180, 1e-12, 'x, m');
  });

  test('nothing is inertial', () => {
    for (const joint of LOADED_JOINTS) {
      expectClose(loads.fromAbove![joint].inertial[2], 0, 1e-9, joint);
      expectClose(loads.fromAbove![joint].gravity[0], loads.fromAbove![joint].total[2], 1e-9, `${joint}, every frame`);
      expect(loads.fromAbove![joint].total[0]).toBeNaN();
    }
  });
});

describe('signs, two links by hand', () => {
  // Bar and upper body in front of the hip: 60 kg at 0.20 m, and 100 kg at 0.25 m; behind the knee and before the ankle.
  const point = (x: number, y: number) => Float64Array.of(x, y, 0, x, y, 0, x, y, 0);
  const mass = (name: SegmentMotion['name'], massKg: number, x: number, y: number): SegmentMotion => ({
    name,
    massKg,
    centre: point(x, y),
    axis: new Float64Array(9),
    transverseInertiaKgM2: 0,
    lengthM: 1,
    lengthVariation: 0,
    placedBy: null,
  });
  const lifter: BodyMotion = {
    ...moving(unevenSquat),
    frames: 3,
    bodyMassKg: 80,
    segments: [mass('trunk', 60, 0, 1.0), mass('left_thigh', 10, 0, 0.6), mass('right_thigh', 10, 0, 0.6)],
    barbell: mass('barbell', 100, 0.05, 1.2),
    joints: { mid_hip: point(-0.2, 0.6), mid_knee: point(0.2, 0.55), mid_ankle: point(-0.05, 0.1) },
  };
  const moments = jointLoads(lifter, [], NO_TURN).fromAbove!;
  const g = 9.80665;

  test('a lifter leaning ahead of the hips needs hip extension: 60 g · 0.20 + 100 g · 0.25', () => {
    expectClose(moments.hip.total[1], 37 * g, 1e-9, 'hip, N·m');
  });

  test('weight behind the knees needs knee extension: 60 g · 0.20 + 100 g · 0.15 + 20 g · 0.20', () => {
    expectClose(moments.knee.total[1], 31 * g, 1e-9, 'knee, N·m');
  });

  test('weight before the ankles needs plantarflexion: 60 g · 0.05 + 100 g · 0.10 + 20 g · 0.05', () => {
    expectClose(moments.ankle.total[1], 14 * g, 1e-9, 'ankle, N·m');
  });
});

describe('the sum rule', () => {
  // Hip and knee moment act on the two ends of the thigh: their sum is what the thigh's length and weight make of it,
  // M_hip + M_knee = W_above (x_knee − x_hip) + W_thighs (x_knee − x_thighs), however the lifter above leans.
  test('what the knee loses the hip gains: at one thigh, any trunk and shank gives the closed form', () => {
    const knees: number[] = [];
    for (const trunkLean of [0.2, 0.5, 0.8]) {
      for (const shankLean of [0.1, 0.4, 0.6]) {
        const { motion, fromAbove } = still({ shankLean, thighLean: 1.2, trunkLean });
        const [xHip, xKnee] = [motion.joints.mid_hip![6], motion.joints.mid_knee![6]];
        const above = bodies(motion)
          .filter(isUpper)
          .reduce((sum, each) => sum + weightN(each), 0);
        const thighs = motion.segments.filter((each) => each.name.endsWith('thigh'));
        const rule = thighs.reduce(
          (sum, each) => sum + weightN(each) * (xKnee - each.centre[6]),
          above * (xKnee - xHip),
        );
        const { hip, knee } = fromAbove!;
        expectClose(hip.total[2] + knee.total[2], rule, 1e-9, `trunk ${trunkLean}, shank ${shankLean}`);
        knees.push(knee.total[2]);
      }
    }
    expect(Math.max(...knees) - Math.min(...knees)).toBeGreaterThan(100);
  });

  test('massless legs: the sum is the weight above times the horizontal length of the thigh, 0.42 sin 1.2', () => {
    const motion = bodyMotion(
      makeTrajectories(5, RATE, () => lifterPoints({ shankLean: 0.4, thighLean: 1.2, trunkLean: 0.5 })),
      RACKED,
    );
    const light = {
      ...motion,
      segments: motion.segments.map((each) =>
        isUpper(each) ? each : { ...each, massKg: 0, transverseInertiaKgM2: 0 },
      ),
    };
    const { hip, knee } = jointLoads(light, [], NO_TURN).fromAbove!;
    const above = bodies(light).reduce((sum, each) => sum + weightN(each), 0);
    expectClose(hip.total[2] + knee.total[2], above * 0.42 * Math.sin(1.2), 1e-9, 'sum, N·m');
  });
});

describe('a mirrored lift', () => {
  test('left and right exchanged, z negated: equal moments', () => {
    const mirrored = (frame: number): Points => {
      const points: Record<string, Point> = {};
      for (const [name, [x, y, z]] of Object.entries(unevenSquat(frame))) {
        const other = name.includes('left') ? name.replace('left', 'right') : name.replace('right', 'left');
        points[other] = [x, y, -z];
      }
      return points;
    };
    const one = jointLoads(moving(unevenSquat), [], NO_TURN);
    const other = jointLoads(moving(mirrored), [], NO_TURN);
    for (const joint of LOADED_JOINTS) {
      for (let f = 1; f < FRAMES - 1; f++)
        expectClose(other.fromAbove![joint].total[f], one.fromAbove![joint].total[f], 1e-9, `${joint}, frame ${f}`);
    }
    for (let f = 1; f < FRAMES - 1; f++) {
      expectClose(other.centreOfPressure![3 * f + 2], -one.centreOfPressure![3 * f + 2], 1e-9, `sideways, frame ${f}`);
      expectClose(other.groundForce![3 * f + 2], -one.groundForce![3 * f + 2], 1e-9, `sideways force, frame ${f}`);
    }
    expect(Math.abs(one.centreOfPressure![3 * 100 + 2])).toBeGreaterThan(1e-3);
  });
});

describe('bar carried by hands or by shoulders', () => {
  /** Newton–Euler joint by joint: the wrench a part hands on to the next, about the joint between them. */
  interface Handed {
    force: [number, number];
    moment: number;
    at: [number, number];
  }
  function passOn(
    motion: BodyMotion,
    name: string,
    received: readonly Handed[],
    joint: Float64Array,
    frame: number,
  ): Handed {
    const body = bodies(motion).find((each) => each.name === name)!;
    const dt = 1 / motion.frameRateHz;
    const second = (x: Float64Array, k: number) =>
      (x[3 * (frame + 1) + k] - 2 * x[3 * frame + k] + x[3 * (frame - 1) + k]) / dt ** 2;
    const at: [number, number] = [joint[3 * frame], joint[3 * frame + 1]];
    const [cx, cy] = [body.centre[3 * frame], body.centre[3 * frame + 1]];
    const force: [number, number] = [
      body.massKg * second(body.centre, 0),
      body.massKg * (second(body.centre, 1) + GRAVITY_M_PER_S2),
    ];
    let moment = (cx - at[0]) * force[1] - (cy - at[1]) * force[0];
    if (body.transverseInertiaKgM2 > 0)
      moment +=
        body.transverseInertiaKgM2 *
        (body.axis[3 * frame] * second(body.axis, 1) - body.axis[3 * frame + 1] * second(body.axis, 0));
    for (const each of received) {
      moment += each.moment + (each.at[0] - at[0]) * each.force[1] - (each.at[1] - at[1]) * each.force[0];
      force[0] += each.force[0];
      force[1] += each.force[1];
    }
    return { force, moment, at };
  }
  const landmark = (motion: BodyMotion, name: string) => {
    const { landmarks, position } = motion.trajectories;
    const l = landmarks.indexOf(name as never);
    return Float64Array.from(
      { length: 3 * motion.frames },
      (_, i) => position[3 * (Math.floor(i / 3) * landmarks.length + l) + (i % 3)],
    );
  };

  test('joint by joint through the arms, or straight on to the trunk: the hip moment is the same, and ours', () => {
    const motion = moving(unevenSquat);
    const ours = jointLoads(motion, [], NO_TURN).fromAbove!.hip.total;
    const { mid_hip: hip, mid_shoulder: midShoulder } = motion.joints;
    const joint = Object.fromEntries(
      ['left', 'right'].flatMap((side) =>
        ['wrist', 'elbow', 'shoulder'].map((name) => [`${side}_${name}`, landmark(motion, `${side}_${name}`)]),
      ),
    );
    const arm = (side: string, frame: number, bar: readonly Handed[]) => {
      const hand = passOn(motion, `${side}_hand`, bar, joint[`${side}_wrist`], frame);
      const forearm = passOn(motion, `${side}_forearm`, [hand], joint[`${side}_elbow`], frame);
      return passOn(motion, `${side}_upper_arm`, [forearm], joint[`${side}_shoulder`], frame);
    };
    for (const frame of [1, 40, 100, 150, 199]) {
      const bar = passOn(motion, 'barbell', [], motion.barbell!.centre, frame);
      const half: Handed = { at: bar.at, moment: bar.moment / 2, force: [bar.force[0] / 2, bar.force[1] / 2] };
      const head = passOn(motion, 'head', [], midShoulder!, frame);
      const byHands = passOn(
        motion,
        'trunk',
        [head, arm('left', frame, [half]), arm('right', frame, [half])],
        hip!,
        frame,
      );
      const byShoulders = passOn(
        motion,
        'trunk',
        [head, bar, arm('left', frame, []), arm('right', frame, [])],
        hip!,
        frame,
      );
      expectClose(byHands.moment, byShoulders.moment, 1e-9, `hands against shoulders, frame ${frame}`);
      expectClose(ours[frame], byHands.moment, 1e-9, `ours, frame ${frame}`);
    }
  });

  test('a bar held in the hands and a tracked bar at the same place give equal moments', () => {
    const held = (frame: number) => lifterPoints(squatPosture(frame / RATE));
    const tracked = (frame: number): Points => {
      const points = held(frame);
      const [x, y] = points.left_hand;
      return { ...points, bar_left_end: [x, y, -1.1], bar_right_end: [x, y, 1.1] };
    };
    const load = (position: 'hands' | 'front rack') => makeRecording({ load: { totalKg: 100, bar: { position } } });
    const one = jointLoads(moving(held, load('hands')), [], NO_TURN).fromAbove!;
    const other = jointLoads(moving(tracked, load('front rack')), [], NO_TURN).fromAbove!;
    for (const joint of LOADED_JOINTS)
      for (let f = 1; f < FRAMES - 1; f++)
        expectClose(other[joint].total[f], one[joint].total[f], 1e-9, `${joint}, frame ${f}`);
  });
});

describe('what is missing', () => {
  test('no shoulders and no force plates: nothing, and the reason', () => {
    const points = (frame: number) =>
      Object.fromEntries(Object.entries(unevenSquat(frame)).filter(([name]) => !name.includes('shoulder')));
    const loads = jointLoads(moving(points), [], NO_TURN);
    expect(loads.primary).toBe('none');
    expect(loads.fromAbove).toBeNull();
    expect(loads.groundForce).toBeNull();
    expect(loads.centreOfMass).toBeNull();
    expect(loads.quality.notes.join('\n')).toMatch(/hips or shoulders are missing/);
  });

  test('one knee missing: the hip moment is known, those below are not', () => {
    const points = (frame: number) =>
      Object.fromEntries(Object.entries(unevenSquat(frame)).filter(([name]) => name !== 'left_knee'));
    const { fromAbove } = jointLoads(moving(points), [], NO_TURN);
    expect(fromAbove!.hip.total[100]).toBeGreaterThan(0);
    expect(fromAbove!.knee.total[100]).toBeNaN();
    expect(fromAbove!.ankle.total[100]).toBeNaN();
  });

  test('every body has a demand', () => {
    const motion = moving(unevenSquat);
    const massKg = bodies(motion).reduce((sum, each) => sum + each.massKg, 0);
    const { gravity } = momentsFromAbove(motion).ground;
    expectClose(gravity.force[3 * 100 + 1], massKg * GRAVITY_M_PER_S2, 1e-9, 'weight of all bodies, N'); // rounding
    const legs = motion.segments.map(({ name }) => name).filter((name) => /thigh|shank|foot/.test(name));
    expect([...legDemands(motion).keys()]).toEqual(legs);
  });
});
