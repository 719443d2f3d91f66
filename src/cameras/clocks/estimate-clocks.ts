import { clockCameraMissing, clockNotDetermined, clockNotes } from '../../messages/clocks.ts';
import { median } from '../../numerics/statistics.ts';
import { studentQuantile } from '../../numerics/student.ts';
import type { Camera, CameraRig } from '../rig.ts';
import { type EpipolarSeries, emptySeries, epipolarSeriesInto, seriesKeys } from './epipolar-series.ts';
import {
  COMPARE_STEP_S,
  DRIFT_PROBABILITY,
  LEAST_AGREEMENT,
  LEAST_SHARED_S,
  RIVAL_RESIDUAL_FACTOR,
  WIDEST_OFFSET_FRAMES,
  WIDEST_READOUT_S,
} from './limits.ts';
import { roughOffset } from './rough-offset.ts';
import { kernelHalfWidthS, normalisedView, type SmoothView, smoothTracks } from './smooth-view.ts';
import { fitTiming, type SampleChoice, type TimingFit, type TimingOf, timingError } from './timing-regression.ts';
import { type ClockState, lengthS, type TimedTrack } from './view-time.ts';

/** The clock of one camera against that of the first. */
export interface CameraClock {
  readonly camera: string;
  /** Time of frame 0 on the common clock (that of the first camera, whose own offset is as its track states), seconds. */
  readonly offsetS: number;
  /** Half width of its 95 % interval, seconds; 0 for the first camera. */
  readonly halfWidth95S: number;
  /** Common seconds that pass in one second of this camera's frame times, minus 1; 0 where none is seen. */
  readonly drift: number;
  /** Half width of the drift's 95 % interval; null where it could not be fitted. Where `drift` is 0: what it may be (bound). */
  readonly driftHalfWidth95: number | null;
  readonly readoutS: number;
  /** Half width of its 95 % interval, seconds; null where the readout is as stated. */
  readonly readoutHalfWidth95S: number | null;
}

export interface ClockEstimate {
  readonly cameras: readonly CameraClock[];
  readonly quality: ClockQuality;
}

export interface ClockQuality {
  /** Agreement of the views about the movement across their epipolar lines, −1 to 1. */
  readonly agreement: number;
  /** Median over the compared points of the robust scatter of the smoothed residual, px. */
  readonly residualPx: number;
  /** Instants used, and those that two views know. */
  readonly used: number;
  readonly known: number;
  readonly intervalFrom: TimingFit['intervalFrom'];
  readonly notes: readonly string[];
}

export interface ClockOptions {
  /** Offsets to start from, one a view, seconds, right to about 0.2 s; absent: by `roughOffset`. */
  readonly startS?: readonly number[];
  /** 'auto': kept where it differs from 0 beyond chance. Default 'auto'. */
  readonly drift?: 'auto' | 'none';
  /** Cameras whose readout time is to be found; those of the others are as their tracks state. Default none. */
  readonly estimateReadout?: readonly string[];
}

/** Most steps from the start to the answer, and the step that ends it, seconds. */
const MOST_STEPS = 25;
const SMALLEST_STEP_S = 1e-6;
/** The same where starts are only compared. */
const RANKING_STEP_S = 1e-3;
/** Where outliers come and go at the limit, the steps may go to and fro for ever: after so many, those of the last step stay. */
const ORDINARY_STEPS = 10;
/** No step moves an offset further than this, seconds: a repetition's turning points are further apart. */
const LONGEST_STEP_S = 0.25;

/**
 * Clock of each camera against the first, from the movement of the landmarks that two views report.
 *
 * The rig says on which line of one picture a point of the other must lie; a camera whose time is wrong by δ shows a
 * moving point δ · (speed across that line) beside it. All points, views and instants together give δ by least squares
 * (`timing-regression.ts`), and the tracks are compared again at the corrected times until nothing changes (Gauss–Newton,
 * points eliminated by the epipolar constraint). Neither scale nor vertical of the rig matter.
 * Errors: clock-camera-missing, clock-not-determined (with `reason`).
 */
export function estimateClocks(
  tracks: readonly TimedTrack[],
  rig: CameraRig,
  options: ClockOptions = {},
): ClockEstimate {
  const cameras = camerasOf(tracks, rig);
  const halfWidthS = kernelHalfWidthS(tracks);
  const views = tracks.map((track, v) => normalisedView(smoothTracks(track, halfWidthS), cameras[v]));
  const context: Context = { tracks, views, cameras, notes: [] };

  const start = startOffsets(context, options);
  const offsets = converge(context, start, offsetParameters(tracks));
  requireDetermined(context, offsets);
  const drifting = options.drift === 'none' ? null : withDrift(context, offsets);
  const before = drifting?.kept ?? offsets;
  const found = withReadout(context, before, options.estimateReadout ?? []);
  return conclude(context, found, drifting);
}

