import { fileURLToPath } from 'node:url';
import { CAUSE_GROUPS } from '../../src/uncertainty/causes/cause.ts';
import type { DrawnWorld } from '../synthetic/drawn-world.ts';
import { judgedTruth } from '../synthetic/judged.ts';
import { lifterOf } from '../synthetic/lifter.ts';
import { DETECTOR_NOISE, type PixelNoise } from '../synthetic/noise.ts';
import { type DrawnStyle, liftOfStyle } from '../synthetic/styles.ts';
import { optionsByHand, rowByHand } from './by-hand.ts';
import { type CoverageOf, type CoverageSetting, coverage } from './coverage-runs.ts';
import type { Validation, ValidationRow } from './result.ts';

const SEED = 1;

/** What 2,000 intervals of 95 % must hold. */
const COVERED = [0.935, 0.965] as const;
/** Of one cause by itself on some 200 lifts: 95 % within 2.5 of its standard deviations of 1.5 %. */
const COVERED_ALONE = [0.91, 0.99] as const;
/** And the standard deviation of its standardised errors: 5 % at 200 independent runs, 2.5 of those; too small a cause shows above. */
const SD_ALONE = [0.87, 1.13] as const;
/** A cause is judged by itself on the results to which it adds at least this share of the interval's half width. */
const FELT_SHARE = 0.05;

/** Common practice, no source. */
const LARGEST_UNKNOWN = 0.02;

/** One part of the check: its runs and the rows made of them. */
export interface Part {
  readonly name: string;
  readonly setting: Omit<CoverageSetting, 'styles' | 'seeds'>;
  readonly styles: number;
  readonly seeds: number;
  rows(found: readonly CoverageOf[]): ValidationRow[];
}

const EXACT = { smoothing: { kind: 'none' } } as const;

/** All causes together, the first part: what the acceptance of the intervals rests on. */
export const ALL: Part = {
  name: 'all',
  styles: 40,
  seeds: 50,
  setting: { groups: CAUSE_GROUPS, intervalsEvery: 1, curves: false },
  rows: (all) => {
    const found = all.filter(({ name }) => !isMoment(name));
    return [
      ...coveredRows('all causes', found, COVERED),
      ...unknownRows('all causes', found),
      ...zRows('all causes', found, null),
    ];
  },
};

/** Read across depth, not a measure: judged on fewer lifts. */
const isMoment = (name: string) => name.includes(' moment ');

const MOMENTS: Part = {
  name: 'moments',
  styles: 20,
  seeds: 10,
  setting: { groups: CAUSE_GROUPS, intervalsEvery: 1 },
  rows: (all) => {
    const found = all.filter(({ name }) => isMoment(name));
    return [...coveredRows('all causes', found, COVERED_ALONE), ...zRows('all causes', found, null)];
  },
};

// The drawn world shares no floor between legs; that doubt has a check of its own (leg-sharing).
const ALONE: readonly Part[] = CAUSE_GROUPS.filter((group) => group !== 'leg sharing').map((group) => ({
  name: group,
  styles: 40,
  seeds: 5,
  // Without noise nothing needs a filter, and none is used: what it does by itself would hide small causes.
  setting: { groups: [group], intervalsEvery: 5, ...(group === 'noise' ? {} : { settings: EXACT }) },
  rows: (found) => {
    const felt = found.filter(({ halfWidth, name }) => halfWidth > FELT_SHARE * TYPICAL[name]);
    const alone = felt.map((one) => ({ ...one, againstTruth: one.lessFilter }));
    return [...coveredRows(`${group} alone`, alone, COVERED_ALONE), ...zRows(`${group} alone`, alone, SD_ALONE)];
  },
}));

/** Half widths with all causes, as this check finds them on its own styles: only the measure of what is small. */
const TYPICAL: Readonly<Record<CoverageOf['name'], number>> = {
  'hip share at parallel, descent': 0.075,
  'hip share at parallel, ascent': 0.075,
  'hip share at the bottom': 0.065,
  'trunk lean at parallel, descent': 4.5,
  'knee over toe, largest': 0.033,
  'peak bar velocity': 0.013,
  'hip moment at parallel, descent': 58,
  'knee moment at parallel, descent': 50,
  'hip moment at parallel, ascent': 58,
  'knee moment at parallel, ascent': 54,
};

