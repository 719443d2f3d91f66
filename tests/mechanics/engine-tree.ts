import type { Random } from '../../src/numerics/random.ts';
import { multiply3, rotationFromVector } from '../../src/numerics/rotation.ts';

/** One body of the tree: where its joint lies on its parent, and what it weighs. Metres, kg, kg·m²; axes of the body. */
export interface TreeBody {
  readonly name: string;
  /** −1 for the root. */
  readonly parent: number;
  /** The joint's centre (the body's own origin) in the parent's axes. */
  readonly jointInParent: readonly number[];
  readonly massKg: number;
  readonly centre: readonly number[];
  /** About the centre of mass, row-major 3 × 3. */
  readonly inertiaKgM2: Float64Array;
}

/** A lifter with a barbell: root the trunk; every other joint a ball. Lengths and masses as of a person, inertias of any shape. */
export function lifterTree(random: Random): TreeBody[] {
  const bodies: TreeBody[] = [];
  const about = (values: readonly number[], spread: number) => values.map((value) => value + spread * random.normal());
  const add = (
    name: string,
    parent: string | null,
    joint: readonly number[],
    massKg: number,
    centre: number[],
    sizeM: number,
  ) => {
    bodies.push({
      name,
      parent: parent === null ? -1 : bodies.findIndex((body) => body.name === parent),
      jointInParent: about(joint, 0.01),
      massKg: massKg * (1 + 0.1 * random.uniform()),
      centre: about(centre, 0.02),
      inertiaKgM2: randomInertia(massKg, sizeM, random),
    });
  };
  add('trunk', null, [0, 0, 0], 35, [0, 0.25, 0], 0.3);
  add('head', 'trunk', [0, 0.5, 0], 5, [0.02, 0.2, 0], 0.15);
  add('barbell', 'trunk', [0.1, 0.5, 0], 100, [0, 0, 0], 1);
  for (const [side, z] of [
    ['left', -1],
    ['right', 1],
  ] as const) {
    add(`${side}_upper_arm`, 'trunk', [0, 0.48, 0.18 * z], 2, [0, -0.15, 0], 0.2);
    add(`${side}_forearm`, `${side}_upper_arm`, [0, -0.28, 0], 1.2, [0, -0.12, 0], 0.18);
    add(`${side}_hand`, `${side}_forearm`, [0, -0.26, 0], 0.5, [0, -0.06, 0], 0.1);
    add(`${side}_thigh`, 'trunk', [0, 0, 0.09 * z], 11, [0, -0.18, 0], 0.3);
    add(`${side}_shank`, `${side}_thigh`, [0, -0.42, 0], 3.5, [0, -0.19, 0], 0.3);
    add(`${side}_foot`, `${side}_shank`, [0, -0.43, 0], 1, [0.08, -0.04, 0], 0.15);
  }
  return bodies;
}

/** An inertia that some body has: half its trace is the largest its own element may be; J = A Aᵀ is never negative. */
function randomInertia(massKg: number, sizeM: number, random: Random): Float64Array {
  const a = Array.from({ length: 9 }, () => sizeM * random.normal());
  const j = Array.from({ length: 9 }, (_, i) => {
    const [row, column] = [Math.floor(i / 3), i % 3];
    return (massKg / 20) * [0, 1, 2].reduce((sum, k) => sum + a[3 * row + k] * a[3 * column + k], 0);
  });
  const trace = j[0] + j[4] + j[8];
  return Float64Array.from(j, (value, i) => (i % 4 === 0 ? trace : 0) - value);
}

/** Random states of the tree. Arrays are `frame`-major, one block of 3 (9 for rotations) a body. */
export interface TreeStates {
  readonly frames: number;
  /** labFromBody and its second time derivative, per body `9 * frame`. */
  readonly rotation: readonly Float64Array[];
  readonly rotationAcceleration: readonly Float64Array[];
  /** Joint centre, centre of mass and its acceleration, per body `3 * frame`. */
  readonly joint: readonly Float64Array[];
  readonly centre: readonly Float64Array[];
  readonly acceleration: readonly Float64Array[];
  /** What the engine wants: per frame, position and quaternions (w first), velocities and accelerations of every joint in its own axes. */
  readonly qpos: readonly Float64Array[];
  readonly qvel: readonly Float64Array[];
  readonly qacc: readonly Float64Array[];
}

