/**
 * Loads of each leg by assumed sharing against two force plates, on a real lift: a deadlift with a stick.
 *
 *   npx tsx tests/scripts/leg-sharing.ts FOLDER
 *
 * FOLDER as for deadlift.ts; the data carry no licence, so they are not part of this project. Points and forces are low-passed at
 * 3 Hz. Prints, over the frames that are loaded and no edge of a filter: how far the vertical share lies from the measured one,
 * beside that of equal halves; the moments of each leg against those from its own force plate; and the same with the measured
 * total shared instead of the predicted one, which leaves the error of the sharing alone; what the assumptions are off; and whether
 * the intervals of measures hold what the force plates say.
 */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, relative } from 'node:path';
import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import { skeletonFit } from '../../src/body/skeleton/skeleton-fit.ts';
import { loadRecording } from '../../src/capture/load-recording.ts';
import { describeLift } from '../../src/lift/describe-lift.ts';
import { cutsFromBelow, legDemands } from '../../src/mechanics/cut-moments.ts';
import { groundReaction } from '../../src/mechanics/ground-wrench.ts';
import type { JointLoads } from '../../src/mechanics/joint-loads.ts';
import { jointLoads } from '../../src/mechanics/joint-loads-from-motion.ts';
import { legJoints } from '../../src/mechanics/leg-sharing/leg-joints.ts';
import { legMoments } from '../../src/mechanics/leg-sharing/leg-moments.ts';
import { type LegSharing, legSharing } from '../../src/mechanics/leg-sharing/leg-sharing.ts';
import { copyWrench, type Wrench } from '../../src/mechanics/wrench.ts';
import { mean, rms, standardDeviation } from '../../src/numerics/statistics.ts';
import { reconstruct } from '../../src/reconstruction/reconstruct.ts';
import { liftUncertainty } from '../../src/uncertainty/lift-uncertainty.ts';

const [folder] = process.argv.slice(2);
if (!folder) {
  console.error('Usage: npx tsx tests/scripts/leg-sharing.ts FOLDER');
  process.exit(2);
}

const CUTOFF_HZ = 3;
const SIDES = ['left', 'right'] as const;
const JOINTS = ['hip', 'knee', 'ankle'] as const;

const { loads, measured, analysed } = readLift();
const { motion } = loads;
const frames = framesLoaded();
const shareMeasured = (frame: number) => measured.left.force[3 * frame + 1] / total(measured).force[3 * frame + 1];

console.log(`${frames.length} loaded frames of ${motion.frames}, points and forces at ${CUTOFF_HZ} Hz`);
console.log('\nPart of the vertical force on the left foot, less the measured one:');
say('equal halves', () => 0.5);
const above = shared(loads, 'proportional');
say('total from above, shared', (frame) => above.shareLeft[frame]);
const ofMeasured = withTotal(loads, total(measured));
const byPlates = shared(ofMeasured, 'proportional');
say('measured total, shared', (frame) => byPlates.shareLeft[frame]);

const demands = legDemands(motion);
const true_ = Object.fromEntries(
  SIDES.map((side) => [
    side,
    legMoments(legJoints(motion).joints, cutsFromBelow(motion, demands, measured[side], side), side),
  ]),
) as Record<(typeof SIDES)[number], ReturnType<typeof legMoments>>;
console.log(
  '\nMoments of one leg less those from its own force plate, rms N·m about lab X, Y, Z (left and right together):',
);
for (const [what, from] of [
  ['total from above', loads],
  ['measured total', ofMeasured],
] as const) {
  for (const choice of ['proportional', 'least effort'] as const) {
    const found = shared(from, choice);
    const cells = JOINTS.map((joint) => {
      const axes = [0, 1, 2].map((axis) =>
        rms(
          frames.flatMap((f) =>
            SIDES.map((side) => found[side].moments[joint][3 * f + axis] - true_[side][joint][3 * f + axis]),
          ),
        ),
      );
      return `${joint} ${axes.map((value) => value.toFixed(1).padStart(5)).join(' ')}`;
    });
    console.log(
      `  ${what.padEnd(17)} ${choice.padEnd(13)} ${cells.join('   ')}   bounds ${found.quality.framesAtBounds ?? '–'}`,
    );
  }
}

console.log('\nWhat was assumed, and what the force plates say (mean, standard deviation over the frames):');
const half = (f: number) => 2 * shareMeasured(f) * (1 - shareMeasured(f)) * total(measured).force[3 * f + 1];
const squeezeN = (f: number) => measured.left.force[3 * f + 2] - shareMeasured(f) * total(measured).force[3 * f + 2];
const twistN = (f: number) => measured.left.force[3 * f] - shareMeasured(f) * total(measured).force[3 * f];
tell('squeeze, N', squeezeN);
tell('squeeze, share', (f) => squeezeN(f) / half(f));
tell('twist, share', (f) => twistN(f) / half(f));
const place = (side: (typeof SIDES)[number], f: number) => {
  const { force, moment } = measured[side];
  return { x: moment[3 * f + 2] / force[3 * f + 1], z: -moment[3 * f] / force[3 * f + 1] };
};
const ofLine = (f: number, side: (typeof SIDES)[number]) => byPlates[side].centreOfPressure.subarray(3 * f, 3 * f + 3);
tell('left outward of its line, mm', (f) => 1000 * (ofLine(f, 'left')[2] - place('left', f).z));
tell('right outward of its line, mm', (f) => 1000 * (place('right', f).z - ofLine(f, 'right')[2]));
tell(
  'left further forward than right, mm',
  (f) => 1000 * (place('left', f).x - place('right', f).x - (ofLine(f, 'left')[0] - ofLine(f, 'right')[0])),
);
tell(
  'total from above sideways of the measured, mm',
  (f) => 1000 * (loads.centreOfPressure![3 * f + 2] - loads.measuredCentreOfPressure![3 * f + 2]),
);

