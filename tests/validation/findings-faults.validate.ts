import { readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Recording } from '../../src/capture/recording.ts';
import { type Finding, findingsOf } from '../../src/lift/findings/findings.ts';
import { type FindingRule, rulesFor } from '../../src/lift/findings/rule.ts';
import { BUILT_IN_RULES } from '../../src/lift/findings/rules/index.ts';
import { CAUSE_GROUPS } from '../../src/uncertainty/causes/cause.ts';
import { liftUncertainty } from '../../src/uncertainty/lift-uncertainty.ts';
import { DRAWN_CAUSES, type DrawnWorld, drawnWorld } from '../synthetic/drawn-world.ts';
import { FAULTS } from '../synthetic/faults/all-faults.ts';
import { withFault } from '../synthetic/faults/fault.ts';
import { recordingOf } from '../synthetic/in-memory.ts';
import type { VirtualLift } from '../synthetic/lift.ts';
import { type DrawnStyle, drawnStyle } from '../synthetic/styles.ts';
import { TRUE_MEASURES, trueMeasureValues } from '../synthetic/true-measures/true-measures.ts';
import { BACK_AND_HANDS } from '../synthetic/write.ts';
import { optionsByHand, rowByHand } from './by-hand.ts';
import { analysedWorld } from './coverage-runs.ts';
import { keepResult } from './keep-result.ts';
import type { Validation, ValidationRow } from './result.ts';

const SEED = 1;
const STYLES_A_RULE = 5;
const SEEDS_A_STYLE = 2;
const NEUTRAL_LIFTS = 100;
/** Styles tried for a rule before it is given up: not every limb reaches every fault. */
const MOST_STYLES = 20;

/** How far beyond the threshold a fault is put, and how far on its good side a neutral lift must lie, in half widths. */
const BEYOND = 2;
const CLEAR = 1;

const LEAST_RIGHT = 0.95;
const MOST_FALSE = 0.01;

/** The fault that moves a measure; by place where one measure is moved otherwise. */
const FAULT_OF: Readonly<Record<string, string>> = {
  ankle_dorsiflexion: 'shins lean',
  bar_drift: 'bar drifts',
  bar_over_midfoot: 'bar held ahead',
  bar_slip: 'bar slips',
  bar_tilt: 'bar tilts',
  bar_turn: 'bar turns',
  bottom_thigh_elevation: 'too shallow',
  chord_shortening: 'trunk shortens',
  com_along_foot: 'weight goes back',
  com_rear_shift: 'weight goes back',
  depth_loss: 'loses depth',
  descent_velocity_peak: 'drops fast',
  double_bounce: 'double bounce',
  elbow_thigh_clearance: 'elbows drop',
  feet_moved: 'feet step',
  head_tilt: 'head tips',
  heel_lift: 'heel lifts',
  hip_share: 'leans far',
  hip_shift: 'hips shift',
  knee_over_toe: 'shins lean',
  knee_return: 'knees shoot back',
  knee_share_of_start: 'hips first',
  knee_track: 'knees drift in',
  lean_back: 'leans back',
  lean_gained_in_drive: 'hips rise first',
  left_minus_right_thigh: 'hips tilt',
  stance_stagger: 'one foot ahead',
  sticking_duration: 'slows half-way',
  sticking_speed_loss: 'slows half-way',
  toe_lift: 'toes lift',
  trunk_lean: 'leans far',
  trunk_rounding: 'back rounds',
  upper_arm_drop: 'elbows drop',
  upper_arm_elevation: 'elbows held low',
  velocity_loss: 'slows down',
};
/** Faults that show from one repetition to the next. */
const OF_TWO = new Set(['feet_moved', 'velocity_loss', 'depth_loss']);

const CAUSES = new Set(DRAWN_CAUSES);

/** A finding with what is true: how far beyond the threshold the truth lies, in the finding's own half widths. */
interface Checked {
  readonly finding: Finding;
  readonly beyond: number;
}

