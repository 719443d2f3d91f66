import { describe, expect, test } from '@jest/globals';
import fc from 'fast-check';
import { Matrix, solve } from 'ml-matrix';
import type { BodyMotion } from '../../src/body/body-motion.ts';
import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import type { ForcePlateTrack, LegSharingName } from '../../src/capture/recording.ts';
import { cutsFromBelow, legDemands, momentsFromBelow } from '../../src/mechanics/cut-moments.ts';
import { LOADED_JOINTS } from '../../src/mechanics/joint-loads.ts';
import { jointLoads } from '../../src/mechanics/joint-loads-from-motion.ts';
import {
  FRICTION,
  HALF_BREADTH_SHARE,
  HIP_CENTRES_APART_M,
  type SharingAssumptions,
  USUAL_ASSUMPTIONS,
} from '../../src/mechanics/leg-sharing/assumptions.ts';
import type { Feet } from '../../src/mechanics/leg-sharing/feet.ts';
import { footLines } from '../../src/mechanics/leg-sharing/feet.ts';
import { legJoints } from '../../src/mechanics/leg-sharing/leg-joints.ts';
import { abductorOf, extensorOf, legMoments } from '../../src/mechanics/leg-sharing/leg-moments.ts';
import { type LegSharing, legSharing } from '../../src/mechanics/leg-sharing/leg-sharing.ts';
import { pressedPlaces, SharingStatus } from '../../src/mechanics/leg-sharing/pressed-places.ts';
import { proportionalGround } from '../../src/mechanics/leg-sharing/proportional.ts';
import { towardsSumOfLegs } from '../../src/mechanics/leg-sharing/sum-of-legs.ts';
import { addWrenchInto, copyWrench, type Wrench } from '../../src/mechanics/wrench.ts';
import { lifterPoints, makeRecording, makeTrajectories, type Point, type Posture } from '../body/made-lifter.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { NO_TURN } from './made-motion.ts';

const RATE = 25;
const FRAMES = 101;
const RECORDING = makeRecording({ load: { totalKg: 60, bar: { position: 'high back' } } });
const CHOICES = ['proportional', 'least effort'] as const satisfies readonly LegSharingName[];
const SIDES = ['left', 'right'] as const;
const INNER = Array.from({ length: FRAMES - 2 }, (_, k) => k + 1);

type Points = Readonly<Record<string, Point>>;
/** A slow descent that stays in balance over the feet. */
function posture(frame: number): Posture {
  const depth = (1 - Math.cos((Math.PI * frame) / (FRAMES - 1))) / 2;
  return { shankLean: 0.05 + 0.5 * depth, thighLean: 0.05 + 1.3 * depth, trunkLean: 0.05 + 0.75 * depth };
}
/** A squat whose sides differ, that sways, and whose feet are turned out unevenly: nothing is symmetric. */
function uneven(frame: number): Points {
  const t = frame / RATE;
  const points: Record<string, Point> = {};
  for (const [name, [x, y, z]] of Object.entries(lifterPoints(posture(frame)))) {
    const left = name.startsWith('left');
    const foot = /heel|toe/.test(name);
    const sway = foot ? 0 : 0.015 * y * Math.sin(3 * t) + 0.03 * y;
    points[name] = [x + (left ? 0.02 : 0), y + (left ? 0.003 : 0), z + sway + (foot && left ? -0.3 * (x + 0.05) : 0)];
  }
  return points;
}
const even = (frame: number): Points => lifterPoints(posture(frame));
const mirror = (points: Points): Points =>
  Object.fromEntries(
    Object.entries(points).map(([name, [x, y, z]]) => [
      name.replace(/left|right/, (side) => (side === 'left' ? 'right' : 'left')),
      [x, y, -z],
    ]),
  );
const motionOf = (at: (frame: number) => Points): BodyMotion =>
  bodyMotion(makeTrajectories(FRAMES, RATE, at), RECORDING);
const loadsOf = (at: (frame: number) => Points) => jointLoads(motionOf(at), [], NO_TURN);

