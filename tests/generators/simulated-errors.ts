import type { Landmark } from '../../src/capture/landmarks.ts';
import { LOADED_JOINTS } from '../../src/mechanics/joint-loads.ts';
import { rms } from '../../src/numerics/statistics.ts';
import {
  type Analysed,
  type AnalyseOptions,
  AS_DELIVERED,
  analysed,
  measured,
  momentError,
  pointErrors,
  trueLoads,
  UNSMOOTHED,
} from '../synthetic/analysed.ts';
import { DEMO_RECORDINGS, type DemoRecording, demoFilming, liftOf } from '../synthetic/demo.ts';
import type { Filming } from '../synthetic/film.ts';
import type { World } from '../synthetic/lifter.ts';
import { whiteNoise } from '../synthetic/noise.ts';
import { trueRepetition } from '../synthetic/truth.ts';

/**
 * What the whole chain gets wrong on virtual lifters, inside and outside the analyser's assumptions; tables to stdout.
 *
 *   npx tsx tests/generators/simulated-errors.ts [recording ids; default: one of each lifter]
 */
interface Case {
  readonly name: string;
  readonly world: World;
  readonly filming: (recorded: DemoRecording) => Filming;
  readonly options: AnalyseOptions;
}

const exact = (recorded: DemoRecording): Filming => {
  const filmed = demoFilming(recorded);
  const views = filmed.views.map((view) => ({ ...view, offsetS: 0, readoutS: 0, bias: {} }));
  return { ...filmed, noise: null, discsHide: false, views };
};
const onePixel = (recorded: DemoRecording): Filming => ({ ...exact(recorded), noise: whiteNoise(1) });

const CASES: readonly Case[] = [
  { name: 'inside, exact pixels, no filter', world: 'inside', filming: exact, options: UNSMOOTHED },
  { name: 'inside, exact pixels, default filter', world: 'inside', filming: exact, options: AS_DELIVERED },
  { name: 'inside, 1 px white, default filter', world: 'inside', filming: onePixel, options: AS_DELIVERED },
  { name: 'inside, as the demo is filmed', world: 'inside', filming: demoFilming, options: AS_DELIVERED },
  { name: 'outside, exact pixels, no filter', world: 'outside', filming: exact, options: UNSMOOTHED },
  { name: 'outside, as the demo is filmed', world: 'outside', filming: demoFilming, options: AS_DELIVERED },
];

const POINTS: readonly (readonly [string, Landmark])[] = [
  ['hip', 'right_hip'],
  ['knee', 'right_knee'],
  ['ankle', 'right_ankle'],
  ['shoulder', 'right_shoulder'],
];

/** Frames at both ends left to the filter, seconds: 1 / 3 Hz and a little. */
const MARGIN_S = 0.4;

function row(recorded: DemoRecording, { name, world, filming, options }: Case): string {
  const run = analysed(liftOf(recorded, world), filming(recorded), options);
  const truth = trueLoads(run);
  const margin = Math.ceil(MARGIN_S * run.loads.frameRateHz);
  const points = POINTS.map(([, landmark]) => {
    const errors = pointErrors(run, landmark, 'smoothed');
    return (1000 * rms(errors.subarray(margin, errors.length - margin).filter((e) => !Number.isNaN(e)))).toFixed(2);
  });
  const moments = LOADED_JOINTS.map((joint) =>
    (['total', 'gravity'] as const)
      .map((part) => {
        const error = momentError(run, truth, joint, part, MARGIN_S);
        return `${((100 * error.rms) / error.peak).toFixed(2)} (${((100 * error.bias) / error.peak).toFixed(1)})`;
      })
      .join(' | '),
  );
  return `| ${[name, ...points, ...moments, ...parallelErrors(run)].join(' | ')} |`;
}

/** Largest error over the repetitions of hip share, its gravity-only form and lean where the descent passes parallel. */
function parallelErrors(run: Analysed): string[] {
  const place = 'parallel descent';
  const errors = run.lift.course.repetitions.map((_, index) => {
    const { parallelDescent } = trueRepetition(run.lift, index);
    return [
      measured(run, 'hip_share', place, index + 1) - parallelDescent.hipShare,
      measured(run, 'hip_share_gravity', place, index + 1) - parallelDescent.gravityHipShare,
      measured(run, 'trunk_lean', place, index + 1) - parallelDescent.trunkLeanDeg,
    ];
  });
  return [3, 3, 2].map((decimals, column) => {
    const known = errors.map((values) => values[column]).filter((value) => !Number.isNaN(value));
    if (known.length === 0) return 'unknown';
    return known.reduce((a, b) => (Math.abs(b) > Math.abs(a) ? b : a)).toFixed(decimals);
  });
}

const asked = process.argv.slice(2);
const chosen = DEMO_RECORDINGS.filter(({ id, build }, index) =>
  asked.length > 0 ? asked.includes(id) : DEMO_RECORDINGS.findIndex((other) => other.build.id === build.id) === index,
);
const columns = [
  'case',
  ...POINTS.map(([name]) => `${name} mm`),
  ...LOADED_JOINTS.flatMap((joint) => [`${joint} % of peak`, `${joint} gravity %`]),
  'share',
  'gravity share',
  'lean °',
];
console.log(
  'Points: rms distance. Moments, both legs: rms error in % of the true peak (mean error). Share and lean: largest',
);
console.log('error over the repetitions where the descent passes parallel.');
for (const recorded of chosen) {
  console.log(`\n${recorded.id}\n\n| ${columns.join(' | ')} |\n|${columns.map(() => '---').join('|')}|`);
  for (const one of CASES) console.log(row(recorded, one));
}
