import { describe, expect, test } from '@jest/globals';
import { bodyMotion } from '../../../src/body/body-motion-from-trajectories.ts';
import { type AngleKey, jointAngles, SIDED_ANGLES, WHOLE_ANGLES } from '../../../src/body/joint-angles/joint-angles.ts';
import { shoulderAngles } from '../../../src/body/joint-angles/shoulder-angles.ts';
import { threeAngles } from '../../../src/body/joint-angles/three-angles.ts';
import { unwrapInPlace } from '../../../src/body/joint-angles/unwrap.ts';
import type { Landmark } from '../../../src/capture/landmarks.ts';
import { kneeFlexion } from '../../../src/lift/angles.ts';
import { rotationFromVector } from '../../../src/numerics/rotation.ts';
import { expectAllClose, expectClose } from '../../expect-close.ts';
import { reference } from '../../reference.ts';
import { lifterPoints, makeRecording, makeTrajectories, type Point, squatPosture } from '../made-lifter.ts';
import { type BodyPose, mirrored, posedBody, SOME_POSE } from '../posed-body.ts';

const DEGREES = 180 / Math.PI;

const anglesOf = (points: Readonly<Record<string, Point>>, frames = 1) =>
  jointAngles(
    bodyMotion(
      makeTrajectories(frames, 60, () => points),
      makeRecording(),
    ),
  );
const value = (points: Readonly<Record<string, Point>>, key: AngleKey) => anglesOf(points)[key].radians[0];
const without = (points: Readonly<Record<string, Point>>, pattern: RegExp) =>
  Object.fromEntries(Object.entries(points).filter(([name]) => !pattern.test(name)));

interface ScipyCase {
  case: string;
  kind: 'joint' | 'shoulder';
  angles: Point;
  proximal: number[];
  distal: number[];
}
const scipy = reference<ScipyCase>('body-scipy-joint-angles');

describe('against SciPy', () => {
  const column = (m: readonly number[], j: number) => Float64Array.of(m[j], m[3 + j], m[6 + j]);

  test.each(scipy.cases.filter(({ kind }) => kind === 'joint'))('$case', ({ angles, proximal, distal }) => {
    const [p, d] = [Float64Array.from(proximal), Float64Array.from(distal)];
    const found = threeAngles(p, column(proximal, 2), d, column(distal, 1));
    expectAllClose([found.aboutE1[0], found.aboutE2[0], found.aboutE3[0]], angles, scipy.tolerance, 'angles, rad');
  });

  test.each(scipy.cases.filter(({ kind }) => kind === 'shoulder'))('$case', ({ angles, proximal, distal }) => {
    const found = shoulderAngles(Float64Array.from(proximal), Float64Array.from(distal), column(distal, 1), 1);
    const [plane, negative, rotation] = angles;
    expectClose(found.plane[0], plane, scipy.tolerance, 'plane, rad');
    expectClose(found.elevation[0], -negative, scipy.tolerance, 'elevation, rad');
    expectClose(found.rotation[0], rotation, scipy.tolerance, 'rotation, rad');
  });
});