console.log('\nMeasures of each leg with their 95 % intervals, against the force plates at the same frames:');
const { record } = liftUncertainty(analysed, { mode: 'linear', draws: 0, seed: 1, curves: false });
const legs = loads.fromBelow!;
const apart = (joint: 'hip' | 'knee', f: number) => legs.left![joint].total[f] - legs.right![joint].total[f];
for (const [name, truthAt] of [
  ['vertical_share_left', shareMeasured],
  ['hip_moment_shared_left_minus_right', (f: number) => apart('hip', f)],
  ['knee_moment_shared_left_minus_right', (f: number) => apart('knee', f)],
] as const) {
  const found = record.measures.filter(
    ({ measure, at, reason }) => measure === name && reason === '' && /bottom|start|descent|ascent/.test(at),
  );
  const held = found.filter(
    ({ lower, upper, frameFirst }) => lower <= truthAt(frameFirst) && truthAt(frameFirst) <= upper,
  );
  console.log(`  ${name}: ${held.length} of ${found.length} intervals hold what the force plates say`);
  for (const { repetition, at, value, lower, upper, frameFirst } of found.filter((one) => one.at === 'bottom'))
    console.log(
      `    ${repetition} ${at}: ${value.toFixed(3)} (${lower.toFixed(3)} to ${upper.toFixed(3)}), measured ${truthAt(frameFirst).toFixed(3)}`,
    );
}

function say(what: string, shareOf: (frame: number) => number): void {
  const differences = frames.map((frame) => shareOf(frame) - shareMeasured(frame));
  console.log(
    `  ${what.padEnd(26)} rms ${rms(differences).toFixed(4)}, mean ${mean(differences).toFixed(4)}, frames unknown ${differences.filter(Number.isNaN).length}`,
  );
}

function tell(what: string, of: (frame: number) => number): void {
  const values = frames.map(of);
  console.log(
    `  ${what.padEnd(46)} ${mean(values).toFixed(3).padStart(9)} ${standardDeviation(values).toFixed(3).padStart(8)}`,
  );
}

function shared(from: JointLoads, choice: 'proportional' | 'least effort'): LegSharing {
  const found = legSharing(from, choice);
  if (!found) throw new Error('nothing to share');
  return found;
}

function total({ left, right }: { readonly left: Wrench; readonly right: Wrench }): Wrench {
  const sum = (part: 'force' | 'moment') => left[part].map((value, i) => value + right[part][i]);
  return { force: sum('force'), moment: sum('moment') };
}

/** The same loads with another total under the feet: the cut at the ankles is the total less what the feet use. */
function withTotal(from: JointLoads, ground: Wrench): JointLoads {
  const ankle = copyWrench(ground);
  for (const [name, { total: demand }] of legDemands(from.motion)) {
    if (!name.endsWith('foot')) continue;
    for (let i = 0; i < ankle.force.length; i++) {
      ankle.force[i] -= demand.force[i];
      ankle.moment[i] -= demand.moment[i];
    }
  }
  const cuts = from.cuts.above!;
  return { ...from, cuts: { ...from.cuts, above: { ...cuts, ankle: { total: ankle, gravity: null } } } };
}

function framesLoaded(): number[] {
  const up = (f: number) => measured.left.force[3 * f + 1] + measured.right.force[3 * f + 1];
  const weightN = 9.80665 * motion.bodyMassKg;
  const memory = Math.ceil(motion.frameRateHz / CUTOFF_HZ);
  return Array.from({ length: motion.frames }, (_, f) => f).filter(
    (f) => f >= memory && f < motion.frames - memory && up(f) > 0.5 * weightN,
  );
}

function readLift() {
  const out = mkdtempSync(join(tmpdir(), 'leg-sharing-'));
  try {
    const at = (name: string) => JSON.stringify(relative(out, join(folder, name)));
    writeFileSync(
      join(out, 'recording.yaml'),
      `kneeward: 1
recording: deadlift
athlete: { id: "D01", sex: unknown, mass_kg: 68.7 }
lift: { kind: deadlift }
load: { total_kg: 0.7, bar: { position: hands } }   # a stick
landmarks_3d: { file: ${at('deadlift_points.csv')}, frame_rate_hz: 100, unit: mm, axes: { forward: "-y", up: "+z" } }
force_plates:
  - { file: ${at('deadlift_force_plate_1.csv')}, foot: right, frame_rate_hz: 100, unit: mm }
  - { file: ${at('deadlift_force_plate_2.csv')}, foot: left, frame_rate_hz: 100, unit: mm }
settings: { smoothing: { cutoff_hz: ${CUTOFF_HZ} } }
`,
    );
    const data = loadRecording(join(out, 'recording.yaml'));
    const reconstruction = reconstruct(data, null);
    const { smoothed, turn } = reconstruction;
    const skeleton = skeletonFit(smoothed, data.recording);
    const body = bodyMotion(skeleton.trajectories, data.recording);
    const found = jointLoads(body, data.forcePlates, turn);
    const { left, right } = groundReaction(data.forcePlates, turn, body, CUTOFF_HZ);
    if (!left || !right) throw new Error('a force plate under each foot is needed');
    const analysed = { data, rig: null, reconstruction, skeleton, record: describeLift(found, data.recording) };
    return { loads: found, measured: { left, right }, analysed };
  } finally {
    rmSync(out, { recursive: true, force: true });
  }
}
