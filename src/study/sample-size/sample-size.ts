import {
  effectMeansNothing,
  pilotNoRepeat,
  pilotNoSpread,
  pilotTooSmall,
  repetitionsUnknown,
} from '../../messages/sample-size.ts';
import { hashSeed, seededRandom } from '../../numerics/random.ts';
import { median, quantile } from '../../numerics/statistics.ts';
import type { Pilot } from './pilot-file.ts';
import { type PowerDesign, type PowerQuestion, simulatePower, wilson } from './power.ts';
import { type Components, componentsOf, drawComponents, pilotSpread, varianceOfOne } from './variance-components.ts';

export interface SampleSizeOptions {
  readonly design: PowerDesign;
  /** Smallest difference that matters, in the unit of the measure; of a ratio a factor. */
  readonly effect: number;
  readonly power?: number;
  readonly alpha?: number;
  /** Repetitions in each recording of the planned study; left out: the middle number of the pilot. */
  readonly repetitions?: number;
  readonly seed?: number;
  readonly studies?: number;
  readonly most?: number;
}

export interface PowerRow {
  /** Athletes; of two groups in each. */
  readonly athletes: number;
  /** Averaged over what the pilot leaves open; and its 95 % Monte Carlo interval. */
  readonly power: number;
  readonly lower: number;
  readonly upper: number;
  /** If the pilot's variances were exact, and if they were at the upper end of their one-sided 95 % range. NaN where not needed any more. */
  readonly powerAsPilot: number;
  readonly powerCautious: number;
}

export interface ComponentRow {
  readonly name: 'athlete' | 'recording' | 'repetition' | 'one athlete, planned';
  readonly sd: number;
  /** 95 % range of the draws. */
  readonly lower: number;
  readonly upper: number;
  readonly freedom: number;
}

export interface SampleSize {
  readonly design: PowerDesign;
  readonly effect: number;
  readonly power: number;
  readonly alpha: number;
  /** 0: as in the pilot, which does not tell repetition noise apart. */
  readonly repetitions: number;
  readonly studies: number;
  readonly most: number;
  readonly athletes: number;
  readonly recordings: number;
  readonly conditions: number;
  readonly components: readonly ComponentRow[];
  readonly rows: readonly PowerRow[];
  /** null: more than `most`. */
  readonly needed: number | null;
  readonly neededAsPilot: number | null;
  readonly neededCautious: number | null;
  readonly tradeOff: readonly { readonly repetitions: number; readonly needed: number | null }[];
}

/** Fewer say nothing about how athletes differ. */
const LEAST_ATHLETES = 3;
/** A variance of one degree of freedom may be anything: its 95 % range spans a factor of 5,000. */
const LEAST_FREEDOM = 2;
/** Of a ratio, as a logarithm; common practice, no source. */
const LARGEST_LOG = Math.log(3);
const STUDIES = 40_000;
const TRADE_OFF_STUDIES = 10_000;
const MOST = 1000;
const REPETITIONS = [1, 2, 3, 4, 5, 6, 8, 10];
const CAUTIOUS = 0.95;

/**
 * Athletes that a planned study needs, from the spread of a pilot.
 *
 * How athletes, their recordings and repetitions scatter is itself known from few: power is averaged over variances drawn given the pilot
 * (`drawComponents`), one draw a simulated study; beside it stands the power with the variances as estimated and with a variance of
 * one athlete's number that is passed with 5 % only.
 */
export function sampleSize(pilot: Pilot, options: SampleSizeOptions): SampleSize {
  const { design, power = 0.8, alpha = 0.05, seed = 0, studies = STUDIES, most = MOST } = options;
  const ratio = pilot.scale === 'logarithm';
  const effect = Math.abs(ratio ? Math.log(options.effect) : options.effect);
  // A factor of 0.05 is meant as a share of the measure, and would be taken as a twentyfold change.
  if (!(effect > 0 && effect <= (ratio ? LARGEST_LOG : Number.MAX_VALUE)))
    throw effectMeansNothing(options.effect, ratio);
  const spread = pilotSpread(pilot.recordings);
  if (spread.athletes < LEAST_ATHLETES) throw pilotTooSmall(pilot.file, spread.athletes, LEAST_ATHLETES);
  if (design === 'paired' && spread.recording.freedom < LEAST_FREEDOM)
    throw pilotNoRepeat(pilot.file, spread.recording.freedom, LEAST_FREEDOM, spread.conditions > 1);
  const apart = spread.repetition.freedom > 0;
  if (!apart && options.repetitions !== undefined) throw repetitionsUnknown(pilot.file, options.repetitions);
  const repetitions = apart
    ? (options.repetitions ?? Math.round(median(pilot.recordings.map((one) => one.repetitions))))
    : 0;
  const estimate = componentsOf(spread);
  if (!(varianceOfOne(estimate, design, repetitions) > 0)) throw pilotNoSpread(pilot.file, pilot.measure);
  const random = seededRandom(hashSeed('sample size', seed));
  const drawn = drawComponents(spread, studies, random);
  const standardised = (repeated: number, count: number) =>
    Float64Array.from({ length: count }, (_, s) => effect / Math.sqrt(varianceOfOne(drawn[s], design, repeated)));
  const variances = drawn.map((one) => varianceOfOne(one, design, repetitions));
  const tradeOff = apart ? REPETITIONS : [];
  const questions: PowerQuestion[] = [
    { effects: standardised(repetitions, studies), wanted: power },
    { effects: effect / Math.sqrt(varianceOfOne(estimate, design, repetitions)), wanted: power },
    { effects: effect / Math.sqrt(quantile(variances, CAUTIOUS)), wanted: power },
    ...tradeOff.map((m) => ({ effects: standardised(m, Math.min(studies, TRADE_OFF_STUDIES)), wanted: power })),
  ];
  const [averaged, asPilot, cautious, ...others] = simulatePower(design, questions, alpha, studies, most, 12, random);
  return {
    design,
    effect: options.effect,
    power,
    alpha,
    repetitions,
    studies,
    most,
    athletes: spread.athletes,
    recordings: spread.recordings,
    conditions: spread.conditions,
    components: [
      ...componentRows(spread, estimate, drawn),
      rowOf('one athlete, planned', varianceOfOne(estimate, design, repetitions), variances, Number.NaN),
    ],
    rows: averaged.power.map((share, i) => {
      const [lower, upper] = wilson(share, studies);
      return {
        athletes: i + 2,
        power: share,
        lower,
        upper,
        powerAsPilot: asPilot.power[i] ?? Number.NaN,
        powerCautious: cautious.power[i] ?? Number.NaN,
      };
    }),
    needed: averaged.needed,
    neededAsPilot: asPilot.needed,
    neededCautious: cautious.needed,
    tradeOff: tradeOff.map((m, i) => ({ repetitions: m, needed: others[i].needed })),
  };
}

function componentRows(spread: ReturnType<typeof pilotSpread>, estimate: Components, drawn: readonly Components[]) {
  return (['athlete', 'recording', 'repetition'] as const)
    .filter((name) => spread[name].freedom > 0)
    .map((name) =>
      rowOf(
        name,
        estimate[name],
        drawn.map((one) => one[name]),
        spread[name].freedom,
      ),
    );
}

function rowOf(name: ComponentRow['name'], variance: number, drawn: readonly number[], freedom: number): ComponentRow {
  return {
    name,
    sd: Math.sqrt(variance),
    lower: Math.sqrt(quantile(drawn, 0.025)),
    upper: Math.sqrt(quantile(drawn, 0.975)),
    freedom,
  };
}
