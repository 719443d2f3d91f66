/**
 * Inverse dynamics of a whole lifter with a barbell, frames a second, against an independent engine in the same run
 * (MuJoCo's `mj_inverse`, its WebAssembly build), on the same tree of 15 bodies.
 *
 *   npx tsx tests/benchmarks/inverse-dynamics.ts
 *
 * Ours differentiates positions and rotations in time, which the engine is spared: it is given velocities and accelerations.
 * Two rows: bodies with their whole inertia, as the engine has them; and slender bodies, as recordings usually are.
 */
import loadEngine from '@mujoco/mujoco';
import type { BodyMotion, SegmentMotion, SegmentName } from '../../src/body/body-motion.ts';
import { momentsFromAbove } from '../../src/mechanics/cut-moments.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { lifterTree, randomStates, treeModel } from '../mechanics/engine-tree.ts';
import { makeMotion } from '../mechanics/made-motion.ts';

const FRAMES = 2000;
const RUNS = 15;
const random = seededRandom(20);
const tree = lifterTree(random);
const states = randomStates(tree, FRAMES, random);

const engine = await loadEngine();
const model = engine.MjModel.from_xml_string(treeModel(tree));
const data = new engine.MjData(model);

function theirs(): void {
  const { qpos, qvel, qacc } = data;
  for (let f = 0; f < FRAMES; f++) {
    qpos.set(states.qpos[f]);
    qvel.set(states.qvel[f]);
    qacc.set(states.qacc[f]);
    engine.mj_inverse(model, data);
  }
}

function motionOf(whole: boolean): BodyMotion {
  const segments = tree.map((body, b): SegmentMotion => {
    const R = states.rotation[b];
    return {
      name: body.name as SegmentName,
      massKg: body.massKg,
      centre: states.centre[b],
      axis: Float64Array.from({ length: 3 * FRAMES }, (_, i) => R[9 * Math.floor(i / 3) + 3 * (i % 3) + 1]),
      transverseInertiaKgM2: body.inertiaKgM2[0],
      ...(whole ? { solid: { labFromSegment: R, inertiaKgM2: body.inertiaKgM2 } } : {}),
      lengthM: 0.4,
      lengthVariation: 0,
      placedBy: null,
    };
  });
  const point = (name: string) => states.joint[tree.findIndex((body) => body.name === name)];
  const joints = { mid_hip: point('left_thigh'), mid_knee: point('left_shank'), mid_ankle: point('left_foot') };
  return makeMotion(FRAMES, 100, 80, segments, joints, true);
}

/** Least seconds of several runs, the first (warming up) left out. */
function least(run: () => unknown): number {
  run();
  let best = Number.POSITIVE_INFINITY;
  for (let k = 0; k < RUNS; k++) {
    const begun = performance.now();
    run();
    best = Math.min(best, (performance.now() - begun) / 1000);
  }
  return best;
}

const engineS = least(theirs);
const row = (what: string, seconds: number) =>
  console.log(
    `${what.padEnd(44)} ${(FRAMES / seconds).toFixed(0).padStart(9)} frames/s   ${(engineS / seconds).toFixed(2)} × the engine`,
  );
console.log(`Inverse dynamics of ${tree.length} bodies, ${FRAMES} frames, least of ${RUNS} runs`);
row('mj_inverse, a state set before each call', engineS);
row(
  'mj_inverse alone, one state again and again',
  least(() => {
    for (let f = 0; f < FRAMES; f++) engine.mj_inverse(model, data);
  }),
);
const whole = motionOf(true);
row(
  'whole inertia, derivatives included',
  least(() => momentsFromAbove(whole)),
);
const slender = motionOf(false);
row(
  'slender bodies, derivatives included',
  least(() => momentsFromAbove(slender)),
);
