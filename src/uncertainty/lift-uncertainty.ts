import { DataError } from '../errors.ts';
import type { LiftRecord } from '../lift/lift-record.ts';
import { withinBounds } from '../lift/measures/index.ts';
import { ratioUnbounded } from '../messages.ts';
import { hashSeed, seededRandom } from '../numerics/random.ts';
import { causesOf } from './causes/all-causes.ts';
import { CAUSE_GROUPS, type Cause, type CauseGroup, type GroupCauses, type PointMove } from './causes/cause.ts';
import { SMOOTHING_KEY, withLoss, withoutNoise } from './causes/smoothing-cause.ts';
import { unresolvedDips } from './causes/unresolved-dips.ts';
import { type AnalysedRecording, type Chain, chainOf } from './chain.ts';
import { drawnIntervals, type Intervals, linearIntervals } from './intervals.ts';
import { noiseDraws } from './noise-draws.ts';
import { type Outputs, outputsOf } from './outputs.ts';

export interface UncertaintyOptions {
  /** 'linear': causes one at a time, noise by a few draws. 'draws': also everything together, `draws` times. */
  readonly mode: 'linear' | 'draws';
  readonly draws: number;
  /** Seed of the study, or of the recording where it stands alone. */
  readonly seed: number;
  /** Draws of the noise alone. */
  readonly noiseDraws?: number;
  /** False: intervals of measures only, not of values across depth. */
  readonly curves?: boolean;
  /** Only these kinds of doubt; all where left out. */
  readonly groups?: readonly CauseGroup[];
}

/** Draws of the noise alone: its standard deviation is then known within 11 %, which the intervals allow for. */
export const NOISE_DRAWS = 40;

/** Draws of the noise that are smoothed twice more, to tell what smoothing takes of the motion from what it takes of the noise. */
const SMOOTHED_AGAIN = 8;

/** Least number of draws from which quantiles of 2.5 % can be read. */
export const LEAST_DRAWS = 80;

export interface LiftUncertainty {
  /** The record with `lower` and `upper` in measures and curves. */
  readonly record: LiftRecord;
  readonly options: UncertaintyOptions;
  readonly groups: readonly GroupCauses[];
  readonly causes: readonly Cause[];
  readonly outputs: Outputs;
  readonly intervals: Intervals;
  /** What one standard deviation of a cause does: `output * causes.length + cause`. */
  readonly effects: Float64Array;
  /** Values of the draws of the noise alone, `draw * outputs.count + output`. */
  readonly noise: Float64Array;
  readonly noiseDraws: number;
  /** Values of the joint draws, `draw * outputs.count + output`; null in linear mode. */
  readonly drawn: Float64Array | null;
}

/** One step of the work done. */
export interface UncertaintyProgress {
  readonly done: number;
  readonly total: number;
}

/**
 * 95 % intervals of every measure and curve point, and the part of each kind of doubt in their variance.
 *
 * First order: effect of each cause by running the chain with the cause one standard deviation up and the rest as measured;
 * variance of the noise from draws of it; sums of squares. With `mode: 'draws'` all causes and the noise are drawn together
 * and the intervals read from the quantiles, so that what is not linear counts. Equal seeds give equal results; a cause is
 * drawn from its own key, so that recordings that share it draw the same (docs/method/uncertainty.md).
 */
export function liftUncertainty(analysed: AnalysedRecording, options: UncertaintyOptions): LiftUncertainty {
  const steps = uncertaintySteps(analysed, options);
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}