const filmed = (world: DrawnWorld): DrawnWorld => ({
  ...world,
  filming: { ...world.filming, landmarks: [...world.filming.landmarks, ...BACK_AND_HANDS] },
});

function worldOf(style: DrawnStyle, seed: number): DrawnWorld {
  return filmed(drawnWorld(style, seed, CAUSES));
}

/** What the recording says, without its films. */
const recordingFor = ({ lift, filming, stated, rig }: DrawnWorld): Recording =>
  recordingOf(lift, filming, { stated, rig, views: [] }).data.recording;

/** Findings of every repetition (and of measures of the whole set) of one filmed lift, with their truth. */
function check(world: DrawnWorld, seed: number): Checked[] {
  const run = analysedWorld(world);
  const { record } = liftUncertainty(run, { mode: 'linear', draws: 0, seed, groups: CAUSE_GROUPS, curves: false });
  const findings = findingsOf(record, [], run.data.recording, BUILT_IN_RULES).filter(
    ({ probability }) => !Number.isNaN(probability),
  );
  const only = [...new Set(findings.map(({ rule }) => rule.measure))];
  const truths = trueMeasureValues(world.lift, { only });
  return findings.flatMap((finding) => {
    const { rule, side, repetition, lower, upper } = finding;
    const truth = truths.find(
      (one) => one.measure === rule.measure && one.at === rule.at && one.side === side && one.repetition === repetition,
    );
    if (!truth || Number.isNaN(truth.value)) return [];
    const half = (upper - lower) / 2;
    return [{ finding, beyond: (wayOf(rule) * (truth.value - rule.threshold)) / half }];
  });
}

const wayOf = ({ comparison }: Pick<FindingRule, 'comparison'>) => (comparison === 'above' ? 1 : -1);

const isShown = ({ finding }: Checked) => finding.word === 'shown';

/** The rules for a front squat whose measure has a truth and a fault, and which are ever shown. */
function rulesToTest(): FindingRule[] {
  const recording = recordingFor(worldOf(drawnStyle(0), 1));
  return rulesFor(recording, ['descent first'], BUILT_IN_RULES).filter(
    ({ measure, openBecause }) => measure in FAULT_OF && TRUE_MEASURES.includes(measure) && openBecause === undefined,
  );
}

/** What a fault of one rule came to. */
interface Injected {
  readonly rule: FindingRule;
  readonly side: FindingRule['sides'][number];
  /** Whether each injected fault was shown. */
  readonly shown: readonly boolean[];
  readonly all: readonly Checked[];
  readonly stylesWithout: number;
}

function inject(rule: FindingRule, seeds: number, styles: number): Injected {
  const side = rule.sides[0];
  const shown: boolean[] = [];
  const all: Checked[] = [];
  let without = 0;
  for (let number = 0, had = 0; had < styles && number < MOST_STYLES; number++) {
    const style = OF_TWO.has(rule.measure) ? ofTwo(drawnStyle(number)) : drawnStyle(number);
    const half = halfWidthNear(rule, side, style);
    if (Number.isNaN(half)) {
      without++;
      continue;
    }
    had++;
    for (let seed = 1; seed <= seeds; seed++) {
      const world = worldOf(style, seed);
      const lift = faulted(world.lift, rule, side, BEYOND * half);
      if (!lift) continue;
      const checked = check({ ...world, lift }, 100 * number + seed);
      all.push(...checked);
      const own = checked.find(
        ({ finding }) =>
          finding.rule.name === rule.name && finding.side === side && finding.repetition === repetitionOf(rule),
      );
      shown.push(own !== undefined && isShown(own));
    }
  }
  return { rule, side, shown, all, stylesWithout: without };
}

/** Which repetition a fault is tuned in: the second where it shows against the first, else the first; 0 = the set. */
function repetitionOf({ at, measure }: FindingRule): number {
  if (at === 'set') return 0;
  return measure === 'feet_moved' ? 2 : 1;
}

const ofTwo = (style: DrawnStyle): DrawnStyle => ({ ...style, plan: { ...style.plan, repetitions: 2 } });