const unevenLoads = loadsOf(uneven);
const demands = legDemands(unevenLoads.motion);
function totalOf(loads: typeof unevenLoads): Wrench {
  const total = copyWrench(loads.cuts.above!.ankle.total);
  const own = legDemands(loads.motion);
  for (const side of SIDES) addWrenchInto(total, own.get(`${side}_foot`)!.total);
  return total;
}
const assume = (change: Partial<SharingAssumptions>): SharingAssumptions => ({ ...USUAL_ASSUMPTIONS, ...change });
const sharedOf = (
  loads: typeof unevenLoads,
  choice: LegSharingName,
  change: Partial<SharingAssumptions> = {},
): LegSharing => legSharing(loads, choice, assume(change))!;
const ODD: Partial<SharingAssumptions> = {
  outwardLeftM: 0.012,
  outwardRightM: -0.007,
  alongDifference: 0.1,
  squeezeShare: 0.08,
  twistShare: -0.03,
  freeMomentM: 0.004,
};

/** M − P × F at one frame. */
function about({ force, moment }: Wrench, [px, py, pz]: ArrayLike<number> & Iterable<number>, frame: number): Point {
  const [fx, fy, fz] = force.subarray(3 * frame, 3 * frame + 3);
  const [mx, my, mz] = moment.subarray(3 * frame, 3 * frame + 3);
  return [mx - (py * fz - pz * fy), my - (pz * fx - px * fz), mz - (px * fy - py * fx)];
}
const at = (series: Float64Array, frame: number) => series.subarray(3 * frame, 3 * frame + 3);

describe.each(CHOICES)('%s sharing', (choice) => {
  test.each([
    ['as usual', {}],
    ['with odd assumptions', ODD],
  ])('fulfils the six equations, and each foot presses at one place of the floor (%s)', (_, change) => {
    const total = totalOf(unevenLoads);
    const shared = sharedOf(unevenLoads, choice, change);
    for (const frame of INNER) {
      expect(shared.status[frame]).toBe(SharingStatus.shared);
      for (const part of ['force', 'moment'] as const) {
        const sum = [0, 1, 2].map(
          (a) => shared.left.ground[part][3 * frame + a] + shared.right.ground[part][3 * frame + a],
        );
        // Rounding of numbers of up to some 2,000.
        expectAllClose(sum, at(total[part], frame), 1e-9, `${part}, frame ${frame}`);
      }
      for (const side of SIDES) {
        const [mx, , mz] = about(shared[side].ground, at(shared[side].centreOfPressure, frame), frame);
        expectAllClose([mx, mz], [0, 0], 1e-9, `${side}: tipping moment about its own centre of pressure`);
        expect(shared[side].ground.force[3 * frame + 1]).toBeGreaterThan(0);
      }
    }
  });

  test('a symmetric lifter has two equal legs', () => {
    const shared = sharedOf(loadsOf(even), choice);
    for (const frame of INNER) {
      expectClose(shared.shareLeft[frame], 0.5, 1e-9, 'share');
      for (const joint of LOADED_JOINTS) {
        const [x, y, z] = at(shared.left.moments[joint], frame);
        expectAllClose(at(shared.right.moments[joint], frame), [-x, -y, z], 1e-8, `${joint}, frame ${frame}`);
      }
    }
  });

  test('a mirrored lift has mirrored legs', () => {
    const here = sharedOf(unevenLoads, choice);
    const there = sharedOf(
      loadsOf((frame) => mirror(uneven(frame))),
      choice,
    );
    for (const frame of INNER) {
      expectClose(there.shareLeft[frame], 1 - here.shareLeft[frame], 1e-9, 'share');
      for (const joint of LOADED_JOINTS) {
        const [x, y, z] = at(here.left.moments[joint], frame);
        expectAllClose(at(there.right.moments[joint], frame), [-x, -y, z], 1e-8, `${joint}, frame ${frame}`);
      }
    }
    const abductors = (found: LegSharing, side: 'left' | 'right') => abductorOf(found[side].moments, 'hip', side)[50];
    expectClose(abductors(there, 'right'), abductors(here, 'left'), 1e-8, 'hip abductor');
  });

  test('all weight over one foot leaves the other nothing', () => {
    // The whole body moved over the left foot, 2 cm outward of its line; the feet stay.
    const shared = sharedOf(
      loadsOf(() => {
        const points = { ...even(30) } as Record<string, Point>;
        for (const [name, [x, y, z]] of Object.entries(points))
          if (!/heel|toe|ankle/.test(name)) points[name] = [x, y, z - 0.2];
        return points;
      }),
      choice,
    );
    for (const frame of INNER) {
      expect(shared.status[frame]).toBe(SharingStatus.shared);
      expectClose(shared.shareLeft[frame], 1, 0, 'share');
      expectAllClose(at(shared.right.ground.force, frame), [0, 0, 0], 1e-9, 'force on the right');
      expectAllClose(at(shared.right.ground.moment, frame), [0, 0, 0], 1e-9, 'moment on the right');
    }
  });
});