interface Context {
  readonly tracks: readonly TimedTrack[];
  readonly views: readonly SmoothView[];
  readonly cameras: readonly Camera[];
  readonly notes: string[];
}

type ParameterKind = 'offset' | 'drift' | 'readout';
interface Parameter {
  readonly kind: ParameterKind;
  readonly camera: number;
}

interface Converged {
  readonly clocks: ClockState;
  readonly parameters: readonly Parameter[];
  readonly fit: TimingFit;
  readonly series: EpipolarSeries;
}

export function camerasOf(tracks: readonly TimedTrack[], rig: CameraRig): Camera[] {
  return tracks.map(({ camera }) => {
    const found = rig.cameras.find(({ name }) => name === camera);
    if (!found)
      throw clockCameraMissing(
        camera,
        rig.cameras.map(({ name }) => name),
      );
    return found;
  });
}

const offsetParameters = (tracks: readonly TimedTrack[]): Parameter[] =>
  tracks.slice(1).map((_, i) => ({ kind: 'offset', camera: i + 1 }));

export function timingOf({ kind, camera }: Parameter): TimingOf {
  return ({ keys, timeA, timeB, rowA, rowB }, s, at) => {
    const sign = keys[s].b === camera ? 1 : keys[s].a === camera ? -1 : 0;
    if (sign === 0 || kind === 'offset') return sign;
    if (kind === 'drift') return sign * (sign > 0 ? timeB[at] : timeA[at]);
    return sign * (sign > 0 ? rowB[at] : rowA[at]);
  };
}

/** Starts as given, or the rough offset; where rough rivals exist, the one whose views fit clearly best. */
function startOffsets(context: Context, { startS }: ClockOptions): ClockState {
  const { tracks } = context;
  const clocks = (offsets: ArrayLike<number>): ClockState => ({
    offsetS: Float64Array.from(offsets),
    drift: new Float64Array(tracks.length),
    readoutS: Float64Array.from(tracks, ({ readoutS }) => readoutS),
  });
  if (startS) return clocks(startS);
  const rough = roughOffset(tracks);
  const offsets = rough.map(({ offsetS }) => offsetS);
  for (let v = 1; v < tracks.length; v++) {
    if (rough[v].rivals.length === 0) continue;
    context.notes.push(...rough[v].notes);
    const candidates = [rough[v].offsetS, ...rough[v].rivals.map(({ offsetS }) => offsetS)];
    offsets[v] = bestOf(context, v, offsets[0], candidates);
  }
  return clocks(offsets);
}

/** Of several starts of one view, the one with the smallest residuals against the first view. */
function bestOf(context: Context, v: number, firstOffsetS: number, candidates: readonly number[]): number {
  const pair: Context = {
    tracks: [context.tracks[0], context.tracks[v]],
    views: [context.views[0], context.views[v]],
    cameras: [context.cameras[0], context.cameras[v]],
    notes: [],
  };
  const ranked = candidates
    .map((offsetS) => {
      const start = {
        offsetS: Float64Array.of(firstOffsetS, offsetS),
        drift: new Float64Array(2),
        readoutS: Float64Array.of(context.tracks[0].readoutS, context.tracks[v].readoutS),
      };
      try {
        const { clocks, fit } = converge(pair, start, [{ kind: 'offset', camera: 1 }], RANKING_STEP_S);
        return { offsetS: clocks.offsetS[1], scalePx: typicalScale(fit) };
      } catch {
        return { offsetS, scalePx: Number.POSITIVE_INFINITY };
      }
    })
    .sort((a, b) => a.scalePx - b.scalePx);
  const rival = ranked.find(({ offsetS }) => Math.abs(offsetS - ranked[0].offsetS) > LONGEST_STEP_S);
  if (rival && rival.scalePx < RIVAL_RESIDUAL_FACTOR * ranked[0].scalePx) {
    throw clockNotDetermined(context.tracks[v].camera, 'repetitions-alike', {
      offsetS: ranked[0].offsetS,
      rivalS: rival.offsetS,
      scalePx: ranked[0].scalePx,
      rivalPx: rival.scalePx,
    });
  }
  return ranked[0].offsetS;
}

const typicalScale = (fit: TimingFit): number => median([...fit.scalePx].filter((scale) => scale >= 0));