/** The same, step by step, so that a caller can show progress and stop. */
export function* uncertaintySteps(
  analysed: AnalysedRecording,
  options: UncertaintyOptions,
): Generator<UncertaintyProgress, LiftUncertainty> {
  const wanted = options.groups ?? CAUSE_GROUPS;
  const groups = causesOf(analysed, wanted);
  const causes = groups.flatMap((group) => group.causes);
  const withCurves = options.curves !== false;
  const outputs = outputsOf(withCurves ? analysed.record : { ...analysed.record, curves: [] });
  const chain = chainOf(analysed, withCurves);
  const noisy = wanted.includes('noise');
  const noiseCount = noisy ? (options.noiseDraws ?? NOISE_DRAWS) : 0;
  const drawCount = options.mode === 'draws' ? options.draws : 0;
  const smoothingAt = causes.findIndex(({ key }) => key === SMOOTHING_KEY);
  const againCount = smoothingAt < 0 ? 0 : Math.min(noiseCount, SMOOTHED_AGAIN);
  const total = causes.length + noiseCount + againCount + drawCount;
  let done = 0;

  const effects = new Float64Array(outputs.count * causes.length);
  const row = new Float64Array(outputs.count);
  const z = new Float64Array(causes.length);
  for (let k = 0; k < causes.length; k++) {
    yield { done: done++, total };
    effectOf(chain, causes, k, z, outputs, row);
    for (let i = 0; i < outputs.count; i++) effects[i * causes.length + k] = row[i];
  }

  const draw = noisy ? noiseDraws(analysed.reconstruction) : null;
  const { respond, respondVelocity, smoothed } = analysed.reconstruction;
  const { id } = analysed.data.recording;
  const moved = new Float64Array(smoothed.position.length);
  const noiseOf = (...name: (string | number)[]): PointMove | null => {
    if (draw === null) return null;
    const raw = draw(seededRandom(hashSeed(options.seed, id, ...name)));
    return { smoothed: respond(raw, moved), forVelocity: respondVelocity(raw) };
  };
  z.fill(0);
  const noise = new Float64Array(noiseCount * outputs.count);
  for (let d = 0; d < noiseCount; d++) {
    yield { done: done++, total };
    readDrawInto(noise, d * outputs.count, outputs, () => chain(causes, z, noiseOf('noise alone', d)));
  }

  const again = new Float64Array(againCount * outputs.count);
  for (let d = 0; d < againCount; d++) {
    yield { done: done++, total };
    const move = withLoss(noiseOf('noise alone', d)!, analysed.reconstruction);
    readDrawInto(again, d * outputs.count, outputs, () => chain(causes, z, move));
  }
  if (againCount > 0) {
    const own = effects.filter((_, at) => at % causes.length === smoothingAt);
    withoutNoise(own, noise, again, againCount).forEach((effect, i) => {
      effects[i * causes.length + smoothingAt] = effect;
    });
  }
  const more = new Float64Array(outputs.count);
  if (smoothingAt >= 0) {
    unresolvedDips(outputs, velocitySmoothing(analysed)).forEach((least, i) => {
      const at = i * causes.length + smoothingAt;
      if (!(least > Math.abs(effects[at]))) return;
      more[i] = (effects[at] < 0 ? -least : least) - effects[at];
      effects[at] += more[i];
    });
  }

  const drawn = drawCount > 0 ? new Float64Array(drawCount * outputs.count) : null;
  for (let d = 0; d < drawCount; d++) {
    yield { done: done++, total };
    for (let k = 0; k < causes.length; k++) {
      z[k] = seededRandom(hashSeed(options.seed, causes[k].key, d)).normal();
    }
    readDrawInto(drawn!, d * outputs.count, outputs, () => chain(causes, z, noiseOf('draw', d)));
    const size = z[smoothingAt] ?? 0;
    for (let i = 0; i < outputs.count; i++) drawn![d * outputs.count + i] += more[i] * size;
  }

  const linear = linearIntervals(outputs, causes, effects, noise, noiseCount);
  const intervals = drawn ? drawnIntervals(outputs, drawn, drawCount, linear) : linear;
  return {
    record: withIntervals(analysed.record, intervals),
    options,
    groups,
    causes,
    outputs,
    intervals,
    effects,
    noise,
    noiseDraws: noiseCount,
    drawn,
  };
}

/** How the heights are smoothed that the velocity of a lift is read from: those of the bar, of the hips where it is not tracked. */
function velocitySmoothing({ data, reconstruction: { smoothed } }: AnalysedRecording) {
  const { landmarks, cutoffHz, frameRateHz } = smoothed;
  const of = landmarks.indexOf('bar_left_end') >= 0 ? 'bar_left_end' : 'left_hip';
  return {
    smoothing: data.recording.settings.smoothing,
    cutoffHz: cutoffHz[landmarks.indexOf(of)] ?? Number.NaN,
    frameRateHz,
  };
}

/** Reads one run of the chain; a run that the analysis would refuse (a trunk of no human length …) knows nothing. */
function readDrawInto(out: Float64Array, o: number, outputs: Outputs, run: () => LiftRecord): void {
  let record: LiftRecord;
  try {
    record = run();
  } catch (error) {
    if (!(error instanceof DataError)) throw error;
    out.fill(Number.NaN, o, o + outputs.count);
    return;
  }
  outputs.readInto(out, o, record);
}

/** One cause at +1 standard deviation, or at −1 turned over where +1 leaves a number unknown; NaN where both do. */
function effectOf(
  chain: Chain,
  causes: readonly Cause[],
  k: number,
  z: Float64Array,
  outputs: Outputs,
  out: Float64Array,
): void {
  const at = (value: number, into: Float64Array) => {
    z.fill(0);
    z[k] = value;
    readDrawInto(into, 0, outputs, () => chain(causes, z, null));
    for (let i = 0; i < into.length; i++) into[i] = (into[i] - outputs.values[i]) / value;
  };
  at(1, out);
  if (!out.some((effect, i) => Number.isNaN(effect) && !Number.isNaN(outputs.values[i]))) return;
  const down = new Float64Array(out.length);
  at(-1, down);
  for (let i = 0; i < out.length; i++) if (Number.isNaN(out[i])) out[i] = down[i];
}

function withIntervals(record: LiftRecord, { lower, upper }: Intervals): LiftRecord {
  const m = record.measures.length;
  return {
    ...record,
    measures: record.measures.map((value, i) =>
      upper[i] === Number.POSITIVE_INFINITY
        ? { ...value, ...NO_RATIO, reason: ratioUnbounded() }
        : { ...value, lower: withinBounds(value.measure, lower[i]), upper: withinBounds(value.measure, upper[i]) },
    ),
    curves:
      lower.length === m
        ? record.curves
        : record.curves.map((point, i) =>
            upper[m + i] === Number.POSITIVE_INFINITY
              ? { ...point, ...NO_RATIO, reason: ratioUnbounded() }
              : { ...point, lower: lower[m + i], upper: upper[m + i] },
          ),
  };
}

/** A ratio whose interval has no end is none: it is known only where the interval of its denominator excludes 0. */
const NO_RATIO = { value: Number.NaN, lower: Number.NaN, upper: Number.NaN } as const;
