/**
 * Which smoothing predicts the ground force of a real deadlift best: the vertical force computed from the movement against the
 * sum of both force plates, below 15 Hz, and with both sides smoothed alike.
 *
 *   npx tsx tests/scripts/deadlift-smoothing.ts FOLDER OUT
 *
 * FOLDER as for deadlift.ts (the data carry no licence and are not part of this project). Writes OUT/recording.yaml.
 */
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { SMOOTHING_METHODS } from '../../src/capture/recording.ts';
import { analyseRecording } from '../../src/cli/analyse-recording.ts';
import { gradeLimits } from '../../src/cli/package-files.ts';
import { zeroLagLowPass } from '../../src/numerics/butterworth.ts';
import { GRAVITY_M_PER_S2 } from '../../src/numerics/constants.ts';
import { rms } from '../../src/numerics/statistics.ts';
import { planStretches, smoothStretchesInPlace } from '../../src/reconstruction/stretches.ts';

const [folder, out] = process.argv.slice(2);
if (!folder || !out) {
  console.error('Usage: npx tsx tests/scripts/deadlift-smoothing.ts FOLDER OUT');
  process.exit(2);
}
const RATE_HZ = 100;
const MASS_KG = 68.7;
const MARGIN = 60;
mkdirSync(out, { recursive: true });
const recordingFile = join(out, 'recording.yaml');
writeFileSync(
  recordingFile,
  `kneeward: 1
recording: deadlift
athlete: { id: "D01", sex: unknown, mass_kg: ${MASS_KG} }
lift: { kind: deadlift }
load: { total_kg: 0.7, bar: { position: hands } }   # a stick
landmarks_3d: { file: ${JSON.stringify(relative(out, join(folder, 'deadlift_points.csv')))}, frame_rate_hz: ${RATE_HZ}, unit: mm, axes: { forward: "-y", up: "+z" } }
settings: { points: free }
`,
);

const upward = (name: string) => {
  const [header, ...lines] = readFileSync(join(folder, name), 'utf8').trim().split('\n');
  const column = header.split(',').indexOf('fz_n');
  return Float64Array.from(lines, (line) => Number(line.split(',')[column]));
};
const [right, left] = ['deadlift_force_plate_1.csv', 'deadlift_force_plate_2.csv'].map(upward);
const measured = right.map((force, k) => force + left[k]);
const below15Hz = zeroLagLowPass(measured, RATE_HZ, 15);

for (const method of SMOOTHING_METHODS) {
  for (const [legsHz, trunkHz] of [
    [6, 3],
    [6, 3.2],
    [6, 4],
    [3, 3],
    [4, 4],
    [6, 6],
  ]) {
    const smoothing = { kind: 'fixed', legsHz, trunkHz, barHz: trunkHz, method } as const;
    const { record } = analyseRecording(recordingFile, undefined, gradeLimits(), { smoothing });
    const force = record.loads.groundForce!;
    const frames = force.length / 3;
    const alike = new Float64Array(3 * frames);
    alike.set(measured.subarray(0, frames));
    const stretches = planStretches(method, new Uint8Array(frames), Float64Array.of(trunkHz), frames, RATE_HZ);
    smoothStretchesInPlace(alike, stretches, frames);
    const missPct = (truth: Float64Array) => {
      const misses = Array.from({ length: frames }, (_, k) => force[3 * k + 1] - truth[k]).slice(
        MARGIN,
        frames - MARGIN,
      );
      return ((100 * rms(misses.filter(Number.isFinite))) / (MASS_KG * GRAVITY_M_PER_S2)).toFixed(3);
    };
    console.log(
      `${method}, legs ${legsHz} Hz, trunk ${trunkHz} Hz: ${missPct(below15Hz)} % of body weight below 15 Hz, ${missPct(alike)} % smoothed alike`,
    );
  }
}