function faulted(lift: VirtualLift, rule: FindingRule, side: string, beyond: number): VirtualLift | null {
  const { measure, at, threshold } = rule;
  return withFault(lift, FAULTS[FAULT_OF[measure]], {
    measure,
    at,
    side,
    repetition: repetitionOf(rule),
    value: threshold + wayOf(rule) * beyond,
  });
}

/** Half width of the measure's interval with the fault about the threshold; NaN where this lifter cannot have it. */
function halfWidthNear(rule: FindingRule, side: string, style: DrawnStyle): number {
  const world = worldOf(style, 0);
  // A little beyond, so that what is 0 without the fault has an interval.
  const lift = faulted(world.lift, rule, side, 0.2 * Math.abs(rule.threshold));
  if (!lift) return Number.NaN;
  const own = check({ ...world, lift }, style.number).find(
    ({ finding }) =>
      finding.rule.name === rule.name && finding.side === side && finding.repetition === repetitionOf(rule),
  );
  return own ? (own.finding.upper - own.finding.lower) / 2 : Number.NaN;
}

/** What one run of some rules and some neutral lifts counted: parts add up. */
interface Counts {
  readonly rules: readonly {
    readonly name: string;
    readonly stylesWithout: number;
    /** Whether each injected fault was shown. */
    readonly found: readonly boolean[];
    /** Findings shown in the lifts with the fault, and those of them whose truth is beyond the threshold. */
    readonly shown: number;
    readonly right: number;
  }[];
  /** Findings of neutral lifts with the truth on the good side, and those of them that were shown. */
  readonly clear: Shown;
  readonly good: Shown;
}

interface Shown {
  readonly of: number;
  readonly shown: number;
}

function runAll(
  { only, styles = STYLES_A_RULE, seeds = SEEDS_A_STYLE, neutral = NEUTRAL_LIFTS, firstNeutral = 0 }: Chosen,
  progress: (done: number, total: number) => void,
): Counts {
  const rules = rulesToTest().filter(({ name }) => !only || only.includes(name));
  const total = rules.length * styles * (seeds + 1) + neutral;
  const injected = rules.map((rule, k) => {
    progress(k * styles * (seeds + 1), total);
    return inject(rule, seeds, styles);
  });
  const plain: Checked[] = [];
  for (let k = firstNeutral; k < firstNeutral + neutral; k++) {
    progress(total - neutral + k - firstNeutral, total);
    plain.push(...check(worldOf(drawnStyle(k % 40), 1000 + k), k));
  }
  return {
    rules: injected.map(({ rule: { name }, stylesWithout, shown: found, all }) => {
      const shown = all.filter(isShown);
      return {
        name,
        stylesWithout,
        found,
        shown: shown.length,
        right: shown.filter(({ beyond }) => beyond > 0).length,
      };
    }),
    clear: shownOf(plain.filter(({ beyond }) => beyond <= -CLEAR)),
    good: shownOf(plain.filter(({ beyond }) => beyond <= 0)),
  };
}

const shownOf = (checked: readonly Checked[]): Shown => ({ of: checked.length, shown: checked.filter(isShown).length });

const share = (part: number, of: number) => (of === 0 ? Number.NaN : part / of);

const sumOf = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0);

const rowsFrom = (parts: readonly Counts[]): ValidationRow[] => [
  ...rowsOfFaults(parts.flatMap(({ rules }) => rules)),
  ...rowsOfNeutral(parts),
];

