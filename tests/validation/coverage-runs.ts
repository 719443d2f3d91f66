import type { AnalysisSettings } from '../../src/capture/recording.ts';
import type { LiftRecord } from '../../src/lift/lift-record.ts';
import { type Scale, toScale } from '../../src/numerics/scale.ts';
import { mean, standardDeviation } from '../../src/numerics/statistics.ts';
import type { CauseGroup } from '../../src/uncertainty/causes/cause.ts';
import { liftUncertainty } from '../../src/uncertainty/lift-uncertainty.ts';
import { type Analysed, analysedData } from '../synthetic/analysed.ts';
import { CAUSES_OF_GROUP, type DrawnCause, type DrawnWorld, drawnWorld } from '../synthetic/drawn-world.ts';
import { recordingOf } from '../synthetic/in-memory.ts';
import { type FoundValue, JUDGED, type JudgedName, judgedFound, judgedTruth } from '../synthetic/judged.ts';
import { type DrawnStyle, drawnStyle } from '../synthetic/styles.ts';

/** Two-sided 95 % of the normal distribution, in standard deviations. */
const NORMAL_95 = 1.959963984540054;

export interface CoverageSetting {
  readonly styles: number;
  readonly seeds: number;
  /** Number of the first style; default 0. */
  readonly firstStyle?: number;
  /** First seed of every style; default 1. */
  readonly firstSeed?: number;
  /** Kinds of doubt that the intervals know. */
  readonly groups: readonly CauseGroup[];
  /** Causes that are drawn in truth; default: those of the groups. */
  readonly causes?: readonly DrawnCause[];
  /**
   * Intervals are worked out for every so many-th seed of a style; the seeds between take over their half widths, which hardly
   * change from seed to seed. 1 = every lift has its own.
   */
  readonly intervalsEvery: number;
  /** All causes drawn together, so many times; absent: first order. */
  readonly draws?: number;
  readonly settings?: Partial<AnalysisSettings>;
  /** False: intervals of measures only, several times as fast; values across depth (the moments) are then unknown. Default true. */
  readonly curves?: boolean;
  /** Changes of the drawn world: what lies outside the analyser's model. null: this style cannot be had that way. */
  readonly outside?: (world: DrawnWorld, style: DrawnStyle, seed: number) => DrawnWorld | null;
  /** Changes of every world of a style, the exact one too: what else is filmed, or how the lifter lifts. */
  readonly changed?: (world: DrawnWorld, style: DrawnStyle) => DrawnWorld;
}

/** A true value: of which result (its place in the list), and of which repetition (1, 2 …; 0 = the set). */
export interface TrueResult {
  readonly result: number;
  readonly repetition: number;
  readonly value: number;
}

/** Results that intervals are judged by, how they are found, and what is true. */
export interface Results<N extends string> {
  /** scale: that on which the errors of a ratio are judged. */
  readonly list: readonly { readonly name: N; readonly unit: string; readonly scale?: Scale | null }[];
  truths(world: DrawnWorld, style: DrawnStyle, seed: number): readonly TrueResult[];
  found(record: LiftRecord, result: number, repetition: number): FoundValue;
}

/** What became of one result over all runs. */
export interface CoverageOf<N extends string = JudgedName> {
  readonly name: N;
  readonly unit: string;
  readonly againstTruth: Held;
  /**
   * The same against the truth plus the error that filter and frame rate alone make on the style (exact pixels, exact inputs):
   * the drawn causes by themselves.
   */
  readonly lessFilter: Held;
  /** Mean half width of the intervals, in the result's unit. */
  readonly halfWidth: number;
  /** Runs in which value or interval is unknown. */
  readonly unknown: number;
  /** Runs in which no cause in play moves the result: there is nothing to judge. */
  readonly unmoved: number;
}

export interface Held {
  readonly runs: number;
  /** Share of the intervals that hold. */
  readonly covered: number;
  /** (Found − true) / standard deviation stated: mean and standard deviation over the runs. */
  readonly meanZ: number;
  readonly sdZ: number;
}

export const causesOf = (groups: readonly CauseGroup[]): DrawnCause[] =>
  groups.flatMap((group) => CAUSES_OF_GROUP[group]);

/** Half widths below and above a value; NaN where there is no interval. */
interface Arms {
  readonly below: number;
  readonly above: number;
}

/** Half widths below this share of the value come of rounding. */
const NOTHING = 1e-9;

/** Standardised errors of one result: parts of a validation that were run apart are put together by these. */
export interface Tally {
  readonly truth: number[];
  readonly lessFilter: number[];
  readonly half: number[];
  unknown: number;
  unmoved: number;
}

const JUDGED_RESULTS: Results<JudgedName> = {
  list: JUDGED,
  truths: ({ lift }) =>
    lift.course.repetitions.flatMap((_, index) => {
      const truth = judgedTruth(lift, index);
      return JUDGED.map(({ name }, result) => ({ result, repetition: index + 1, value: truth[name] }));
    }),
  found: (record, result, repetition) => judgedFound(record, JUDGED[result], repetition),
};

/** Draws the worlds, films and analyses them, and holds the intervals of the judged results against the truth. */
export function coverage(setting: CoverageSetting, progress: (done: number, total: number) => void): CoverageOf[] {
  return coverageOf(JUDGED_RESULTS, setting, progress);
}