describe('a body put together from known angles', () => {
  // Grood and Suntay (1983): the angles are those the body was built with, to rounding of 1e-16 m over the shortest line (0.07 m).
  const expected = (pose: BodyPose): Record<string, number> => {
    const out: Record<string, number> = {
      pelvis_tilt: pose.pelvis[0],
      pelvis_obliquity: pose.pelvis[1],
      pelvis_rotation: pose.pelvis[2],
      spine_flexion: pose.spine[0],
      spine_side_bend: pose.spine[1],
      spine_rotation: pose.spine[2],
    };
    for (const side of ['left', 'right'] as const) {
      const { hip, knee, ankle, shoulder, elbow } = pose[side];
      const put = (names: readonly string[], values: Point) => {
        names.forEach((name, i) => {
          out[`${name}/${side}`] = values[i];
        });
      };
      put(['hip_flexion', 'hip_adduction', 'hip_rotation'], hip);
      put(['', 'knee_adduction', 'knee_rotation'], knee);
      put(['ankle_dorsiflexion', 'ankle_inversion', 'ankle_rotation'], ankle);
      put(['shoulder_plane', 'shoulder_elevation', 'shoulder_rotation'], shoulder);
      out[`elbow_flexion/${side}`] = elbow;
      delete out[`/${side}`];
    }
    return out;
  };
  const angles = anglesOf(posedBody(SOME_POSE));

  test.each(Object.entries(expected(SOME_POSE)))('%s comes back', (key, angle) => {
    expectClose(angles[key as AngleKey].radians[0], angle, 1e-12, `${key}, rad`);
  });

  test('every angle has a value with all markers, and its name', () => {
    for (const name of SIDED_ANGLES)
      for (const side of ['left', 'right'] as const)
        expect({
          ...angles[`${name}/${side}`],
          known: Number.isFinite(angles[`${name}/${side}`].radians[0]),
        }).toMatchObject({
          name,
          side,
          known: true,
        });
    for (const name of WHOLE_ANGLES) expectClose(Math.abs(angles[name].radians[0]), 0.5, 0.5, name);
  });

  test('the three turns of a joint may be carried out in any order', () => {
    // Each about its own axis of the mechanism, where that axis stands when its turn comes (Grood and Suntay 1983, p. 137).
    const turns = [0.9, -0.4, 0.6];
    const attitudes = [
      [0, 1, 2],
      [0, 2, 1],
      [1, 0, 2],
      [1, 2, 0],
      [2, 0, 1],
      [2, 1, 0],
    ].map((order) => {
      const done = [0, 0, 0];
      let r: Float64Array = Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1);
      for (const k of order) {
        const e2 = [Math.cos(done[0]), Math.sin(done[0]), 0];
        const e3 = [-Math.sin(done[0]) * Math.cos(done[1]), Math.cos(done[0]) * Math.cos(done[1]), Math.sin(done[1])];
        const axis = [[0, 0, 1], e2, e3][k].map((x) => x * turns[k]);
        r = multiply(rotationFromVector(axis), r);
        done[k] = turns[k];
      }
      return r;
    });
    for (const r of attitudes) {
      expectAllClose(r, attitudes[0], 1e-15, 'attitude');
      const found = threeAngles(
        Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1),
        Float64Array.of(0, 0, 1),
        r,
        Float64Array.of(r[1], r[4], r[7]),
      );
      expectAllClose([found.aboutE1[0], found.aboutE2[0], found.aboutE3[0]], turns, 1e-12, 'turns, rad');
    }
  });
});

