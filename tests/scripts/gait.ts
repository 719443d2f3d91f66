/**
 * A walk with full-body markers and the sum of the force plates: the chain in three dimensions against measured force and
 * against textbook ranges (docs/method/gait-check.md).
 *
 *   npx tsx tests/scripts/gait.ts FOLDER [OUT]
 *
 * FOLDER: markers_200Hz_m.csv.gz (t_s, <marker>_x, _y, _z, m; walking along −x, up +z) and grf_1000Hz_N.csv (t_s, Fx, Fy, Fz on
 * the body, N); example data of Le Mouel (2024), see tests/references/mechanics-gait.json. OUT: writes curves.csv and the
 * excerpt that tests use, mechanics-gait.csv.gz.
 */
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gunzipSync, gzipSync } from 'node:zlib';
import type { BodyMotion } from '../../src/body/body-motion.ts';
import { jointAngles } from '../../src/body/joint-angles/joint-angles.ts';
import { legPowers } from '../../src/mechanics/power/leg-powers.ts';
import type { Wrench } from '../../src/mechanics/wrench.ts';
import { GRAVITY_M_PER_S2 } from '../../src/numerics/constants.ts';
import { firstDifference } from '../../src/numerics/differences.ts';
import { mean } from '../../src/numerics/statistics.ts';
import {
  extremumOf,
  type LegCurves,
  legCurves,
  type PublishedRange,
  type Stride,
  speedOf,
  stridesOf,
} from '../mechanics/gait-figures.ts';
import {
  agreement,
  centresOfMass,
  forceAtFrames,
  forceAtMass,
  groundOf,
  legCuts,
  marginFrames,
  type Steps,
  SUPPORT,
  stepsOf,
  supportOf,
  tableOf,
  WALK_MARKERS,
  type WalkOptions,
  walkerMotion,
  withForce,
} from '../mechanics/gait-walk.ts';
import { reference } from '../reference.ts';

const [folder, out] = process.argv.slice(2);
if (!folder) {
  console.error('Usage: npx tsx tests/scripts/gait.ts FOLDER [OUT]');
  process.exit(2);
}
const markers = tableOf(gunzipSync(readFileSync(join(folder, 'markers_200Hz_m.csv.gz'))).toString());
const force = tableOf(readFileSync(join(folder, 'grf_1000Hz_N.csv'), 'utf8'));
const RATE = 200;
const FORCE_RATE = 1000;
/** The walker stands until here, s. */
const FIRST_STEP_S = 2;

const vertical = force.column('Fz');
const massKg = mean(vertical) / GRAVITY_M_PER_S2;
console.log(`mean vertical force ${mean(vertical).toFixed(1)} N: ${massKg.toFixed(2)} kg`);
console.log(`  standing, first 1.2 s: ${mean(vertical.subarray(0, 1200)).toFixed(1)} N`);

const at = (cutoffHz: number, recording: WalkOptions['recording'] = {}) =>
  walkerMotion(markers, RATE, massKg, {
    smoothing: { kind: 'fixed', legsHz: cutoffHz, trunkHz: cutoffHz, barHz: cutoffHz },
    recording,
  });
/** Only steps: what standing sway takes for one is left out. */
const walking = ({ strikes, offs }: Steps): Steps => ({
  strikes: strikes.filter((f) => f > FIRST_STEP_S * RATE),
  offs: offs.filter((f) => f > FIRST_STEP_S * RATE),
});

const motion = at(6);
const steps = {
  left: walking(stepsOf(motion, 'left', RATE / 8)),
  right: walking(stepsOf(motion, 'right', RATE / 8)),
};
const support = supportOf(motion.frames, steps.left, steps.right);
const strides = stridesOf(steps);
const seconds = (f: number) => (f / RATE).toFixed(3);
for (const side of ['left', 'right'] as const)
  console.log(`${side}: strikes ${steps[side].strikes.map(seconds)} s, toe-offs ${steps[side].offs.map(seconds)} s`);
for (const stride of strides) {
  const { side, start, off, end } = stride;
  const vy = mean(vertical.subarray((start * FORCE_RATE) / RATE, (end * FORCE_RATE) / RATE));
  console.log(
    `${side} stride ${seconds(start)}–${seconds(end)} s: ${speedOf(motion, stride).toFixed(2)} m/s, stance ${((100 * (off - start)) / (end - start)).toFixed(0)} %, mean vertical force ${vy.toFixed(1)} N`,
  );
}

