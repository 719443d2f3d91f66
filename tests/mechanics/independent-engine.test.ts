import { describe, expect, test } from '@jest/globals';
import loadEngine from '@mujoco/mujoco';
import {
  addSolidInto,
  addWrenchInto,
  momentAbout,
  secondMomentOf,
  type Wrench,
  zeroWrench,
} from '../../src/mechanics/wrench.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { cross, engineOrder, lifterTree, randomStates, treeModel } from './engine-tree.ts';

/*
 * Newton–Euler against an independent rigid-body engine: MuJoCo (Todorov, Erez & Tassa 2012, IROS), version 3.14, general
 * purpose, installed for tests only. The same tree and motion with a barbell, in three dimensions, 200 random states;
 * gravity −9.80665 along Y; no contact, limits, damping or armature. Its `mj_inverse` works by recursion over joint
 * coordinates; ours sums masses times accelerations of points.
 */

const FRAMES = 200;
const random = seededRandom(20);
const tree = lifterTree(random);
const states = randomStates(tree, FRAMES, random);
const engine = await loadEngine();
const model = engine.MjModel.from_xml_string(treeModel(tree));
const data = new engine.MjData(model);
const order = engineOrder(tree);

/** Sum of the demands of the bodies that `wanted` picks, at every state. */
function demandOf(wanted: (b: number) => boolean): Wrench {
  const sum = zeroWrench(FRAMES);
  tree.forEach(({ massKg, inertiaKgM2 }, b) => {
    if (!wanted(b)) return;
    const { centre, acceleration, rotation, rotationAcceleration } = states;
    const moment = secondMomentOf(inertiaKgM2);
    addSolidInto(sum, massKg, moment, centre[b], acceleration[b], rotation[b], rotationAcceleration[b]);
  });
  return sum;
}

const isBeyond = (b: number, joint: number): boolean =>
  b === joint || (tree[b].parent >= 0 && isBeyond(tree[b].parent, joint));

/** A vector of lab axes in the axes of body b: the engine gives the moments of a ball joint in those of the outer body. */
function inBody(b: number, v: Float64Array): Float64Array {
  const out = new Float64Array(v.length);
  for (let f = 0; f < FRAMES; f++) {
    const R = states.rotation[b].subarray(9 * f, 9 * f + 9);
    for (let k = 0; k < 3; k++) out[3 * f + k] = R[k] * v[3 * f] + R[3 + k] * v[3 * f + 1] + R[6 + k] * v[3 * f + 2];
  }
  return out;
}

/** Generalised forces of the engine at a state, by body: three moments (the root: force, then moment). */
function engineForces(f: number, external: ReadonlyMap<number, readonly number[]> = new Map()): Float64Array[] {
  const place = { qpos: 0, qvel: 0 };
  const from = { qpos: 0, qvel: 0 };
  // Ours is in the order the bodies were added, the engine's depth first.
  const starts = tree.map((body) => {
    const start = { ...from };
    from.qpos += body.parent < 0 ? 7 : 4;
    from.qvel += body.parent < 0 ? 6 : 3;
    return { ...start, qposEnd: from.qpos, qvelEnd: from.qvel };
  });
  const out: Float64Array[] = [];
  const qvelAt: number[] = [];
  for (const b of order) {
    const { qpos, qvel, qposEnd, qvelEnd } = starts[b];
    data.qpos.set(states.qpos[f].subarray(qpos, qposEnd), place.qpos);
    data.qvel.set(states.qvel[f].subarray(qvel, qvelEnd), place.qvel);
    data.qacc.set(states.qacc[f].subarray(qvel, qvelEnd), place.qvel);
    qvelAt[b] = place.qvel;
    place.qpos += qposEnd - qpos;
    place.qvel += qvelEnd - qvel;
  }
  engine.mj_inverse(model, data);
  const forces = data.qfrc_inverse.slice();
  const given = new engine.DoubleBuffer(forces.length);
  // What acts from outside takes its part of the generalised forces over.
  for (const [b, [fx, fy, fz, mx, my, mz]] of external) {
    const centre = Array.from(states.centre[b].subarray(3 * f, 3 * f + 3));
    engine.mj_applyFT(model, data, [fx, fy, fz], [mx, my, mz], centre, order.indexOf(b) + 1, given);
  }
  const outside = given.GetView();
  for (let k = 0; k < forces.length; k++) forces[k] -= outside[k];
  given.delete();
  for (const b of order) out[b] = forces.slice(qvelAt[b], qvelAt[b] + (tree[b].parent < 0 ? 6 : 3));
  return out;
}