function rowsOfFaults(rules: Counts['rules']): ValidationRow[] {
  const faults = rules.flatMap(({ found }) => found);
  const shown = sumOf(rules.map((rule) => rule.shown));
  const each = rules.map(
    ({ name, found, stylesWithout }): ValidationRow => ({
      what: `${name}: share of injected faults that are shown (${stylesWithout} lifters cannot have it)`,
      runs: found.length,
      value: share(found.filter(Boolean).length, found.length),
      unit: '1',
      from: null,
      to: null,
    }),
  );
  return [
    {
      what: `recall: share of faults ${BEYOND} half widths beyond the threshold that are shown`,
      runs: faults.length,
      value: share(faults.filter(Boolean).length, faults.length),
      unit: '1',
      from: LEAST_RIGHT,
      to: null,
    },
    {
      what: 'precision: share of shown findings whose truth is beyond the threshold, in lifts with faults',
      runs: shown,
      value: share(sumOf(rules.map(({ right }) => right)), shown),
      unit: '1',
      from: LEAST_RIGHT,
      to: null,
    },
    ...each,
  ];
}

function rowsOfNeutral(parts: readonly Counts[]): ValidationRow[] {
  const row = (what: string, counted: readonly Shown[]): ValidationRow => {
    const runs = sumOf(counted.map(({ of }) => of));
    const value = share(sumOf(counted.map(({ shown }) => shown)), runs);
    return { what: `neutral lifts: share shown of ${what}`, runs, value, unit: '1', from: null, to: MOST_FALSE };
  };
  return [
    row(
      `findings whose truth is at least ${CLEAR} half width on the good side`,
      parts.map(({ clear }) => clear),
    ),
    row(
      'all findings whose truth is on the good side',
      parts.map(({ good }) => good),
    ),
  ];
}

interface Chosen {
  readonly only?: readonly string[];
  readonly styles?: number;
  readonly seeds?: number;
  readonly neutral?: number;
  readonly firstNeutral?: number;
}

const settingOf = (seeds: number): string =>
  `Each built-in rule for a front squat that can be shown and whose measure has a truth (tests/synthetic/true-measures) and a fault ` +
  `(tests/synthetic/faults): ${STYLES_A_RULE} invented lifters who can have the fault, lifts of each: ${seeds}, with all errors drawn from the ` +
  `analyser’s priors. The fault is made as large as puts the true value ${BEYOND} half widths of the measure’s interval beyond the threshold; the ` +
  'half width is that of the same lifter with the fault near the threshold. Every finding of every rule in these lifts counts towards ' +
  'precision. Neutral lifts: the styles as they are, no fault. Findings are those of single repetitions, and of measures of the whole set.';

export const validation: Validation = {
  name: 'findings-faults',
  title: 'Whether injected faults are found, and nothing is shown that is not there',
  async run(scale, progress) {
    const part = Math.sqrt(scale);
    const at = (count: number) => Math.max(1, Math.round(count * part));
    const chosen = { styles: at(STYLES_A_RULE), seeds: at(SEEDS_A_STYLE), neutral: at(NEUTRAL_LIFTS) };
    return { seed: SEED, setting: settingOf(chosen.seeds), rows: rowsFrom([runAll(chosen, progress)]) };
  },
};

/**
 * By hand: `npx tsx tests/validation/findings-faults.validate.ts --only heels_lift --styles 2 --seeds 2 --neutral 0`.
 * In parts, side by side: `--only a,b --neutral 100 --neutral-first 0 --keep part-1.json` each, then `--from part-1.json,part-2.json`
 * (with the `--seeds` of the parts) puts them together and writes docs/validation/findings-faults.json.
 */
if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const { list, number, text } = optionsByHand();
  const chosen = {
    only: list('only'),
    styles: number('styles'),
    seeds: number('seeds'),
    neutral: number('neutral'),
    firstNeutral: number('neutral-first'),
  };
  const from = list('from');
  const parts = from
    ? from.map((file): Counts => JSON.parse(readFileSync(file, 'utf8')))
    : [runAll(chosen, (done, total) => process.stderr.write(`${done} of ${total} lifts\n`))];
  const keep = text('keep');
  if (keep !== undefined) writeFileSync(keep, JSON.stringify(parts[0]));
  const rows = rowsFrom(parts);
  if (from) keepResult(validation, { seed: SEED, setting: settingOf(chosen.seeds ?? SEEDS_A_STYLE), rows });
  for (const row of rows) process.stdout.write(rowByHand(row));
}
