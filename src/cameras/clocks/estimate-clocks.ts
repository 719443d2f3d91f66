import type { KeypointTrack } from '../../capture/recording.ts';
import { clockCameraMissing, clockNotDetermined, clockNotes } from '../../messages/clocks.ts';
import { studentQuantile } from '../../numerics/student.ts';
import type { Camera, CameraRig } from '../rig.ts';
import {
  type Context,
  type Converged,
  converge,
  offsetParameters,
  type Parameter,
  type ParameterKind,
  requireMovement,
  typicalScale,
} from './converge-clocks.ts';
import { DRIFT_PROBABILITY, WIDEST_OFFSET_FRAMES, WIDEST_READOUT_S } from './limits.ts';
import { kernelHalfWidthS, normalisedView, smoothTracks } from './smooth-view.ts';
import { startOffsets } from './start-offsets.ts';
import type { TimingFit } from './timing-regression.ts';

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
  tracks: readonly KeypointTrack[],
  rig: CameraRig,
  options: ClockOptions = {},
): ClockEstimate {
  const cameras = camerasOf(tracks, rig);
  const halfWidthS = kernelHalfWidthS(tracks);
  const views = tracks.map((track, v) => normalisedView(smoothTracks(track, halfWidthS), cameras[v]));
  const context: Context = { tracks, views, cameras, notes: [] };

  const start = startOffsets(context, options.startS);
  const offsets = converge(context, start, offsetParameters(tracks));
  requireDetermined(context, offsets);
  const drifting = options.drift === 'none' ? null : withDrift(context, offsets);
  const before = drifting?.kept ?? offsets;
  const found = withReadout(context, before, options.estimateReadout ?? []);
  return conclude(context, found, drifting);
}

export function camerasOf(tracks: readonly KeypointTrack[], rig: CameraRig): Camera[] {
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
      notes: fit.intervalFrom === 'blocks' ? [...notes, clockNotes.unsteadyNoise()] : notes,
    },
  };
}