function converge(
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
function compared(context: Context, keys: ReturnType<typeof seriesKeys>, clocks: ClockState): EpipolarSeries {
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

function requireDetermined({ tracks }: Context, { fit, parameters }: Converged): void {
  const slowest = Math.max(...tracks.map(({ frameRateHz }) => 1 / frameRateHz));
  const limitS = WIDEST_OFFSET_FRAMES * slowest;
  parameters.forEach(({ camera }, j) => {
    const name = tracks[camera].camera;
    requireMovement(name, fit);
    if (!(fit.halfWidth95[j] <= limitS)) {
      throw clockNotDetermined(name, 'interval-too-wide', { halfWidthS: fit.halfWidth95[j], limitS });
    }
  });
}

function requireMovement(camera: string, { agreement }: TimingFit): void {
  if (agreement >= LEAST_AGREEMENT) return;
  throw clockNotDetermined(camera, 'no-movement-across', { agreement: Math.max(0, agreement), limit: LEAST_AGREEMENT });
}

interface Drifting {
  /** The clocks with the drifts that are seen, the others 0. */
  readonly kept: Converged;
  readonly seen: readonly boolean[];
  readonly halfWidth95: readonly (number | null)[];
}

/** Fits a drift a camera; keeps those that zero does not explain. */
function withDrift(context: Context, offsets: Converged): Drifting {
  const { tracks } = context;
  const drifts = offsetParameters(tracks).map(({ camera }): Parameter => ({ kind: 'drift', camera }));
  const none = { kept: offsets, seen: tracks.map(() => false), halfWidth95: tracks.map(() => null) };
  let all: Converged;
  try {
    all = converge(context, offsets.clocks, [...offsets.parameters, ...drifts]);
  } catch {
    return none;
  }
  const halfWidth95: (number | null)[] = tracks.map(() => null);
  const seen = tracks.map(() => false);
  drifts.forEach(({ camera }, i) => {
    const j = offsets.parameters.length + i;
    const sd = Math.sqrt(all.fit.covariance[j * all.parameters.length + j]);
    const drift = all.clocks.drift[camera];
    const half = all.fit.halfWidth95[j];
    if (!Number.isFinite(half)) return;
    seen[camera] = Math.abs(drift) > studentQuantile(1 - DRIFT_PROBABILITY / 2, all.fit.freedom[j]) * sd;
    halfWidth95[camera] = seen[camera] ? half : Math.abs(drift) + half;
    const name = tracks[camera].camera;
    context.notes.push(
      seen[camera] ? clockNotes.driftFound(name, drift, half) : clockNotes.driftBound(name, halfWidth95[camera]!),
    );
  });
  if (!seen.some(Boolean)) return { kept: offsets, seen, halfWidth95 };
  const keptDrifts = drifts.filter(({ camera }) => seen[camera]);
  if (keptDrifts.length === drifts.length) return { kept: all, seen, halfWidth95 };
  return { kept: converge(context, offsets.clocks, [...offsets.parameters, ...keptDrifts]), seen, halfWidth95 };
}

/** Fits the readout times asked for; those that stay open go back to what is stated. */
function withReadout(context: Context, before: Converged, wanted: readonly string[]): Converged {
  const { tracks } = context;
  let asked = tracks
    .map((_, camera): Parameter => ({ kind: 'readout', camera }))
    .filter(({ camera }) => wanted.includes(tracks[camera].camera));
  while (asked.length > 0) {
    let all: Converged | null = null;
    try {
      all = converge(context, before.clocks, [...before.parameters, ...asked]);
    } catch {
      // No answer with all of them free.
    }
    const first = before.parameters.length;
    const halves = asked.map((_, i) => all?.fit.halfWidth95[first + i] ?? Number.NaN);
    const open = halves.map((half) => !(half <= WIDEST_READOUT_S));
    if (all && !open.some(Boolean)) {
      asked.forEach(({ camera }, i) => {
        context.notes.push(clockNotes.readoutFound(tracks[camera].camera, all.clocks.readoutS[camera], halves[i]));
      });
      return all;
    }
    asked.forEach(({ camera }, i) => {
      if (open[i])
        context.notes.push(clockNotes.readoutNotDetermined(tracks[camera].camera, halves[i], WIDEST_READOUT_S));
    });
    asked = asked.filter((_, i) => !open[i]);
  }
  return before;
}

function conclude({ tracks, notes }: Context, found: Converged, drifting: Drifting | null): ClockEstimate {
  const { clocks, parameters, fit } = found;
  const half = (kind: ParameterKind, camera: number): number | null => {
    const j = parameters.findIndex((one) => one.kind === kind && one.camera === camera);
    return j < 0 ? null : fit.halfWidth95[j];
  };
  return {
    cameras: tracks.map((track, v) => ({
      camera: track.camera,
      offsetS: clocks.offsetS[v],
      halfWidth95S: half('offset', v) ?? 0,
      drift: clocks.drift[v],
      driftHalfWidth95: half('drift', v) ?? drifting?.halfWidth95[v] ?? null,
      readoutS: clocks.readoutS[v],
      readoutHalfWidth95S: half('readout', v),
    })),
    quality: {
      agreement: fit.agreement,
      residualPx: typicalScale(fit),
      used: fit.used,
      known: fit.known,
      intervalFrom: fit.intervalFrom,
      notes,
    },
  };
}