/** Feet of 0.25 m, heels 0.4 m apart, turned out by the angles; one frame. */
function feetOf(outLeft: number, outRight: number): Feet {
  const foot = (z: number, out: number, sign: number) => ({
    heel: Float64Array.of(0, 0, z),
    toe: Float64Array.of(0.25 * Math.cos(out), 0, z + sign * 0.25 * Math.sin(out)),
    lengthM: 0.25,
  });
  return { left: foot(-0.2, outLeft, -1), right: foot(0.2, outRight, 1) };
}

describe('places and vertical share', () => {
  /** Vertical force of 1000 N at a place of the floor at height h, with some shear: M = r × F. */
  const pressing = (x: number, z: number, h = 0, fx = 0, fz = 0): Wrench => ({
    force: Float64Array.of(fx, 1000, fz),
    moment: Float64Array.of(h * fz - z * 1000, z * fx - x * fz, x * 1000 - h * fx),
  });

  test('parallel feet: the lever rule', () => {
    const found = pressedPlaces(pressing(0.1, 0.05, 0.02, 30, -20), feetOf(0, 0), 0.02, 40, USUAL_ASSUMPTIONS);
    // (0.2 − 0.05) / 0.4 by hand.
    expectClose(found.shareLeft[0], 0.375, 1e-12, 'share');
    expectAllClose(found.left, [0.1, 0.02, -0.2], 1e-12, 'left');
    expectAllClose(found.right, [0.1, 0.02, 0.2], 1e-12, 'right');
  });

  test('one foot pressed 10 mm further outward takes the share that the lever rule says', () => {
    const found = pressedPlaces(pressing(0.1, 0), feetOf(0, 0), 0, 40, assume({ outwardLeftM: 0.01 }));
    expectClose(found.shareLeft[0], 0.2 / 0.41, 1e-12, 'share');
    expectClose(found.left[2], -0.21, 1e-12, 'left place');
  });

  test('whatever share and place feet of any stance press with is found again', () => {
    const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
    fc.assert(
      fc.property(
        number(0.02, 0.98),
        number(0.05, 0.95),
        number(-0.1, 0.9),
        number(-0.1, 0.9),
        number(-0.1, 0.1),
        (share, along, outLeft, outRight, difference) => {
          const feet = feetOf(outLeft, outRight);
          const place = (foot: Feet['left'], u: number, axis: number) =>
            foot.heel[axis] + u * (foot.toe[axis] - foot.heel[axis]);
          const [left, right] = [along + difference / 2, along - difference / 2];
          const mean = (axis: number) =>
            share * place(feet.left, left, axis) + (1 - share) * place(feet.right, right, axis);
          const found = pressedPlaces(pressing(mean(0), mean(2)), feet, 0, 40, assume({ alongDifference: difference }));
          expect(found.status[0]).toBe(SharingStatus.shared);
          expectClose(found.shareLeft[0], share, 1e-9, 'share');
          expectAllClose(
            [found.left[0], found.left[2], found.right[0], found.right[2]],
            [0, 2]
              .map((axis) => place(feet.left, left, axis))
              .concat([0, 2].map((axis) => place(feet.right, right, axis))),
            1e-9,
            'places',
          );
        },
      ),
      { seed: 5, numRuns: 300 },
    );
  });

  test.each([
    ['ahead of both feet', pressing(0.3, 0), feetOf(0, 0), SharingStatus.outside],
    ['behind both feet', pressing(-0.05, 0), feetOf(0, 0), SharingStatus.outside],
    [
      'beside the left sole',
      pressing(0.1, -0.2 - 0.25 * HALF_BREADTH_SHARE - 0.02),
      feetOf(0, 0),
      SharingStatus.outside,
    ],
    ['beside the left line, under its sole', pressing(0.1, -0.23), feetOf(0, 0), SharingStatus.shared],
    ['not known', pressing(Number.NaN, 0), feetOf(0, 0), SharingStatus.unknown],
    [
      'without force',
      { force: Float64Array.of(0, 30, 0), moment: new Float64Array(3) },
      feetOf(0, 0),
      SharingStatus.unloaded,
    ],
    ['under feet that stand one behind the other', pressing(0.1, 0), tandem(), SharingStatus.feetUnfit],
  ])('a centre of pressure %s', (_, total, feet, expected) => {
    const found = pressedPlaces(total, feet, 0, 40, USUAL_ASSUMPTIONS);
    expect(found.status[0]).toBe(expected);
    expect(Number.isNaN(found.shareLeft[0])).toBe(expected !== SharingStatus.shared);
  });

  function tandem(): Feet {
    const foot = (x: number, z: number) => ({
      heel: Float64Array.of(x, 0, z),
      toe: Float64Array.of(x + 0.25, 0, z),
      lengthM: 0.25,
    });
    return { left: foot(0, -0.01), right: foot(0.3, 0.01) };
  }

  test('the second toe lies a third of the way from the big to the little one; without that, a tenth of the foot outward', () => {
    const { feet } = footLines(unevenLoads.motion);
    const here = uneven(10);
    const third = here.right_big_toe[2] + (here.right_small_toe[2] - here.right_big_toe[2]) / 3;
    expectClose(feet!.right.toe[3 * 10 + 2], third, 1e-12, 'with the little toe');
    const without = (frame: number) =>
      Object.fromEntries(Object.entries(even(frame)).filter(([name]) => !name.endsWith('small_toe')));
    const straight = footLines(motionOf(without)).feet!;
    const { right_big_toe: toe, right_heel: heel } = even(10);
    expectClose(straight.right.toe[3 * 10 + 2], toe[2] + 0.1 * (toe[0] - heel[0]), 1e-12, 'without');
  });
});