console.log(
  '\nGround reaction from above against measured, same filter, % of body weight: r, rms, mean difference (N)',
);
for (const cutoffHz of [3, 4, 6, 8, 10, 15]) {
  const m = at(cutoffHz);
  const measured = forceAtFrames(force, FORCE_RATE, m, cutoffHz);
  const words = agreement(m, groundOf(m).wrench.force, measured, cutoffHz, FIRST_STEP_S).map(
    ({ axis, r, rmsPct, meanN }) => `${axis} r ${r.toFixed(3)} ${rmsPct.toFixed(2)} % (${meanN.toFixed(1)} N)`,
  );
  console.log(`  ${String(cutoffHz).padStart(2)} Hz  ${words.join('   ')}`);
}

const ground = groundOf(motion);
const measured = forceAtFrames(force, FORCE_RATE, motion, 6);
const ways: readonly (readonly [string, BodyMotion, Wrench])[] = [
  ['from above', motion, ground.wrench],
  ['measured force at the predicted centre of pressure', motion, withForce(ground.wrench, ground.centre, measured)],
  ['measured force at the centre of mass', motion, forceAtMass(ground.wrench, centresOfMass(motion), measured)],
  ...(
    [
      ['from above, trunk that bends', { settings: { trunk: 'bends' } }],
      ['from above, women', { athlete: { sex: 'female' } }],
      ['from above, men', { athlete: { sex: 'male' } }],
      ['from above, Dumas, women', { segments: 'dumas-2007', athlete: { sex: 'female' } }],
      ['from above, Dempster–Winter', { segments: 'dempster-winter-2009' }],
    ] as const
  ).map(([name, recording]) => {
    const m = at(6, recording as WalkOptions['recording']);
    return [name, m, groundOf(m).wrench] as const;
  }),
  ...([4, 10] as const).map((hz) => {
    const m = at(hz);
    return [`from above, ${hz} Hz`, m, groundOf(m).wrench] as const;
  }),
];
const { cases } = reference<PublishedRange>('mechanics-gait');
for (const [name, m, wrench] of ways) {
  console.log(`\n${name}`);
  const curves = legCurves(m, wrench, support);
  for (const range of cases) console.log(`  ${rangeWords(range, curves)}`);
  for (const stride of strides) {
    const { hip_moment: hip } = curves[stride.side];
    const early = extremumOf(hip, support, stride, 'stance', 'max', marginFrames(RATE));
    const late = extremumOf(hip, support, stride, 'stance', 'min', marginFrames(RATE));
    console.log(
      `  ${stride.side} hip in single support: from ${early.value.toFixed(2)} (${early.atPct.toFixed(0)} %) to ${late.value.toFixed(2)} (${late.atPct.toFixed(0)} %)`,
    );
  }
}

console.log(
  '\nSingle support: centre of pressure along the foot, from the heel, as a share of heel to big toe mark (1 = under the joint of the big toe)',
);
for (const stride of strides) {
  const shares: string[] = [];
  for (let f = stride.start; f < stride.off; f += 10)
    if (support[f] === SUPPORT[stride.side]) shares.push(alongFoot(f, stride.side).toFixed(2));
  console.log(`  ${stride.side} ${shares.join(' ')}`);
}

console.log(
  '\nΣ moment component × rate of its angle against M · ω without spin about the long axes: rms, W (and largest of the second)',
);
const cuts = legCuts(motion, ground.wrench, support);
const curves = legCurves(motion, ground.wrench, support);
for (const side of ['left', 'right'] as const) {
  const plain = legPowers(motion, cuts[side], side).joints;
  for (const joint of ['hip', 'knee', 'ankle'] as const) {
    const sum = powerByAngles(side, joint);
    const d: number[] = [];
    let largest = 0;
    for (let f = RATE * FIRST_STEP_S; f < motion.frames; f++) {
      if (!Number.isFinite(sum[f] + plain[joint][f])) continue;
      d.push((sum[f] - plain[joint][f]) ** 2);
      largest = Math.max(largest, Math.abs(plain[joint][f]));
    }
    console.log(`  ${side} ${joint}: ${Math.sqrt(mean(d)).toFixed(1)} (${largest.toFixed(0)})`);
  }
}

