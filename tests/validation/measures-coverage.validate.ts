import { readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { MEASURES } from '../../src/lift/measures/index.ts';
import { CAUSE_GROUPS } from '../../src/uncertainty/causes/cause.ts';
import { optionsByHand } from './by-hand.ts';
import { type CoverageOf, coverageFrom, type Tally, talliesOf } from './coverage-runs.ts';
import { keepResult } from './keep-result.ts';
import { measureResults, NOT_JUDGED, withHabits } from './measures-judged.ts';
import { passes, type Validation, type ValidationRow } from './result.ts';

const SEED = 1;
const STYLES = 40;
const SEEDS = 50;
/** Every lift its own: what hangs on the width of hips or feet as they are seen in one lift does not fit the next. */
const INTERVALS_EVERY = 1;

/** What 95 % intervals of 2,000 lifts must hold, either way of 0.95. */
const COVERED_WITHIN = 0.015;
/** Of measures that few lifts have (a second repetition, a sticking point): so many standard deviations of chance, as 0.015 is of 2,000. */
const CHANCE_SDS = COVERED_WITHIN / Math.sqrt((0.95 * 0.05) / 2000);
/** With fewer, chance is most of what is seen: reported only. */
const LEAST_RUNS = 100;

/** Common practice, no source. */
const LARGEST_UNKNOWN = 0.02;

/** Places that not every lift reaches in truth and in what is found alike. */
const MAY_BE_UNKNOWN = /sticking|ratio/;

function rowsOf({ name, unit, againstTruth, lessFilter, halfWidth, unknown }: CoverageOf<string>): ValidationRow[] {
  const { runs } = againstTruth;
  const row = (what: string, value: number, of = runs, rowUnit = '1'): ValidationRow => ({
    what: `${name}: ${what}`,
    runs: of,
    value,
    unit: rowUnit,
    from: null,
    to: null,
  });
  const asked = runs + unknown;
  if (asked === 0) return [];
  const unknownShare = {
    ...row('share of lifts without value or interval', unknown / asked, asked),
    to: asked < LEAST_RUNS || MAY_BE_UNKNOWN.test(name) ? null : LARGEST_UNKNOWN,
  };
  if (runs === 0) return [unknownShare];
  const within = Math.max(COVERED_WITHIN, CHANCE_SDS * Math.sqrt((0.95 * 0.05) / runs));
  const judged = runs >= LEAST_RUNS;
  return [
    {
      ...row('share of 95 % intervals that hold the truth', againstTruth.covered),
      from: judged ? 0.95 - within : null,
      to: judged ? 0.95 + within : null,
    },
    ...(unknown > 0 ? [unknownShare] : []),
    row('mean standardised error', againstTruth.meanZ, runs, 'SD'),
    row('SD of standardised errors, the filter’s own taken off', lessFilter.sdZ, runs, 'SD'),
    row('mean half width', halfWidth, runs, unit),
  ];
}

interface Chosen {
  readonly styles?: number;
  readonly seeds?: number;
  readonly firstStyle?: number;
  readonly firstSeed?: number;
}

const results = () => measureResults(new Map(MEASURES.map(({ name, unit }) => [name, unit])));

function tallied(
  { styles = STYLES, seeds = SEEDS, firstStyle, firstSeed }: Chosen,
  progress: (done: number, total: number) => void,
) {
  return talliesOf(
    results(),
    {
      styles,
      seeds,
      firstStyle,
      firstSeed,
      groups: CAUSE_GROUPS,
      intervalsEvery: INTERVALS_EVERY,
      curves: false,
      changed: withHabits,
    },
    progress,
  );
}

const notJudged = Object.entries(NOT_JUDGED)
  .map(([name, why]) => `${name} (${why})`)
  .join('; ');

const SETTING =
  '40 invented lifters (tests/synthetic/styles.ts) with habits of their own, unlike on both sides (tests/synthetic/faults/drawn-habits.ts: ' +
  'lifting heels and toes, knees in and out, hips and bar that tilt, elbows that drop, a back that rounds …), one or two repetitions, two ' +
  'cameras, 60 Hz; in each lift every error is drawn anew from the priors that the analyser states (tests/synthetic/drawn-world.ts). ' +
  'The truth of each measure is worked out from the exact places of both sides in continuous time (tests/synthetic/true-measures). ' +
  'Repetitions of a lift count each. ' +
  `Not judged: ${notJudged}.`;

export const validation: Validation = {
  name: 'measures-coverage',
  title: 'How often the 95 % interval of each technique measure holds the truth',
  async run(scale, progress) {
    const share = Math.sqrt(scale);
    const chosen = { styles: Math.max(2, Math.round(STYLES * share)), seeds: Math.max(1, Math.round(SEEDS * share)) };
    return { seed: SEED, setting: SETTING, rows: coverageFrom(results(), [tallied(chosen, progress)]).flatMap(rowsOf) };
  },
};

/**
 * By hand: `npx tsx tests/validation/measures-coverage.validate.ts --only heel_lift,trunk_lean --styles 8 --seeds 5`.
 * In parts, side by side: `--first 20 --styles 20 --keep part-2.json` each, then `--from part-1.json,part-2.json` puts them
 * together and writes docs/validation/measures-coverage.json.
 */
if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const { list, number, text } = optionsByHand();
  const chosen = {
    styles: number('styles'),
    seeds: number('seeds'),
    firstStyle: number('first'),
    firstSeed: number('seed'),
  };
  const from = list('from');
  const parts = from
    ? from.map((file): Tally[] => JSON.parse(readFileSync(file, 'utf8')))
    : [tallied(chosen, (done, total) => process.stderr.write(`${done} of ${total} lifts\n`))];
  const keep = text('keep');
  if (keep !== undefined) writeFileSync(keep, JSON.stringify(parts[0]));
  const all = coverageFrom(results(), parts);
  if (from) keepResult(validation, { seed: SEED, setting: SETTING, rows: all.flatMap(rowsOf) });
  const only = list('only');
  for (const one of all.filter(({ name }) => !only || only.includes(name.split(',')[0]))) {
    const [covered] = rowsOf(one);
    const { againstTruth: truth, lessFilter, halfWidth, unknown, unmoved } = one;
    const numbers = [truth.covered, truth.meanZ, truth.sdZ, lessFilter.meanZ, lessFilter.sdZ, halfWidth];
    const verdict = covered ? (passes(covered) ? 'ok  ' : 'FAIL') : '    ';
    process.stdout.write(
      `${verdict} ${one.name}: covered ${numbers.map((value) => value.toPrecision(3)).join('  ')} (${truth.runs}, ${unknown} unknown, ${unmoved} unmoved)\n`,
    );
  }
}