describe('moments of one leg', () => {
  test('about the medio-lateral axis they are those that any force under the foot gives from below', () => {
    for (const choice of CHOICES) {
      const shared = sharedOf(unevenLoads, choice, ODD);
      for (const side of SIDES) {
        const below = momentsFromBelow(unevenLoads.motion, demands, shared[side].ground, side);
        for (const joint of LOADED_JOINTS)
          expectAllClose(
            extensorOf(shared[side].moments, joint).subarray(1, -1),
            below[joint].total.subarray(1, -1),
            1e-9,
            `${choice}, ${side} ${joint}`,
          );
      }
    }
  });

  test('a squeeze of q N pulls at the right hip with q times its height, and not at all seen from the side', () => {
    const plain = sharedOf(unevenLoads, 'proportional');
    const squeezed = sharedOf(unevenLoads, 'proportional', { squeezeShare: 0.1 });
    const frame = 50;
    const s = plain.shareLeft[frame];
    const q = 0.1 * 2 * s * (1 - s) * unevenLoads.groundForce![3 * frame + 1];
    const change = (side: 'left' | 'right', joint: 'hip' | 'knee') =>
      abductorOf(squeezed[side].moments, joint, side)[frame] - abductorOf(plain[side].moments, joint, side)[frame];
    for (const joint of ['hip', 'knee'] as const) {
      for (const side of SIDES) {
        // Force q towards the other foot, at floor height: r × F about the joint, on the right (−y)(−q) = y q.
        const height = unevenLoads.motion.joints[`${side}_${joint}`]![3 * frame + 1];
        expectClose(change(side, joint), height * q, 1e-9, `${side} ${joint}`);
        expectClose(
          extensorOf(squeezed[side].moments, joint)[frame],
          extensorOf(plain[side].moments, joint)[frame],
          1e-9,
          `${side} ${joint} extensor`,
        );
      }
    }
  });

  test('hip points over the trochanters are drawn in to where centres lie', () => {
    const wide = motionOf((frame) => ({
      ...even(frame),
      left_hip: [even(frame).left_hip[0], even(frame).left_hip[1], -0.18],
      right_hip: [even(frame).right_hip[0], even(frame).right_hip[1], 0.18],
    }));
    const { joints, drawnIn } = legJoints(wide);
    expect(drawnIn).toBe(true);
    expectClose(joints.right_hip![2] - joints.left_hip![2], HIP_CENTRES_APART_M, 1e-12, 'apart');
    expect(legJoints(unevenLoads.motion).drawnIn).toBe(false);
  });

  test('mid-joint less sum of the legs is Δx (F_left − F_right) / 2 − Δy (…): what the two legs have apart', () => {
    const shared = sharedOf(unevenLoads, 'proportional', ODD);
    const moved = towardsSumOfLegs(unevenLoads, shared, 1);
    const { joints } = unevenLoads.motion;
    for (const joint of LOADED_JOINTS) {
      for (const frame of [20, 50, 80]) {
        const [left, right] = SIDES.map((side) => ({
          point: at(joints[`${side}_${joint}`]!, frame),
          force: at(shared[side].cuts![joint].total.force, frame),
        }));
        const dx = left.point[0] - right.point[0];
        const dy = left.point[1] - right.point[1];
        const apart = (dx * (left.force[1] - right.force[1]) - dy * (left.force[0] - right.force[0])) / 2;
        const sign = joint === 'knee' ? -1 : 1;
        const found = unevenLoads.fromAbove![joint].total[frame] - moved.fromAbove![joint].total[frame];
        expectClose(found, sign * apart, 1e-9, `${joint}, frame ${frame}`);
        expect(Math.abs(apart)).toBeGreaterThan(0.05);
      }
    }
    expect(towardsSumOfLegs(unevenLoads, shared, 0)).toBe(unevenLoads);
  });
});