describe('signs, each by a movement everybody knows', () => {
  const straight: Point = [0, 0, 0];
  const still = { hip: straight, knee: straight, ankle: straight, shoulder: [0, 0.5, 0] as Point, elbow: 0.5 };
  const pose = (changes: Partial<BodyPose> = {}): BodyPose => ({
    pelvis: straight,
    spine: straight,
    left: still,
    right: still,
    ...changes,
  });
  const standing = posedBody(pose());

  test('standing straight: the arms lie out to the side, the thighs straight down', () => {
    for (const key of [
      'hip_flexion/left',
      'hip_adduction/right',
      'spine_flexion',
      'trunk_thigh_flexion/right',
    ] as const)
      expectClose(value(standing, key), 0, 1e-12, key);
    expectClose(value(standing, 'shoulder_plane/left'), 0, 1e-12, 'plane');
  });

  test('knee raised forward: hip flexion; knee brought inward: adduction, on both sides', () => {
    const raised: SideChange = ([x, y, z]) => [x + 0.2, y + 0.06, z];
    expect(value(moved(standing, 'left_knee', raised), 'hip_flexion/left')).toBeGreaterThan(0.3);
    expect(
      value(
        moved(standing, 'left_knee', ([x, y, z]) => [x, y, z + 0.1]),
        'hip_adduction/left',
      ),
    ).toBeGreaterThan(0.2);
    expect(
      value(
        moved(standing, 'right_knee', ([x, y, z]) => [x, y, z - 0.1]),
        'hip_adduction/right',
      ),
    ).toBeGreaterThan(0.2);
  });

  test('outer side of the knee brought forward: the thigh turns inward, on both sides', () => {
    for (const side of ['left', 'right'] as const) {
      const turned = moved(standing, `${side}_knee_lateral`, ([x, y, z]) => [x + 0.03, y, z]);
      expect(value(turned, `hip_rotation/${side}`)).toBeGreaterThan(0.2);
    }
  });

  test('toes up: dorsiflexion; toes toward the middle: inward; inner edge of the foot up: inversion', () => {
    const toes = (change: SideChange) => moved(moved(standing, 'right_big_toe', change), 'right_small_toe', change);
    expect(
      value(
        toes(([x, y, z]) => [x, y + 0.05, z]),
        'ankle_dorsiflexion/right',
      ),
    ).toBeGreaterThan(0.1);
    expect(
      value(
        toes(([x, y, z]) => [x, y, z - 0.05]),
        'ankle_rotation/right',
      ),
    ).toBeGreaterThan(0.1);
    expect(
      value(
        moved(standing, 'left_big_toe', ([x, y, z]) => [x, y + 0.03, z]),
        'ankle_inversion/left',
      ),
    ).toBeGreaterThan(0.1);
  });

  test('trunk bent forward, to the right; turned to the left', () => {
    const shoulders = (change: SideChange) => moved(moved(standing, 'left_shoulder', change), 'right_shoulder', change);
    const forward = shoulders(([x, y, z]) => [x + 0.2, y, z]);
    expect(value(forward, 'spine_flexion')).toBeGreaterThan(0.3);
    expect(value(forward, 'trunk_thigh_flexion/left')).toBeGreaterThan(0.3);
    expect(
      value(
        shoulders(([x, y, z]) => [x, y, z + 0.1]),
        'trunk_side_lean',
      ),
    ).toBeGreaterThan(0.1);
    // Turned to the left: the right shoulder comes forward.
    expect(
      value(
        moved(standing, 'right_shoulder', ([x, y, z]) => [x + 0.1, y, z]),
        'trunk_rotation',
      ),
    ).toBeGreaterThan(0.1);
    expect(
      value(
        moved(standing, 'right_hip', ([x, y, z]) => [x, y - 0.02, z]),
        'pelvis_obliquity',
      ),
    ).toBe(value(standing, 'pelvis_obliquity'));
  });

  test('without pelvis markers the right hip lower is a positive obliquity, ahead a turn to the left', () => {
    const bare = without(standing, /[ap]sis/);
    expect(
      value(
        moved(bare, 'right_hip', ([x, y, z]) => [x, y - 0.02, z]),
        'pelvis_obliquity',
      ),
    ).toBeGreaterThan(0.1);
    expect(
      value(
        moved(bare, 'right_hip', ([x, y, z]) => [x + 0.02, y, z]),
        'pelvis_rotation',
      ),
    ).toBeGreaterThan(0.1);
  });

  test('arm straight ahead: plane 90°, elevation 90°', () => {
    const [x, y, z] = standing.right_shoulder;
    const ahead = { ...standing, right_elbow: [x + 0.28, y, z] as Point };
    expectClose(DEGREES * value(ahead, 'shoulder_plane/right'), 90, 1e-9, 'plane, °');
    expectClose(DEGREES * value(ahead, 'shoulder_elevation/right'), 90, 1e-9, 'elevation, °');
  });
});