if (out) {
  mkdirSync(out, { recursive: true });
  writeFileSync(join(out, 'curves.csv'), curvesCsv());
  writeFileSync(join(out, 'mechanics-gait.csv.gz'), gzipSync(excerptCsv(), { level: 9 }));
}

function rangeWords(range: PublishedRange, all: Record<'left' | 'right', LegCurves>): string {
  const found = strides.map((stride) => {
    const { value, atPct } = extremumOf(
      all[stride.side][range.quantity],
      support,
      stride,
      range.of,
      range.extremum,
      marginFrames(RATE),
    );
    const fits = value >= range.low && value <= range.high;
    const inTime = range.extremum === 'range' || (atPct >= range.fromPct && atPct <= range.toPct);
    return `${stride.side} ${value.toFixed(2)} at ${atPct.toFixed(0)} %${fits ? '' : ' OUTSIDE'}${inTime ? '' : ' AT ANOTHER TIME'}`;
  });
  return `${range.name}: ${found.join('; ')} (${range.low} … ${range.high} ${range.unit}, ${range.fromPct}–${range.toPct} %)`;
}

function alongFoot(f: number, side: Stride['side']): number {
  const { position, landmarks } = motion.trajectories;
  const x = (name: 'heel' | 'big_toe', axis: number) =>
    position[3 * (f * landmarks.length + landmarks.indexOf(`${side}_${name}`)) + axis];
  const [dx, dz] = [x('big_toe', 0) - x('heel', 0), x('big_toe', 2) - x('heel', 2)];
  const [px, pz] = [ground.centre[3 * f] - x('heel', 0), ground.centre[3 * f + 2] - x('heel', 2)];
  return (px * dx + pz * dz) / (dx * dx + dz * dz);
}

function powerByAngles(side: Stride['side'], joint: 'hip' | 'knee' | 'ankle'): Float64Array {
  const angles = jointAngles(motion);
  const names = {
    hip: ['hip_flexion', 'hip_adduction', 'hip_rotation'],
    knee: ['', 'knee_adduction', 'knee_rotation'],
    ankle: ['ankle_dorsiflexion', 'ankle_inversion', 'ankle_rotation'],
  } as const;
  const radians = names[joint].map((name) =>
    name === '' ? curves[side].knee_flexion.map((d) => (d * Math.PI) / 180) : angles[`${name}/${side}`].radians,
  );
  const rates = radians.map((x) => firstDifference(x, 1, 1 / RATE));
  const leg = curves[side];
  return rates[0].map(
    (flexing, f) =>
      massKg *
      (-leg[`${joint}_moment`][f] * flexing -
        leg[`${joint}_abductor_moment`][f] * rates[1][f] +
        leg[`${joint}_inward_moment`][f] * rates[2][f]),
  );
}

function curvesCsv(): string {
  const names = Object.keys(curves.left);
  const rows = [`side,stride_pct,${names.join(',')}`];
  for (const { side, start, end } of strides)
    for (let f = start; f <= end; f++) {
      const values = names.map((name) => curves[side][name][f]);
      rows.push(
        [
          side,
          ((100 * (f - start)) / (end - start)).toFixed(1),
          ...values.map((v) => (Number.isFinite(v) ? v.toFixed(3) : '')),
        ].join(','),
      );
    }
  return `${rows.join('\n')}\n`;
}

/** Every second frame from 3.1 s on, mm; force the mean of 11 samples around it. */
function excerptCsv(): string {
  const names = WALK_MARKERS.flatMap((marker) => ['x', 'y', 'z'].map((axis) => `${marker}_${axis}`));
  const columns = names.map((name) => markers.column(name));
  const forces = ['Fx', 'Fy', 'Fz'].map((name) => force.column(name));
  const rows = [`t_s,${names.join(',')},fx,fy,fz`];
  for (let f = 3.1 * RATE; f < markers.rows; f += 2) {
    const sample = Math.round((f * FORCE_RATE) / RATE);
    if (sample + 5 >= force.rows) break;
    const mm = columns.map((column) => String(Number((1000 * column[f]).toFixed(2))));
    const newton = forces.map((x) => mean(x.subarray(sample - 5, sample + 6)).toFixed(1));
    rows.push([(f / RATE).toFixed(2), ...mm, ...newton].join(','));
  }
  return `${rows.join('\n')}\n`;
}