const DRAWS: Part = {
  name: 'draws',
  styles: 20,
  seeds: 5,
  setting: { groups: CAUSE_GROUPS, intervalsEvery: 1, draws: 100, curves: false },
  // 100 lifts know a coverage to 2.2 %.
  rows: (all) => {
    const found = all.filter(({ name }) => !isMoment(name));
    return coveredRows('all causes, 100 joint draws a lift', found, [0.89, 1]);
  },
};

type Change = (world: DrawnWorld, style: DrawnStyle) => DrawnWorld | null;

const noisy =
  (noise: PixelNoise): Change =>
  (world) => ({ ...world, filming: { ...world.filming, noise, noiseShare: undefined } });

/** What the analyser does not assume. */
const OUTSIDE: readonly (readonly [name: string, words: string, change: Change])[] = [
  ['own body', 'bending trunk, own segments', ownBody],
  [
    'heavy tails',
    'heavy tails (t with 5 degrees of freedom)',
    noisy({ ...DETECTOR_NOISE, byLandmark: false, burstsPerMinute: 0, lostFrameShare: 0 }),
  ],
  [
    'unequal noise',
    'noise that differs by landmark and moment',
    noisy({ ...DETECTOR_NOISE, tailDegreesOfFreedom: null, burstsPerMinute: 0, lostFrameShare: 0 }),
  ],
  ['bursts', 'bursts and dropouts', noisy({ ...DETECTOR_NOISE, burstsPerMinute: 12, lostFrameShare: 0.01 })],
  [
    'readout',
    'rolling shutter not stated',
    (world) => ({
      ...world,
      stated: {
        ...world.stated,
        clocks: world.stated.clocks!.map((clock) => ({ ...clock, readoutS: null, readoutSdS: null })),
      },
    }),
  ],
];

/** Another body than the analyser's kind: a trunk of three pieces that bends, other segment parameters, full inertia. */
function ownBody(world: DrawnWorld, style: DrawnStyle): DrawnWorld | null {
  try {
    const lift = liftOfStyle(style, lifterOf(style.setup.lifter.build, 'outside'), world.lift.setup.equipment.loadKg);
    return Number.isFinite(judgedTruth(lift, 0)['hip share at parallel, ascent']) ? { ...world, lift } : null;
  } catch {
    // This person could not balance that squat.
    return null;
  }
}

const OUTSIDE_PARTS: readonly Part[] = OUTSIDE.map(([name, words, outside]) => ({
  name,
  styles: 20,
  seeds: 4,
  setting: { groups: CAUSE_GROUPS, intervalsEvery: 4, outside },
  rows: (found) => [...coveredRows(`outside: ${words}`, found, null), ...zRows(`outside: ${words}`, found, null)],
}));

const PARTS: readonly Part[] = [ALL, MOMENTS, ...ALONE, DRAWS, ...OUTSIDE_PARTS];

function coveredRows(
  what: string,
  found: readonly CoverageOf[],
  range: readonly [number, number] | null,
): ValidationRow[] {
  return found.map(({ name, againstTruth }) => ({
    what: `${what}: ${name}, share of 95 % intervals that hold the truth`,
    runs: againstTruth.runs,
    value: againstTruth.covered,
    unit: '1',
    from: range?.[0] ?? null,
    to: range?.[1] ?? null,
  }));
}

/** A result without an interval is not covered by it: the share of those is held small, so that no hard lifts drop out. */
function unknownRows(what: string, found: readonly CoverageOf[]): ValidationRow[] {
  return found.map(({ name, againstTruth, unknown }) => ({
    what: `${what}: ${name}, share of lifts without value or interval`,
    runs: againstTruth.runs + unknown,
    value: unknown / (againstTruth.runs + unknown),
    unit: '1',
    from: null,
    to: LARGEST_UNKNOWN,
  }));
}