describe('what the landmarks do not determine is unknown, and says why', () => {
  const points = posedBody(SOME_POSE);
  const bare = without(points, /medial|lateral|asis|psis/);
  const angles = anglesOf(bare);

  test('hip centres alone do not show the tilt of the pelvis, but hip adduction and rotation need no tilt', () => {
    for (const key of ['hip_flexion/left', 'pelvis_tilt', 'spine_flexion'] as const) {
      expect(angles[key].radians[0]).toBeNaN();
      expect(angles[key].unknownBecause).toMatch(/left_asis/);
    }
    // The markers and the hips of this body lie on parallel lines.
    expectClose(angles['hip_adduction/right'].radians[0], SOME_POSE.right.hip[1], 1e-12, 'adduction, rad');
    expectClose(angles.pelvis_obliquity.radians[0], SOME_POSE.pelvis[1], 1e-12, 'obliquity, rad');
  });

  test('a knee taken as a hinge has no adduction and rotation of its own: unknown, not 0', () => {
    for (const key of ['knee_adduction/right', 'knee_rotation/right'] as const) {
      expect(angles[key].radians[0]).toBeNaN();
      expect(angles[key].unknownBecause).toMatch(/hinge.*right_(knee|ankle)_medial/);
    }
    // With the ankle marked, its turn is known, the adduction is not.
    const ankle = anglesOf({ ...bare, ...withOnly(points, /ankle_(medial|lateral)/) });
    expect(ankle['knee_rotation/right'].radians[0]).not.toBeNaN();
    expect(ankle['knee_adduction/right'].radians[0]).toBeNaN();
  });

  test('a hinge knee without adduction and rotation gives the angles that markers give', () => {
    const hinge = (side: BodyPose['left']) => ({ ...side, knee: [side.knee[0], 0, 0] as Point });
    const pure = posedBody({ ...SOME_POSE, left: hinge(SOME_POSE.left), right: hinge(SOME_POSE.right) });
    const withMarkers = anglesOf(pure);
    const withoutMarkers = anglesOf(without(pure, /medial|lateral/));
    for (const key of [
      'hip_rotation/left',
      'ankle_dorsiflexion/right',
      'ankle_inversion/left',
      'ankle_rotation/right',
      'shoulder_rotation/left',
    ] as const)
      expectClose(withoutMarkers[key].radians[0], withMarkers[key].radians[0], 1e-12, `${key}, rad`);
  });

  test('below 30° of bend the turn of thigh and shank is unknown, above it is known', () => {
    const bent = (degrees: number) => {
      const leg = (side: BodyPose['left']) => ({ ...side, knee: [degrees / DEGREES, 0, 0] as Point });
      return anglesOf(
        without(posedBody({ ...SOME_POSE, left: leg(SOME_POSE.left), right: leg(SOME_POSE.right) }), /medial|lateral/),
      );
    };
    expect(bent(29.9)['hip_rotation/left'].radians[0]).toBeNaN();
    expect(bent(29.9)['hip_rotation/left'].unknownBecause).toMatch(/30°/);
    expect(bent(29.9)['hip_adduction/left'].radians[0]).not.toBeNaN();
    expectClose(bent(30.1)['hip_rotation/left'].radians[0], SOME_POSE.left.hip[2], 1e-11, 'rotation, rad');
  });

  test('an elbow folded beyond 160° shows no turn of the upper arm, one at 155° (a racked bar) does', () => {
    const folded = (degrees: number) => {
      const points = posedBody({ ...SOME_POSE, right: { ...SOME_POSE.right, elbow: degrees / DEGREES } });
      return anglesOf(without(points, /medial|lateral/))['shoulder_rotation/right'];
    };
    expect(folded(160.1).radians[0]).toBeNaN();
    expect(folded(160.1).unknownBecause).toMatch(/160°/);
    expectClose(folded(155).radians[0], SOME_POSE.right.shoulder[2], 1e-11, 'rotation, rad');
  });

  test('an arm that hangs has an elevation, but no plane and no rotation', () => {
    const hanging = (elevation: number) =>
      anglesOf(posedBody({ ...SOME_POSE, right: { ...SOME_POSE.right, shoulder: [1, elevation, 0.2] } }));
    for (const elevation of [19 / DEGREES, 161 / DEGREES]) {
      const found = hanging(elevation);
      expectClose(found['shoulder_elevation/right'].radians[0], elevation, 1e-12, 'elevation, rad');
      for (const key of ['shoulder_plane/right', 'shoulder_rotation/right'] as const) {
        expect(found[key].radians[0]).toBeNaN();
        expect(found[key].unknownBecause).toMatch(/20°/);
      }
    }
    expectClose(hanging(21 / DEGREES)['shoulder_plane/right'].radians[0], 1, 1e-12, 'plane, rad');
  });

  test('adduction beyond 78° leaves flexion and rotation undefined', () => {
    const at = (adduction: number) =>
      anglesOf(posedBody({ ...SOME_POSE, right: { ...SOME_POSE.right, hip: [0.5, adduction, 0.1] } }));
    expect(at(-1.38)['hip_flexion/right'].radians[0]).toBeNaN();
    expectClose(at(-1.38)['hip_adduction/right'].radians[0], -1.38, 1e-12, 'adduction, rad');
    expectClose(at(-1.35)['hip_flexion/right'].radians[0], 0.5, 1e-12, 'flexion, rad');
  });

  test('no small toe: the roll of the foot is an assumption, inversion unknown, dorsiflexion known', () => {
    const found = anglesOf(without(points, /small_toe/));
    expect(found['ankle_inversion/left'].radians[0]).toBeNaN();
    expect(found['ankle_inversion/left'].unknownBecause).toMatch(/left_small_toe/);
    expect(found['ankle_dorsiflexion/left'].radians[0]).not.toBeNaN();
  });

  test('missing parts name what they need', () => {
    const found = anglesOf(without(points, /heel|elbow|wrist/));
    expect(found['ankle_dorsiflexion/left'].unknownBecause).toMatch(/needs left_heel/);
    expect(found['elbow_flexion/right'].unknownBecause).toMatch(/needs right_wrist, right_elbow/);
    expect(found['elbow_flexion/right'].radians[0]).toBeNaN();
  });
});