/** Largest difference of all joints as a share of the largest moment of its state, over all states. */
function worstShare(
  ours: readonly (Float64Array | null)[],
  external: (f: number) => ReadonlyMap<number, readonly number[]> = () => new Map(),
): number {
  let worst = 0;
  for (let f = 0; f < FRAMES; f++) {
    const theirs = engineForces(f, external(f));
    let largest = 0;
    let difference = 0;
    ours.forEach((moments, b) => {
      if (moments === null) return;
      const last = theirs[b].subarray(-3);
      for (let k = 0; k < 3; k++) {
        largest = Math.max(largest, Math.abs(last[k]));
        difference = Math.max(difference, Math.abs(last[k] - moments[3 * f + k]));
      }
    });
    expect(largest).toBeGreaterThan(10);
    worst = Math.max(worst, difference / largest);
  }
  return worst;
}

describe('an independent engine, 15 bodies with a barbell, 200 random states', () => {
  const whole = demandOf(() => true);

  test('moments at every joint, and of the whole body: 1e-9 of the largest moment of the state', () => {
    const ours = tree.map((_, b) =>
      inBody(
        b,
        momentAbout(
          demandOf((each) => isBeyond(each, b)),
          states.joint[b],
        ),
      ),
    );
    expect(worstShare(ours)).toBeLessThanOrEqual(1e-9);
  });

  test('the force on the whole body', () => {
    for (let f = 0; f < FRAMES; f++) {
      const theirs = engineForces(f)[0];
      for (let k = 0; k < 3; k++) {
        expect(Math.abs(theirs[k] - whole.force[3 * f + k])).toBeLessThanOrEqual(
          1e-9 * Math.hypot(...theirs.subarray(0, 3)),
        );
      }
    }
  });

  test('from below: the same ground wrenches under the feet give the same ankles, knees and hips, and leave nothing over', () => {
    const at = (name: string) => tree.findIndex((body) => body.name === name);
    // The left foot gets a wrench of no particular kind, the right one all that is left.
    const left = zeroWrench(FRAMES);
    for (let i = 0; i < left.force.length; i++) {
      left.force[i] = 500 * random.normal();
      left.moment[i] = 100 * random.normal();
    }
    const right = zeroWrench(FRAMES);
    addWrenchInto(right, whole);
    addWrenchInto(right, left, -1);
    const wrenchAt = (f: number, foot: number, { force, moment }: Wrench): number[] => {
      const F = [...force.subarray(3 * f, 3 * f + 3)];
      const r = [...states.centre[foot].subarray(3 * f, 3 * f + 3)];
      const lever = cross(r, F);
      return [...F, ...lever.map((value, k) => moment[3 * f + k] - value)];
    };
    const ours: (Float64Array | null)[] = tree.map(() => null);
    for (const [side, ground] of [
      ['left', left],
      ['right', right],
    ] as const) {
      const reaching = zeroWrench(FRAMES);
      addWrenchInto(reaching, ground);
      for (const part of ['foot', 'shank', 'thigh']) {
        const b = at(`${side}_${part}`);
        addWrenchInto(
          reaching,
          demandOf((each) => each === b),
          -1,
        );
        // What reaches the body above is what it gives the outer one, turned round.
        ours[b] = inBody(b, momentAbout(reaching, states.joint[b])).map((value) => -value);
      }
    }
    const external = (f: number) =>
      new Map([
        [at('left_foot'), wrenchAt(f, at('left_foot'), left)],
        [at('right_foot'), wrenchAt(f, at('right_foot'), right)],
      ]);
    expect(worstShare(ours, external)).toBeLessThanOrEqual(1e-9);
    for (let f = 0; f < FRAMES; f++) {
      const root = engineForces(f, external(f))[0];
      const forceN = Math.hypot(...whole.force.subarray(3 * f, 3 * f + 3));
      // Over levers of about a metre: the same number bounds the force (N) and the moment (N·m).
      expect(Math.max(...root.map(Math.abs))).toBeLessThanOrEqual(1e-9 * forceN);
    }
  });

  test('the check can fail: half a per cent more of one thigh is 100,000 times further off than allowed', () => {
    const thigh = tree.findIndex((body) => body.name === 'left_thigh');
    const ours = tree.map((_, b) =>
      inBody(
        b,
        momentAbout(
          demandOf((each) => isBeyond(each, b)),
          states.joint[b],
        ),
      ),
    );
    const extra = zeroWrench(FRAMES);
    const { centre, acceleration, rotation, rotationAcceleration } = states;
    const none = new Float64Array(9);
    addSolidInto(
      extra,
      0.005 * tree[thigh].massKg,
      none,
      centre[thigh],
      acceleration[thigh],
      rotation[thigh],
      rotationAcceleration[thigh],
    );
    const more = inBody(thigh, momentAbout(extra, states.joint[thigh]));
    ours[thigh] = ours[thigh].map((value, i) => value + more[i]);
    expect(worstShare(ours)).toBeGreaterThan(1e-4);
  });
});