/** Standardised errors: a mean off 0 is a bias, a standard deviation off 1 a wrong size. */
function zRows(what: string, found: readonly CoverageOf[], range: readonly [number, number] | null): ValidationRow[] {
  const row = (name: string, runs: number, value: number, unit: string): ValidationRow => ({
    what: `${what}: ${name}`,
    runs,
    value,
    unit,
    from: null,
    to: null,
  });
  return found.flatMap(({ name, unit, againstTruth, lessFilter, halfWidth, unknown }) => [
    row(`${name}, mean standardised error`, againstTruth.runs, againstTruth.meanZ, 'SD'),
    {
      ...row(`${name}, SD of standardised errors, the filter’s own taken off`, lessFilter.runs, lessFilter.sdZ, 'SD'),
      from: range?.[0] ?? null,
      to: range?.[1] ?? null,
    },
    row(`${name}, covered, the filter’s own error taken off`, lessFilter.runs, lessFilter.covered, '1'),
    row(`${name}, mean half width`, againstTruth.runs, halfWidth, unit),
    ...(unknown > 0 ? [row(`${name}, unknown`, unknown, unknown, 'runs')] : []),
  ]);
}

interface Chosen {
  readonly only?: readonly string[];
  readonly styles?: number;
  readonly seeds?: number;
}

function runParts(scale: number, { only, styles, seeds }: Chosen, progress: (done: number, total: number) => void) {
  const parts = PARTS.filter(({ name }) => !only || only.includes(name)).map((part) => ({
    ...part,
    styles: Math.min(40, styles ?? Math.max(2, Math.round(part.styles * Math.sqrt(scale)))),
    seeds: seeds ?? Math.max(1, Math.round(part.seeds * Math.sqrt(scale))),
  }));
  const total = parts.reduce((sum, part) => sum + part.styles * part.seeds, 0);
  let before = 0;
  return parts.flatMap((part) => {
    const found = coverage({ ...part.setting, styles: part.styles, seeds: part.seeds }, (done) =>
      progress(before + done, total),
    );
    before += part.styles * part.seeds;
    return part.rows(found);
  });
}

const SETTING =
  '40 invented lifters with their own build, way of squatting, tempo, load and two cameras (tests/synthetic/styles.ts), one or two ' +
  'repetitions; in each lift every error is drawn anew from the priors that the analyser states (tests/synthetic/drawn-world.ts): ' +
  'pixel noise, cameras by the covariance of a control-point calibration, scale, vertical, clocks, keypoint offsets, segment ' +
  'parameters, trunk, body mass and load. The truth is the momentum of a cloud of particles. Intervals are worked out for ' +
  'every lift (single causes and worlds outside the model: for every fourth or fifth). Repetitions of a lift count each.';

export const validation: Validation = {
  name: 'coverage',
  title: 'How often 95 % intervals hold the truth, all causes together and each alone',
  async run(scale, progress) {
    return { seed: SEED, setting: SETTING, rows: runParts(scale, {}, progress) };
  },
};

/** Parts by hand: `npx tsx tests/validation/coverage.validate.ts --only noise,clocks --styles 10 --seeds 10`. Writes no file. */
if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const { list, number } = optionsByHand();
  const only = list('only');
  const unknown = only?.filter((name) => !PARTS.some((part) => part.name === name)) ?? [];
  if (unknown.length > 0) {
    process.stderr.write(`No part ${unknown.join(', ')}. Parts: ${PARTS.map(({ name }) => name).join(', ')}\n`);
    process.exitCode = 2;
  } else {
    let last = -1;
    const rows = runParts(1, { only, styles: number('styles'), seeds: number('seeds') }, (done, total) => {
      const tenth = Math.floor((10 * done) / total);
      if (tenth > last) process.stderr.write(`${10 * tenth} % of ${total} lifts\n`);
      last = tenth;
    });
    for (const row of rows) {
      process.stdout.write(rowByHand(row));
    }
  }
}