describe('a mirrored lift', () => {
  test.each([
    ['with all markers', /never/],
    ['with joints and feet only', /medial|lateral|asis|psis/],
  ])('%s: left and right exchanged, equal values; sideways angles of the whole turned round', (_, left) => {
    const points = without(posedBody(SOME_POSE), left);
    const [found, other] = [anglesOf(points), anglesOf(mirrored(points))];
    const same = (a: number, b: number, what: string) =>
      Number.isNaN(a) ? expect(b).toBeNaN() : expectClose(b, a, 1e-14, what);
    for (const name of SIDED_ANGLES) {
      same(found[`${name}/left`].radians[0], other[`${name}/right`].radians[0], name);
      same(found[`${name}/right`].radians[0], other[`${name}/left`].radians[0], name);
    }
    for (const name of WHOLE_ANGLES) {
      const sign = name === 'pelvis_tilt' || name === 'spine_flexion' ? 1 : -1;
      same(sign * found[name].radians[0], other[name].radians[0], name);
    }
  });
});

describe('agreement with the angles that were there before', () => {
  test('knee and elbow bend of the joint coordinate system are the angle of three points', () => {
    const motion = bodyMotion(
      makeTrajectories(60, 60, (frame) => ({
        ...without(posedBody(SOME_POSE), /medial|lateral/),
        ...lifterPoints(squatPosture(frame / 30)),
      })),
      makeRecording(),
    );
    const { left_hip: hip, left_knee: knee, left_ankle: ankle } = motion.joints;
    const three = kneeFlexion(hip!, knee!, ankle!);
    const thigh = motion.attitudes!.left_thigh!.labFromPart;
    const shank = motion.attitudes!.left_shank!;
    const jcs = threeAngles(thigh, axis(thigh, 2), null, shank.longAxis!);
    let known = 0;
    for (let f = 0; f < 60; f++) {
      if (Number.isNaN(jcs.aboutE1[f])) continue;
      known++;
      expectClose(-DEGREES * jcs.aboutE1[f], three[f], 1e-10, `knee flexion of frame ${f}, °`);
      expectClose(jcs.aboutE2[f], 0, 1e-14, 'adduction of a hinge');
    }
    expect(known).toBeGreaterThan(30);
  });
});

describe('unwrap', () => {
  test('takes away jumps of a turn, also across frames that are unknown', () => {
    const turning = Float64Array.from({ length: 100 }, (_, f) => 0.2 * f);
    const wrapped = turning.map((angle) => Math.atan2(Math.sin(angle), Math.cos(angle)));
    wrapped.fill(Number.NaN, 40, 44);
    const found = unwrapInPlace(wrapped);
    for (let f = 0; f < 100; f++) {
      if (f >= 40 && f < 44) expect(found[f]).toBeNaN();
      else expectClose(found[f], turning[f], 1e-12, `frame ${f}`);
    }
  });
});

type SideChange = (point: Point) => Point;

function moved(points: Readonly<Record<string, Point>>, name: string, change: SideChange): Record<string, Point> {
  return { ...points, [name as Landmark]: change(points[name]) };
}

function withOnly(points: Readonly<Record<string, Point>>, pattern: RegExp): Record<string, Point> {
  return Object.fromEntries(Object.entries(points).filter(([name]) => pattern.test(name)));
}

function axis(labFromPart: Float64Array, j: number): Float64Array {
  return Float64Array.from(
    { length: labFromPart.length / 3 },
    (_, i) => labFromPart[9 * Math.floor(i / 3) + 3 * (i % 3) + j],
  );
}

function multiply(a: Float64Array, b: Float64Array): Float64Array {
  return Float64Array.from({ length: 9 }, (_, k) => {
    const [i, j] = [Math.floor(k / 3), k % 3];
    return a[3 * i] * b[j] + a[3 * i + 1] * b[3 + j] + a[3 * i + 2] * b[6 + j];
  });
}