/** The same of other results. */
export function coverageOf<N extends string>(
  results: Results<N>,
  setting: CoverageSetting,
  progress: (done: number, total: number) => void,
): CoverageOf<N>[] {
  return coverageFrom(results, [talliesOf(results, setting, progress)]);
}

/** Draws, films and analyses; one tally a result, in the order of the list. */
export function talliesOf<N extends string>(
  results: Results<N>,
  setting: CoverageSetting,
  progress: (done: number, total: number) => void,
): Tally[] {
  const causes = new Set(setting.causes ?? causesOf(setting.groups));
  const { styles, seeds, firstStyle = 0, firstSeed = 1, changed = (world) => world } = setting;
  const tallies = results.list.map((): Tally => ({ truth: [], lessFilter: [], half: [], unknown: 0, unmoved: 0 }));
  for (let number = 0; number < styles; number++) {
    const style = drawnStyle(firstStyle + number);
    const filter = filterErrors(results, style, changed(drawnWorld(style, 0, new Set()), style), setting.settings);
    const arms = new Map<string, Arms>();
    for (let s = 0; s < seeds; s++) {
      progress(number * seeds + s, styles * seeds);
      const drawn = changed(drawnWorld(style, firstSeed + s, causes), style);
      const world = setting.outside ? setting.outside(drawn, style, firstSeed + s) : drawn;
      if (world === null) break;
      const run = analysedWorld(world, setting.settings);
      const intervals = s % setting.intervalsEvery === 0;
      const record = intervals ? withIntervals(run, setting, 1000 * number + firstSeed + s) : run.record;
      for (const truth of results.truths(world, style, firstSeed + s)) {
        const key = keyOf(truth);
        const { place, found } = onScale(results, record, truth);
        if (intervals) arms.set(key, armsOf(found));
        const tally = tallies[truth.result];
        judgeInto(tally, found.value, place, filter.get(key) ?? Number.NaN, arms.get(key) ?? NO_ARMS);
      }
    }
  }
  return tallies;
}

/** Coverage from the tallies of one or more parts. */
export function coverageFrom<N extends string>(
  results: Pick<Results<N>, 'list'>,
  parts: readonly (readonly Tally[])[],
): CoverageOf<N>[] {
  return results.list.map(({ name, unit }, j) => {
    const all = (of: 'truth' | 'lessFilter' | 'half') => parts.flatMap((part) => part[j][of]);
    const sum = (of: 'unknown' | 'unmoved') => parts.reduce((total, part) => total + part[j][of], 0);
    const [truth, lessFilter, half, unknown, unmoved] = [
      all('truth'),
      all('lessFilter'),
      all('half'),
      sum('unknown'),
      sum('unmoved'),
    ];
    const halfWidth = mean(Float64Array.from(half));
    return { name, unit, againstTruth: held(truth), lessFilter: held(lessFilter), halfWidth, unknown, unmoved };
  });
}

/** A true value and what is found of it, both on the scale of the result. */
function onScale<N extends string>(results: Results<N>, record: LiftRecord, { result, repetition, value }: TrueResult) {
  const scale = results.list[result].scale ?? null;
  const found = results.found(record, result, repetition);
  if (scale === null) return { place: value, found };
  return {
    place: toScale(scale, value),
    found: {
      value: toScale(scale, found.value),
      lower: toScale(scale, found.lower),
      upper: toScale(scale, found.upper),
    },
  };
}

const keyOf = ({ result, repetition }: TrueResult) => `${result} ${repetition}`;

const NO_ARMS: Arms = { below: Number.NaN, above: Number.NaN };

function judgeInto(tally: Tally, value: number, truth: number, filter: number, { below, above }: Arms): void {
  const half = (below + above) / 2;
  // Intervals need not lie evenly about the value.
  const error = value + (above - below) / 2 - truth;
  if (Number.isNaN(error + half)) tally.unknown++;
  else if (half <= NOTHING * Math.abs(value)) tally.unmoved++;
  else {
    tally.truth.push((NORMAL_95 * error) / half);
    tally.lessFilter.push((NORMAL_95 * (error - filter)) / half);
    tally.half.push(half);
  }
}

function held(z: readonly number[]): Held {
  const values = Float64Array.from(z);
  return {
    runs: z.length,
    covered: z.filter((one) => Math.abs(one) <= NORMAL_95).length / z.length,
    meanZ: mean(values),
    sdZ: standardDeviation(values),
  };
}

/** What the analysis errs on exact pixels and exact inputs. */
function filterErrors<N extends string>(
  results: Results<N>,
  style: DrawnStyle,
  world: DrawnWorld,
  settings: Partial<AnalysisSettings> | undefined,
): Map<string, number> {
  const { record } = analysedWorld(world, settings);
  return new Map(
    results.truths(world, style, 0).map((truth) => {
      const { place, found } = onScale(results, record, truth);
      return [keyOf(truth), found.value - place];
    }),
  );
}

export function analysedWorld(world: DrawnWorld, settings?: Partial<AnalysisSettings>): Analysed {
  const { data, rig } = recordingOf(world.lift, world.filming, { settings, stated: world.stated, rig: world.rig });
  return analysedData(world.lift, world.filming, data, rig);
}

function withIntervals(run: Analysed, { groups, draws = 0, curves }: CoverageSetting, seed: number): LiftRecord {
  return liftUncertainty(run, { mode: draws > 0 ? 'draws' : 'linear', draws, seed, groups, curves }).record;
}

const armsOf = ({ value, lower, upper }: FoundValue): Arms => ({ below: value - lower, above: upper - value });
