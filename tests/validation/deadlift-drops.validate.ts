import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import { skeletonFit } from '../../src/body/skeleton/skeleton-fit.ts';
import { loadRecording } from '../../src/capture/load-recording.ts';
import type { RecordingData } from '../../src/capture/recording.ts';
import { SampleStatus } from '../../src/capture/sample-status.ts';
import { describeLift } from '../../src/lift/describe-lift.ts';
import type { MeasureValue } from '../../src/lift/lift-record.ts';
import { jointLoads } from '../../src/mechanics/joint-loads-from-motion.ts';
import { hashSeed, seededRandom } from '../../src/numerics/random.ts';
import { reconstruct } from '../../src/reconstruction/reconstruct.ts';
import type { AnalysedRecording } from '../../src/uncertainty/chain.ts';
import { liftUncertainty } from '../../src/uncertainty/lift-uncertainty.ts';
import type { Validation, ValidationRow } from './result.ts';

const SEED = 20;
const DRAWS = 100;
const DROPPED_SHARE = 0.2;
const WHITE_M = 0.005;
const MEASURES = ['hip_moment_peak', 'knee_moment_peak'] as const;
/** 95 % of 100 draws by the binomial distribution: 90 to 99 hold in 98 of 100 such checks. */
const HELD = [0.9, 0.99] as const;

/**
 * A real lift (the files of tests/scripts/deadlift.ts, which carry no licence and are no part of this project) as measured,
 * against the same with a fifth of its samples dropped and 5 mm of noise added: the interval of the noise alone, worked out
 * from the spoilt points only, should hold what the full points give.
 */
export const validation: Validation = {
  name: 'deadlift-drops',
  title: 'A real deadlift with dropped samples and added noise: does the noise’s interval hold the full result?',
  async run(scale, progress) {
    const folder = process.env.DEADLIFT_FOLDER;
    if (!folder) {
      process.stderr.write('  skipped: DEADLIFT_FOLDER does not name the folder of the deadlift recording\n');
      return { seed: SEED, setting: SETTING, rows: [] };
    }
    const draws = Math.max(5, Math.round(DRAWS * scale));
    const full = deadlift(folder);
    const truth = judgedMeasures(analyse(full));
    const held = new Map<string, { held: number; runs: number; halfWidth: number }>();
    for (let d = 0; d < draws; d++) {
      progress(d, draws);
      const { record } = liftUncertainty(analyse(spoilt(full, d)), {
        mode: 'linear',
        draws: 0,
        seed: hashSeed(SEED, d),
        groups: ['noise'],
      });
      for (const right of truth) {
        const found = record.measures.find((one) => named(one) === named(right));
        const tally = held.get(named(right)) ?? { held: 0, runs: 0, halfWidth: 0 };
        held.set(named(right), tally);
        if (!found || Number.isNaN(found.lower)) continue;
        tally.runs++;
        tally.halfWidth += (found.upper - found.lower) / 2;
        if (found.lower <= right.value && right.value <= found.upper) tally.held++;
      }
    }
    const rows = truth.flatMap((right): ValidationRow[] => {
      const { held: inside, runs, halfWidth } = held.get(named(right))!;
      const what = `${right.measure}, repetition ${right.repetition}`;
      return [
        {
          what: `${what}: share of draws that hold the full result`,
          runs,
          value: inside / runs,
          unit: '1',
          from: HELD[0],
          to: HELD[1],
        },
        {
          what: `${what}: draws without an interval`,
          runs: draws,
          value: draws - runs,
          unit: 'draws',
          from: 0,
          to: 0.05 * draws,
        },
        { what: `${what}: full result`, runs: 1, value: right.value, unit: 'N·m', from: null, to: null },
        { what: `${what}: mean half width`, runs, value: halfWidth / runs, unit: 'N·m', from: null, to: null },
      ];
    });
    return { seed: SEED, setting: SETTING, rows };
  },
};

const SETTING =
  'A deadlift with a stick, 3D points at 100 Hz. In each draw every sample is dropped with probability 0.2 and 5 mm of normal white ' +
  'noise is added to each coordinate; settings as delivered; intervals of first order from the noise alone.';

function deadlift(folder: string): RecordingData {
  const made = mkdtempSync(join(tmpdir(), 'deadlift-'));
  try {
    const file = join(made, 'recording.yaml');
    const points = JSON.stringify(relative(made, join(folder, 'deadlift_points.csv')));
    writeFileSync(
      file,
      `kneeward: 1
recording: deadlift
athlete: { id: "D01", sex: unknown, mass_kg: 68.7 }
lift: { kind: deadlift }
load: { total_kg: 0.7, bar: { position: hands } }
landmarks_3d: { file: ${points}, frame_rate_hz: 100, unit: mm, axes: { forward: "-y", up: "+z" } }
`,
    );
    return loadRecording(file);
  } finally {
    rmSync(made, { recursive: true, force: true });
  }
}

/** Samples dropped and noise added, draw `d`. */
function spoilt(data: RecordingData, d: number): RecordingData {
  const random = seededRandom(hashSeed('deadlift drops', SEED, d));
  const points = data.points!;
  const position = points.position.slice();
  const status = points.status.slice();
  for (let s = 0; s < status.length; s++) {
    const dropped = random.uniform() < DROPPED_SHARE;
    if (dropped) status[s] = SampleStatus.occluded;
    for (let c = 0; c < 3; c++) position[3 * s + c] += dropped ? Number.NaN : WHITE_M * random.normal();
  }
  return { ...data, points: { ...points, position, status } };
}

function analyse(data: RecordingData): AnalysedRecording {
  const { recording } = data;
  const reconstruction = reconstruct(data, null);
  const { smoothed, turn } = reconstruction;
  const skeleton = recording.settings.points === 'skeleton' ? skeletonFit(smoothed, recording) : null;
  const motion = bodyMotion(skeleton?.trajectories ?? smoothed, recording);
  const record = describeLift(jointLoads(motion, [], turn), recording);
  return { data, rig: null, reconstruction, skeleton, record };
}

const judgedMeasures = ({ record }: AnalysedRecording): MeasureValue[] =>
  record.measures.filter(
    ({ measure, side, value }) =>
      (MEASURES as readonly string[]).includes(measure) && side === 'both' && Number.isFinite(value),
  );

const named = ({ measure, repetition, side }: MeasureValue): string => `${measure} ${repetition} ${side}`;

/** By hand: `npx tsx tests/validation/deadlift-drops.validate.ts FOLDER [draws]`. Writes no file. */
if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const [folder, draws = String(DRAWS)] = process.argv.slice(2);
  if (folder) process.env.DEADLIFT_FOLDER = folder;
  const { rows } = await validation.run(Number(draws) / DRAWS, () => {});
  for (const { what, value, unit } of rows) process.stdout.write(`${what}: ${value.toPrecision(3)} ${unit}\n`);
}
