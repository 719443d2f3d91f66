import type { AnalysisSettings } from '../../src/capture/recording.ts';
import type { LiftRecord } from '../../src/lift/lift-record.ts';
import { mean, standardDeviation } from '../../src/numerics/statistics.ts';
import type { CauseGroup } from '../../src/uncertainty/causes/cause.ts';
import { liftUncertainty } from '../../src/uncertainty/lift-uncertainty.ts';
import { type Analysed, analysedData } from '../synthetic/analysed.ts';
import { CAUSES_OF_GROUP, type DrawnCause, type DrawnWorld, drawnWorld } from '../synthetic/drawn-world.ts';
import { recordingOf } from '../synthetic/in-memory.ts';
import { JUDGED, type JudgedName, type JudgedValues, judgedFound, judgedTruth } from '../synthetic/judged.ts';
import { type DrawnStyle, drawnStyle } from '../synthetic/styles.ts';

/** Two-sided 95 % of the normal distribution, in standard deviations. */
const NORMAL_95 = 1.959963984540054;

export interface CoverageSetting {
  readonly styles: number;
  readonly seeds: number;
  /** Number of the first style; default 0. */
  readonly firstStyle?: number;
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
}

/** What became of one result over all runs. */
export interface CoverageOf {
  readonly name: JudgedName;
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

/** Standardised errors of one result. */
interface Tally {
  readonly truth: number[];
  readonly lessFilter: number[];
  readonly half: number[];
  unknown: number;
  unmoved: number;
}

/** Draws the worlds, films and analyses them, and holds the intervals against the truth. */
export function coverage(setting: CoverageSetting, progress: (done: number, total: number) => void): CoverageOf[] {
  const causes = new Set(setting.causes ?? causesOf(setting.groups));
  const { styles, seeds, firstStyle = 0 } = setting;
  const tallies = JUDGED.map((): Tally => ({ truth: [], lessFilter: [], half: [], unknown: 0, unmoved: 0 }));
  for (let number = 0; number < styles; number++) {
    const style = drawnStyle(firstStyle + number);
    const filter = filterErrors(style, setting.settings);
    let arms: readonly (readonly Arms[])[] = [];
    for (let s = 0; s < seeds; s++) {
      progress(number * seeds + s, styles * seeds);
      const drawn = drawnWorld(style, s + 1, causes);
      const world = setting.outside ? setting.outside(drawn, style, s + 1) : drawn;
      if (world === null) break;
      const run = analysedWorld(world, setting.settings);
      const intervals = s % setting.intervalsEvery === 0;
      const record = intervals ? withIntervals(run, setting, 1000 * number + s + 1) : run.record;
      const repetitions = world.lift.course.repetitions.map((_, index) => index);
      if (intervals) arms = repetitions.map((index) => armsOf(record, index + 1));
      for (const index of repetitions) {
        judgeInto(tallies, record, judgedTruth(world.lift, index), filter[index], index + 1, arms[index]);
      }
    }
  }
  return JUDGED.map(({ name, unit }, j) => {
    const { truth, lessFilter, half, unknown, unmoved } = tallies[j];
    const halfWidth = mean(Float64Array.from(half));
    return { name, unit, againstTruth: held(truth), lessFilter: held(lessFilter), halfWidth, unknown, unmoved };
  });
}

function judgeInto(
  tallies: readonly Tally[],
  record: LiftRecord,
  truth: JudgedValues,
  filter: JudgedValues,
  number: number,
  arms: readonly Arms[],
): void {
  JUDGED.forEach((judged, j) => {
    const tally = tallies[j];
    const { value } = judgedFound(record, judged, number);
    const { below, above } = arms[j];
    const half = (below + above) / 2;
    // Intervals need not lie evenly about the value.
    const error = value + (above - below) / 2 - truth[judged.name];
    if (Number.isNaN(error + half)) tally.unknown++;
    else if (half < NOTHING * Math.abs(value)) tally.unmoved++;
    else {
      tally.truth.push((NORMAL_95 * error) / half);
      tally.lessFilter.push((NORMAL_95 * (error - filter[judged.name])) / half);
      tally.half.push(half);
    }
  });
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

/** What the analysis errs on exact pixels and exact inputs, by repetition. */
function filterErrors(style: DrawnStyle, settings: Partial<AnalysisSettings> | undefined): JudgedValues[] {
  const world = drawnWorld(style, 0, new Set());
  const { record } = analysedWorld(world, settings);
  return world.lift.course.repetitions.map((_, index) => {
    const truth = judgedTruth(world.lift, index);
    const errors = JUDGED.map((judged) => [
      judged.name,
      judgedFound(record, judged, index + 1).value - truth[judged.name],
    ]);
    return Object.fromEntries(errors) as JudgedValues;
  });
}

export function analysedWorld(world: DrawnWorld, settings?: Partial<AnalysisSettings>): Analysed {
  const { data, rig } = recordingOf(world.lift, world.filming, { settings, stated: world.stated, rig: world.rig });
  return analysedData(world.lift, world.filming, data, rig);
}

function withIntervals(run: Analysed, { groups, draws = 0, curves }: CoverageSetting, seed: number): LiftRecord {
  return liftUncertainty(run, { mode: draws > 0 ? 'draws' : 'linear', draws, seed, groups, curves }).record;
}

function armsOf(record: LiftRecord, number: number): Arms[] {
  return JUDGED.map((judged) => {
    const { value, lower, upper } = judgedFound(record, judged, number);
    return { below: value - lower, above: upper - value };
  });
}
