import type { KeypointTrack } from '../../capture/recording.ts';
import { clockNotDetermined } from '../../messages/clocks.ts';
import { median } from '../../numerics/statistics.ts';
import type { Camera } from '../rig.ts';
import { type EpipolarSeries, emptySeries, epipolarSeriesInto, type SeriesKey, seriesKeys } from './epipolar-series.ts';
import { COMPARE_STEP_S, LEAST_AGREEMENT, LEAST_SHARED_S } from './limits.ts';
import type { SmoothView } from './smooth-view.ts';
import type { SampleChoice, TimingOf } from './timing-least-squares.ts';
import { fitTiming, type TimingFit, timingError } from './timing-regression.ts';
import { type ClockState, lengthS } from './view-time.ts';

/** What is compared, and the notes made on the way. */
export interface Context {
  readonly tracks: readonly KeypointTrack[];
  readonly views: readonly SmoothView[];
  readonly cameras: readonly Camera[];
  readonly notes: string[];
}

export type ParameterKind = 'offset' | 'drift' | 'readout';
export interface Parameter {
  readonly kind: ParameterKind;
  readonly camera: number;
}

export interface Converged {
  readonly clocks: ClockState;
  readonly parameters: readonly Parameter[];
  readonly fit: TimingFit;
  readonly series: EpipolarSeries;
}

/** Most steps from the start to the answer, and the step that ends it, seconds. */
const MOST_STEPS = 25;
const SMALLEST_STEP_S = 1e-6;
/** The same where starts are only compared. */
export const RANKING_STEP_S = 1e-3;
/** Where outliers come and go at the limit, the steps may go to and fro for ever: after so many, those of the last step stay. */
const ORDINARY_STEPS = 10;
/** No step moves an offset further than this, seconds: a repetition's turning points are further apart. */
export const LONGEST_STEP_S = 0.25;

export const offsetParameters = (tracks: readonly KeypointTrack[]): Parameter[] =>
  tracks.slice(1).map((_, i) => ({ kind: 'offset', camera: i + 1 }));

export function timingOf({ kind, camera }: Parameter): TimingOf {
  return ({ keys, timeA, timeB, rowA, rowB }, s, at) => {
    const sign = keys[s].b === camera ? 1 : keys[s].a === camera ? -1 : 0;
    if (sign === 0 || kind === 'offset') return sign;
    if (kind === 'drift') return sign * (sign > 0 ? timeB[at] : timeA[at]);
    return sign * (sign > 0 ? rowB[at] : rowA[at]);
  };
}

export const typicalScale = (fit: TimingFit): number => median([...fit.scalePx].filter((scale) => scale >= 0));

/** Gauss–Newton from `start` until the steps vanish. Errors: clock-not-determined. */
export function converge(
  context: Context,
  start: ClockState,
  parameters: readonly Parameter[],
  smallestStepS = SMALLEST_STEP_S,
): Converged {
  const clocks: ClockState = {
    offsetS: start.offsetS.slice(),
    drift: start.drift.slice(),
    readoutS: start.readoutS.slice(),
  };
  const keys = seriesKeys(context.views);
  const timings = parameters.map(timingOf);
  let series = compared(context, keys, clocks);
  let span = Number.NaN;
  let kept: SampleChoice | null = null;
  for (let step = 0; step < MOST_STEPS; step++) {
    // The compared time follows the offsets while they still move much, then stays, so that the sums run over the same instants.
    if (!(span <= COMPARE_STEP_S) && kept === null) series = compared(context, keys, clocks);
    epipolarSeriesInto(series, context.views, context.cameras, clocks);
    const found = timingError(series, timings, kept);
    const moved = apply(clocks, parameters, found.error, lengthS(context.tracks[0]));
    if (!Number.isFinite(moved)) break;
    span = moved;
    if (step >= ORDINARY_STEPS) kept = found.choice;
    if (moved > smallestStepS) continue;
    epipolarSeriesInto(series, context.views, context.cameras, clocks);
    return { clocks, parameters, fit: fitTiming(series, timings, kept), series };
  }
  // Where nothing moves the steps go anywhere: say that, and not that they did.
  series = compared(context, keys, start);
  epipolarSeriesInto(series, context.views, context.cameras, start);
  requireMovement(context.tracks.at(-1)!.camera, fitTiming(series, timings));
  throw clockNotDetermined(context.tracks.at(-1)!.camera, 'no-convergence');
}

/** The time all pairs are compared over: whatever any two views share. */
function compared(context: Context, keys: readonly SeriesKey[], clocks: ClockState): EpipolarSeries {
  const spans = context.views.map((view, v) => {
    const from = clocks.offsetS[v] + view.firstS;
    return { from, to: from + (view.count - 1) * view.stepS * (1 + clocks.drift[v]) };
  });
  const startS = Math.max(...spans.map(({ from }) => from));
  const endS = Math.min(...spans.map(({ to }) => to));
  if (endS - startS < LEAST_SHARED_S) {
    throw clockNotDetermined(context.tracks.at(-1)!.camera, 'too-little-shared-time', {
      sharedS: Math.max(0, endS - startS),
      limitS: LEAST_SHARED_S,
    });
  }
  return emptySeries(keys, startS, COMPARE_STEP_S, Math.floor((endS - startS) / COMPARE_STEP_S) + 1);
}

/** Takes the found errors off the clocks; returns the largest change in seconds. */
function apply(clocks: ClockState, parameters: readonly Parameter[], error: Float64Array, wholeS: number): number {
  let largest = 0;
  const sizes = parameters.map(({ kind }, j) => Math.abs(error[j]) * (kind === 'drift' ? wholeS : 1));
  const shorten = Math.min(1, LONGEST_STEP_S / Math.max(...sizes, 1e-12));
  parameters.forEach(({ kind, camera }, j) => {
    if (!Number.isFinite(error[j])) {
      largest = Number.NaN;
      return;
    }
    const values = kind === 'offset' ? clocks.offsetS : kind === 'drift' ? clocks.drift : clocks.readoutS;
    values[camera] -= shorten * error[j];
    largest = Math.max(largest, shorten * sizes[j]);
  });
  return largest;
}

export function requireMovement(camera: string, { agreement }: TimingFit): void {
  if (agreement >= LEAST_AGREEMENT) return;
  throw clockNotDetermined(camera, 'no-movement-across', { agreement: Math.max(0, agreement), limit: LEAST_AGREEMENT });
}
