import type { Point } from './made-lifter.ts';

/** Joint angles of one side, radians: flexion, adduction, inward rotation positive; shoulder plane, elevation, inward rotation. */
export interface SidePose {
  readonly hip: Point;
  readonly knee: Point;
  readonly ankle: Point;
  readonly shoulder: Point;
  readonly elbow: number;
}

export interface BodyPose {
  /** Tilt forward, lean to the right, turn to the left, radians. */
  readonly pelvis: Point;
  /** Flexion forward, bend to the right, turn to the left against the pelvis. */
  readonly spine: Point;
  readonly left: SidePose;
  readonly right: SidePose;
}

/**
 * A body put together from its joint angles, part by part, each rotation as a product of elementary ones: the way back from what
 * the product under test does, and no code of it. All optional markers are there.
 */
export function posedBody(pose: BodyPose): Record<string, Point> {
  const points: Record<string, Point> = {};
  const [tilt, lean, turn] = pose.pelvis;
  const pelvis = product(aboutY(turn), aboutX(lean), aboutZ(-tilt));
  const midHip: Point = [0.05, 0.9, -0.02];
  const inPelvis = (x: number, y: number, z: number) => add(midHip, apply(pelvis, [x, y, z]));
  for (const [side, out] of SIDES) {
    points[`${side}_asis`] = inPelvis(0.06, 0.08, out * 0.12);
    points[`${side}_psis`] = inPelvis(-0.1, 0.08, out * 0.05);
  }
  const [flexion, bend, twist] = pose.spine;
  const trunk = product(pelvis, aboutZ(-flexion), aboutX(bend), aboutY(twist));
  for (const [side, out] of SIDES) {
    const { hip, knee, ankle, shoulder, elbow } = pose[side];
    const put = (name: string, point: Point) => {
      points[`${side}_${name}`] = point;
    };
    const hipAt = inPelvis(0, 0, out * 0.085);
    const thigh = product(pelvis, aboutZ(hip[0]), aboutX(out * hip[1]), aboutY(out * hip[2]));
    const kneeAt = add(hipAt, apply(thigh, [0, -0.42, 0]));
    const shank = product(thigh, aboutZ(-knee[0]), aboutX(out * knee[1]), aboutY(out * knee[2]));
    const ankleAt = add(kneeAt, apply(shank, [0, -0.43, 0]));
    const foot = product(shank, aboutZ(ankle[0]), aboutX(out * ankle[1]), aboutY(out * ankle[2]));
    const inFoot = (x: number, y: number, z: number) => add(ankleAt, apply(foot, [x, y, out * z]));
    put('hip', hipAt);
    put('knee', kneeAt);
    put('knee_lateral', add(kneeAt, apply(thigh, [0, 0.01, out * 0.05])));
    put('knee_medial', add(kneeAt, apply(thigh, [0, -0.01, -out * 0.05])));
    put('ankle', ankleAt);
    put('ankle_lateral', add(ankleAt, apply(shank, [0, -0.01, out * 0.035])));
    put('ankle_medial', add(ankleAt, apply(shank, [0, 0.01, -out * 0.035])));
    put('heel', inFoot(-0.05, -0.06, 0.0));
    put('big_toe', inFoot(0.18, -0.06, -0.05));
    put('small_toe', inFoot(0.14, -0.06, 0.05));
    const shoulderAt = add(midHip, apply(trunk, [0, 0.5, out * 0.18]));
    const arm = product(trunk, aboutY(out * shoulder[0]), aboutX(-out * shoulder[1]), aboutY(out * shoulder[2]));
    const elbowAt = add(shoulderAt, apply(arm, [0, -0.28, 0]));
    const forearm = product(arm, aboutZ(elbow));
    put('shoulder', shoulderAt);
    put('elbow', elbowAt);
    put('elbow_lateral', add(elbowAt, apply(arm, [0, 0, out * 0.03])));
    put('elbow_medial', add(elbowAt, apply(arm, [0, 0, -out * 0.03])));
    put('wrist', add(elbowAt, apply(forearm, [0, -0.26, 0])));
  }
  return points;
}

/** Left and right exchanged by a mirror in the plane Z = 0. */
export function mirrored(points: Readonly<Record<string, Point>>): Record<string, Point> {
  const other = (name: string) =>
    name.includes('left_') ? name.replace('left_', 'right_') : name.replace('right_', 'left_');
  return Object.fromEntries(Object.entries(points).map(([name, [x, y, z]]) => [other(name), [x, y, -z] as const]));
}

/** Some pose with every angle its own, none near a singular place. */
export const SOME_POSE: BodyPose = {
  pelvis: [0.35, 0.05, -0.08],
  spine: [0.3, -0.06, 0.11],
  right: {
    hip: [1.5, -0.35, 0.2],
    knee: [1.7, 0.05, 0.12],
    ankle: [0.3, 0.08, -0.15],
    shoulder: [1.3, 1.4, 0.5],
    elbow: 1.9,
  },
  left: {
    hip: [1.4, -0.25, -0.1],
    knee: [1.6, -0.03, -0.2],
    ankle: [0.25, -0.06, 0.1],
    shoulder: [1.1, 1.2, -0.4],
    elbow: 1.5,
  },
};

const SIDES = [
  ['left', -1],
  ['right', 1],
] as const;

type Matrix = readonly (readonly number[])[];

export function aboutX(angle: number): Matrix {
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  return [
    [1, 0, 0],
    [0, c, -s],
    [0, s, c],
  ];
}

export function aboutY(angle: number): Matrix {
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  return [
    [c, 0, s],
    [0, 1, 0],
    [-s, 0, c],
  ];
}

export function aboutZ(angle: number): Matrix {
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  return [
    [c, -s, 0],
    [s, c, 0],
    [0, 0, 1],
  ];
}

export function product(...matrices: readonly Matrix[]): Matrix {
  return matrices.reduce((a, b) =>
    a.map((row) => [0, 1, 2].map((j) => row.reduce((sum, x, k) => sum + x * b[k][j], 0))),
  );
}

function apply(m: Matrix, v: Point): Point {
  return m.map((row) => row.reduce((sum, x, k) => sum + x * v[k], 0)) as unknown as Point;
}

function add(a: Point, b: Point): Point {
  return [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
}