describe('least effort', () => {
  const effort = (shared: LegSharing, frame: number) =>
    SIDES.flatMap((side) => LOADED_JOINTS.flatMap((joint) => [...at(shared[side].moments[joint], frame)])).reduce(
      (sum, moment) => sum + moment * moment,
      0,
    );

  test('is the least-squares solution of moments whose dependence on shear and free moment is found by trying', () => {
    const plain = sharedOf(unevenLoads, 'proportional');
    const least = sharedOf(unevenLoads, 'least effort');
    const { motion } = unevenLoads;
    const { joints } = legJoints(motion);
    const momentsWith = (trial: Point, frame: number) => {
      const row: number[] = [];
      for (const side of SIDES) {
        const ground = copyWrench(plain[side].ground);
        const sign = side === 'left' ? 1 : -1;
        const [x, y, z] = at(plain.left.centreOfPressure, frame);
        const [p, q, t] = trial.map((value) => sign * value);
        const i = 3 * frame;
        ground.force[i] += p;
        ground.force[i + 2] += q;
        ground.moment[i] += y * q;
        ground.moment[i + 1] += z * p - x * q + t;
        ground.moment[i + 2] -= y * p;
        const moments = legMoments(joints, cutsFromBelow(motion, demands, ground, side), side);
        for (const joint of LOADED_JOINTS) row.push(...at(moments[joint], frame));
      }
      return row;
    };
    for (const frame of [15, 50, 85]) {
      const base = momentsWith([0, 0, 0], frame);
      const columns = (
        [
          [1, 0, 0],
          [0, 1, 0],
          [0, 0, 1],
        ] as const
      ).map((trial) => momentsWith(trial, frame).map((value, k) => value - base[k]));
      const found = solve(new Matrix(columns).transpose(), Matrix.columnVector(base.map((value) => -value)), true);
      const i = 3 * frame;
      expectClose(least.left.ground.force[i] - plain.left.ground.force[i], found.get(0, 0), 1e-6, 'forward, N');
      expectClose(
        least.left.ground.force[i + 2] - plain.left.ground.force[i + 2],
        found.get(1, 0),
        1e-6,
        'sideways, N',
      );
      expect(effort(least, frame)).toBeLessThan(effort(plain, frame));
    }
    expect(least.quality.framesAtBounds).toBe(0);
  });

  test('a stance so wide that joints ask for more shear than friction holds ends at its bound', () => {
    const wide = loadsOf((frame) =>
      Object.fromEntries(
        Object.entries(even(frame)).map(([name, [x, y, z]]) => [
          name,
          [x, y, z + (/ankle|heel|toe/.test(name) ? Math.sign(z) * 0.55 : 0)] as Point,
        ]),
      ),
    );
    const shared = sharedOf(wide, 'least effort');
    const most = (frame: number) =>
      Math.max(
        ...SIDES.map(
          (side) => Math.abs(shared[side].ground.force[3 * frame + 2]) / shared[side].ground.force[3 * frame + 1],
        ),
      );
    const known = INNER.filter((frame) => shared.status[frame] === SharingStatus.shared);
    expect(known.length).toBe(INNER.length);
    expect(shared.quality.framesAtBounds).toBeGreaterThan(0);
    for (const frame of known) expect(most(frame)).toBeLessThan(FRICTION / Math.SQRT2 + 1e-6);
    expectClose(Math.max(...known.map(most)), FRICTION / Math.SQRT2, 1e-6, 'largest shear over vertical force');
  });

  test('half of the way between the two sharings is their mean', () => {
    const [plain, least, between] = [
      sharedOf(unevenLoads, 'proportional'),
      sharedOf(unevenLoads, 'least effort'),
      sharedOf(unevenLoads, 'proportional', { towardsOther: 0.5 }),
    ];
    const back = sharedOf(unevenLoads, 'least effort', { towardsOther: 0.5 });
    for (const frame of [15, 50, 85]) {
      for (const joint of LOADED_JOINTS) {
        const mean = [0, 1, 2].map(
          (a) => (plain.left.moments[joint][3 * frame + a] + least.left.moments[joint][3 * frame + a]) / 2,
        );
        expectAllClose(at(between.left.moments[joint], frame), mean, 1e-9, joint);
        expectAllClose(at(back.left.moments[joint], frame), mean, 1e-9, joint);
      }
    }
  });
});