/** Forward kinematics by the textbook, from random joint angles, rates and accelerations (up to a few rad/s and tens of rad/s²). */
export function randomStates(tree: readonly TreeBody[], frames: number, random: Random): TreeStates {
  const count = tree.length;
  const series = (width: number) => tree.map(() => new Float64Array(width * frames));
  const states = {
    frames,
    rotation: series(9),
    rotationAcceleration: series(9),
    joint: series(3),
    centre: series(3),
    acceleration: series(3),
    qpos: [] as Float64Array[],
    qvel: [] as Float64Array[],
    qacc: [] as Float64Array[],
  };
  const normals = (scale: number) => [0, 1, 2].map(() => scale * random.normal());
  for (let frame = 0; frame < frames; frame++) {
    const qpos: number[] = [];
    const qvel: number[] = [];
    const qacc: number[] = [];
    const R: Float64Array[] = [];
    const omega: number[][] = [];
    const alpha: number[][] = [];
    const origin: number[][] = [];
    const originAcceleration: number[][] = [];
    for (let b = 0; b < count; b++) {
      const { parent, jointInParent, centre } = tree[b];
      const turn = normals(1);
      const own = rotationFromVector(turn);
      const rate = normals(3);
      const rateChange = normals(30);
      if (parent < 0) {
        const [position, velocity, acceleration] = [normals(1), normals(2), normals(10)];
        qpos.push(...position);
        qvel.push(...velocity);
        qacc.push(...acceleration);
        R.push(own);
        omega.push(apply(own, rate));
        alpha.push(apply(own, rateChange));
        origin.push(position);
        originAcceleration.push(acceleration);
      } else {
        const r = apply(R[parent], jointInParent);
        R.push(multiply3(R[parent], own));
        const spin = apply(R[b], rate);
        omega.push(plus(omega[parent], spin));
        alpha.push(plus(alpha[parent], plus(cross(omega[parent], spin), apply(R[b], rateChange))));
        origin.push(plus(origin[parent], r));
        originAcceleration.push(plus(originAcceleration[parent], carried(alpha[parent], omega[parent], r)));
      }
      const angle = Math.hypot(...turn);
      qpos.push(Math.cos(angle / 2), ...turn.map((value) => (value / angle) * Math.sin(angle / 2)));
      qvel.push(...rate);
      qacc.push(...rateChange);

      const toCentre = apply(R[b], centre);
      states.rotation[b].set(R[b], 9 * frame);
      for (let column = 0; column < 3; column++) {
        const axis = [R[b][column], R[b][3 + column], R[b][6 + column]];
        carried(alpha[b], omega[b], axis).forEach((value, row) => {
          states.rotationAcceleration[b][9 * frame + 3 * row + column] = value;
        });
      }
      states.joint[b].set(origin[b], 3 * frame);
      states.centre[b].set(plus(origin[b], toCentre), 3 * frame);
      states.acceleration[b].set(plus(originAcceleration[b], carried(alpha[b], omega[b], toCentre)), 3 * frame);
    }
    states.qpos.push(Float64Array.from(qpos));
    states.qvel.push(Float64Array.from(qvel));
    states.qacc.push(Float64Array.from(qacc));
  }
  return states;
}

/** α × r + ω × (ω × r). */
function carried(alpha: readonly number[], omega: readonly number[], r: readonly number[]): number[] {
  return plus(cross(alpha, r), cross(omega, cross(omega, r)));
}

export function cross(a: readonly number[], b: readonly number[]): number[] {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

function plus(a: readonly number[], b: readonly number[]): number[] {
  return a.map((value, i) => value + b[i]);
}

function apply(r: ArrayLike<number>, v: readonly number[]): number[] {
  return [0, 3, 6].map((row) => r[row] * v[0] + r[row + 1] * v[1] + r[row + 2] * v[2]);
}

/** The tree in the engine's own model language: gravity −Y, no contact, limits, damping, armature or actuators. */
export function treeModel(tree: readonly TreeBody[]): string {
  const numbers = (values: ArrayLike<number>) => Array.from(values).join(' ');
  const write = (b: number): string => {
    const { name, parent, jointInParent, massKg, centre, inertiaKgM2: i } = tree[b];
    const children = tree.flatMap((body, k) => (body.parent === b ? [write(k)] : []));
    const joint = parent < 0 ? '<freejoint/>' : '<joint type="ball" damping="0" armature="0" stiffness="0"/>';
    return (
      `<body name="${name}" pos="${parent < 0 ? '0 0 0' : numbers(jointInParent)}">${joint}` +
      `<inertial pos="${numbers(centre)}" mass="${massKg}" fullinertia="${numbers([i[0], i[4], i[8], i[1], i[2], i[5]])}"/>` +
      `${children.join('')}</body>`
    );
  };
  return `<mujoco><option gravity="0 -9.80665 0"/><worldbody>${write(0)}</worldbody></mujoco>`;
}

/** Index of the first number of each body's joint in qpos and in qvel, in the engine's order (depth first). */
export function engineOrder(tree: readonly TreeBody[]): number[] {
  const order: number[] = [];
  const visit = (b: number) => {
    order.push(b);
    tree.forEach((body, k) => {
      if (body.parent === b) visit(k);
    });
  };
  visit(0);
  return order;
}
