/**
 * The cost of the whole chain against the length of the recording, without draws: reading the files, reconstruction, and
 * body + loads + lift, which every draw of the uncertainty repeats. Recordings of 1 to 20 minutes, made by repeating one
 * invented set (two views, 26 landmarks, 60 frames a second). Processor time a frame: level lines mean that the cost is
 * proportional to the length. Then the same for one set of 12 s at 120 frames a second, warm, least of several runs.
 *
 *   npx tsx tests/benchmarks/chain.ts [minutes …] [--figure FILE.svg]
 */
import { writeFileSync } from 'node:fs';
import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import type { RecordingData } from '../../src/capture/recording.ts';
import { COLOUR, CONFIG, type Figure } from '../../src/figures/look.ts';
import { renderSvg } from '../../src/figures/render-svg.ts';
import { describeLift } from '../../src/lift/describe-lift.ts';
import { jointLoads } from '../../src/mechanics/joint-loads-from-motion.ts';
import { type Reconstruction, reconstruct } from '../../src/reconstruction/reconstruct.ts';
import { madeRecordingFiles, readMade, SET_S, withFiles } from './made-recording.ts';

const FRAME_RATE_HZ = 60;
const WARM_RATE_HZ = 120;
const WARM_RUNS = 15;
const STAGES = ['read', 'reconstruct', 'body + loads + lift'] as const;

interface Row {
  readonly minutes: number;
  readonly frames: number;
  readonly stage: string;
  readonly us_per_frame: number;
}

const figureAt = process.argv.indexOf('--figure');
const figureFile = figureAt > 0 ? process.argv[figureAt + 1] : null;
const given = process.argv.slice(2, figureAt > 0 ? figureAt : undefined).map(Number);
const lengths = given.length > 0 ? given : [1, 2, 5, 10, 20];

/** Processor seconds of a call, all threads (garbage collection included), and its result. */
function timed<T>(run: () => T): { readonly seconds: number; readonly result: T } {
  const before = process.cpuUsage();
  const result = run();
  const { user, system } = process.cpuUsage(before);
  return { seconds: (user + system) / 1e6, result };
}

function describe(data: RecordingData, { smoothed, turn }: Reconstruction) {
  return describeLift(jointLoads(bodyMotion(smoothed, data.recording), data.forcePlates, turn), data.recording);
}

function measure(minutes: number): Row[] {
  const files = madeRecordingFiles(FRAME_RATE_HZ, Math.round((60 * minutes) / SET_S));
  return withFiles(files, (path) => {
    const read = timed(() => readMade(path));
    const { data, rig } = read.result;
    const points = timed(() => reconstruct(data, rig));
    const lift = timed(() => describe(data, points.result));
    const { frames } = points.result.smoothed;
    const seconds = [read.seconds, points.seconds, lift.seconds];
    console.log(
      [
        String(minutes).padStart(7),
        String(frames).padStart(8),
        String(lift.result.repetitions.length).padStart(12),
        ...seconds.map((s, i) => ((1e6 * s) / frames).toFixed(1).padStart(Math.max(13, STAGES[i].length + 2))),
      ].join(''),
    );
    return STAGES.map((stage, i) => ({ minutes, frames, stage, us_per_frame: (1e6 * seconds[i]) / frames }));
  });
}

/** Least processor time of each stage over warm runs of one set, ms. */
function warm(): void {
  withFiles(madeRecordingFiles(WARM_RATE_HZ), (path) => {
    const { data, rig } = readMade(path);
    const reconstruction = reconstruct(data, rig);
    const least = (run: () => unknown) =>
      1000 * Math.min(...Array.from({ length: WARM_RUNS }, () => timed(run).seconds));
    const motion = bodyMotion(reconstruction.smoothed, data.recording);
    const loads = jointLoads(motion, data.forcePlates, reconstruction.turn);
    const parts: readonly (readonly [string, number])[] = [
      ['read', least(() => readMade(path))],
      ['reconstruct', least(() => reconstruct(data, rig))],
      ['body', least(() => bodyMotion(reconstruction.smoothed, data.recording))],
      ['loads', least(() => jointLoads(motion, data.forcePlates, reconstruction.turn))],
      ['lift', least(() => describeLift(loads, data.recording))],
      ['body + loads + lift', least(() => describe(data, reconstruction))],
    ];
    console.log(`\none set of ${SET_S} s at ${WARM_RATE_HZ} Hz, warm, least of ${WARM_RUNS} runs`);
    for (const [what, ms] of parts) console.log(`  ${what.padEnd(20)} ${ms.toFixed(1).padStart(7)} ms`);
  });
}

function figure(rows: readonly Row[]): Figure {
  return {
    $schema: 'https://vega.github.io/schema/vega-lite/v6.json',
    title: {
      text: 'Cost of a frame against the length of the recording',
      subtitle: 'level = proportional to the length; two views, 26 landmarks, no draws',
    },
    width: 420,
    height: 260,
    data: { values: [...rows] },
    mark: { type: 'line', point: true },
    encoding: {
      x: {
        field: 'minutes',
        type: 'quantitative',
        scale: { type: 'log' },
        axis: { title: 'recording (minutes)', values: lengths },
      },
      y: {
        field: 'us_per_frame',
        type: 'quantitative',
        scale: { zero: true },
        axis: { title: 'processor time (µs a frame)' },
      },
      color: {
        field: 'stage',
        type: 'nominal',
        scale: { domain: [...STAGES], range: [COLOUR.hip, COLOUR.knee, COLOUR.ankle] },
        legend: { title: null },
      },
      shape: { field: 'stage', type: 'nominal', scale: { domain: [...STAGES] }, legend: { title: null } },
    },
    config: CONFIG,
  };
}

measure(Math.min(...lengths, 1)); // warming up, printed too
console.log(
  `minutes  frames repetitions${STAGES.map((stage) => stage.padStart(Math.max(13, stage.length + 2))).join('')}   (µs a frame)`,
);
const rows = lengths.flatMap(measure);
warm();
if (figureFile) writeFileSync(figureFile, await renderSvg(figure(rows)));