describe('what cannot be shared is unknown, with the reason', () => {
  test('none', () => {
    expect(legSharing(unevenLoads, 'none')).toBeNull();
  });

  test('without a foot', () => {
    const without = (frame: number) =>
      Object.fromEntries(Object.entries(even(frame)).filter(([name]) => name !== 'left_heel'));
    const shared = sharedOf(loadsOf(without), 'proportional');
    expect(shared.reason).toContain('left_heel');
    expect(shared.shareLeft.every(Number.isNaN)).toBe(true);
    expect(shared.left.moments.knee.every(Number.isNaN)).toBe(true);
    expect(shared.quality.framesShared).toBe(0);
  });

  test.each([
    ['more', 1, SharingStatus.slips],
    ['less', -1, SharingStatus.shared],
  ])('%s shear than the pyramid of friction holds', (_, way, expected) => {
    const total: Wrench = {
      force: Float64Array.of(0, 1000, (1000 * FRICTION) / Math.SQRT2 + way),
      moment: Float64Array.of(0, 0, 100),
    };
    const places = pressedPlaces(total, feetOf(0, 0), 0, 40, USUAL_ASSUMPTIONS);
    const { left } = proportionalGround(total, places, 0);
    expect(places.status[0]).toBe(expected);
    expect(Number.isNaN(left.force[1])).toBe(expected === SharingStatus.slips);
  });
});

test('beside force plates, shared less measured moments are a figure of quality', () => {
  const { motion } = unevenLoads;
  const shared = sharedOf(unevenLoads, 'proportional', { twistShare: 0.02 });
  const plate = (side: 'left' | 'right'): ForcePlateTrack => {
    const { ground, centreOfPressure } = shared[side];
    const free = INNER.map((frame) => about(ground, at(centreOfPressure, frame), frame)[1]);
    const inner = (series: Float64Array) => series.slice(3, -3);
    return {
      file: 'made/force.csv',
      foot: side,
      frameRateHz: RATE,
      samples: INNER.length,
      timeS: Float64Array.from(INNER, (frame) => frame / RATE),
      force: inner(ground.force),
      centreOfPressure: inner(centreOfPressure),
      freeMoment: Float64Array.from(free),
      hasFreeMoment: true,
    };
  };
  const loads = jointLoads(motion, [plate('left'), plate('right')], NO_TURN);
  const same = legSharing(loads, 'proportional', assume({ twistShare: 0.02 }))!.quality.againstMeasured!;
  const other = legSharing(loads, 'proportional')!.quality.againstMeasured!;
  for (const joint of LOADED_JOINTS) {
    // The spline through the samples is exact at them.
    expectClose(same.left![joint].rmsNm, 0, 1e-6, joint);
    expectClose(same.right![joint].rmsNm, 0, 1e-6, joint);
    expect(other.left![joint].rmsNm).toBeGreaterThan(0.1);
    expect(other.left![joint].frames).toBe(INNER.length);
  }
  expect(sharedOf(unevenLoads, 'proportional').quality.againstMeasured).toBeNull();
});
