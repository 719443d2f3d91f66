import type { Landmark } from '../../capture/landmarks.ts';
import type { KeypointTrack } from '../../capture/recording.ts';
import { SampleStatus } from '../../capture/sample-status.ts';
import { median } from '../../numerics/statistics.ts';
import { projectCameraPointInto, undistortInto } from '../camera-model.ts';
import type { Camera } from '../rig.ts';
import {
  LEAST_SAMPLES_IN_KERNEL,
  OUTLIER_SCALES,
  ROUGH_FIT_RATIO,
  SMOOTHING_HALF_WIDTH_S,
  TRACK_STEP_S,
} from './limits.ts';
import { frameTimeS, lengthS } from './view-time.ts';

/**
 * Smoothed tracks of one view on its own clock, at `firstS + i · stepS`, landmark-major: `landmark * count + i`.
 * NaN in all columns where a track is not known there.
 */
export interface SmoothTracks {
  readonly firstS: number;
  readonly stepS: number;
  readonly count: number;
  readonly landmarks: readonly Landmark[];
  /** Place and velocity in the picture: px and px/s. */
  readonly u: Float64Array;
  readonly v: Float64Array;
  readonly uVelocity: Float64Array;
  readonly vVelocity: Float64Array;
}

/** The same in normalised, undistorted coordinates (x/z, y/z; 1 and 1/s), and the image row as a share of the height. */
export interface SmoothView {
  readonly firstS: number;
  readonly stepS: number;
  readonly count: number;
  readonly landmarks: readonly Landmark[];
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly xVelocity: Float64Array;
  readonly yVelocity: Float64Array;
  readonly row: Float64Array;
}

/** Half width of the kernel for a set of views, seconds: one for all, or slow and fast cameras would be damped unlike. */
export function kernelHalfWidthS(tracks: readonly KeypointTrack[]): number {
  const slowest = Math.max(...tracks.map((track) => lengthS(track) / (track.frames - 1)));
  return Math.max(SMOOTHING_HALF_WIDTH_S, (LEAST_SAMPLES_IN_KERNEL / 2) * slowest);
}

/**
 * Local parabolas through the seen samples (Savitzky & Golay 1964, with the tricube weights of Cleveland 1979), which
 * take uneven times and missing samples as they come. Samples far off their own track, and places where the track
 * scatters unusually (it jumps to another point), are left out.
 */
export function smoothTracks(track: KeypointTrack, halfWidthS: number): SmoothTracks {
  const firstS = frameTimeS(track, 0);
  const count = Math.floor(lengthS(track) / TRACK_STEP_S) + 1;
  const size = count * track.landmarks.length;
  const tracks = {
    firstS,
    stepS: TRACK_STEP_S,
    count,
    landmarks: track.landmarks,
    u: new Float64Array(size),
    v: new Float64Array(size),
    uVelocity: new Float64Array(size),
    vVelocity: new Float64Array(size),
  };
  const samples = {
    time: new Float64Array(track.frames),
    u: new Float64Array(track.frames),
    v: new Float64Array(track.frames),
  };
  const scatter = new Float64Array(count);
  for (let l = 0; l < track.landmarks.length; l++) {
    let seen = 0;
    for (let k = 0; k < track.frames; k++) {
      const from = k * track.landmarks.length + l;
      if (track.status[from] !== SampleStatus.seen) continue;
      samples.time[seen] = frameTimeS(track, k);
      samples.u[seen] = track.pixel[2 * from];
      samples.v[seen] = track.pixel[2 * from + 1];
      seen++;
    }
    smoothColumnInto(tracks, l, samples, seen, halfWidthS, scatter);
    const kept = dropOutliers(tracks, l, samples, seen);
    if (kept < seen) smoothColumnInto(tracks, l, samples, kept, halfWidthS, scatter);
    dropRoughStretches(tracks, l, scatter);
  }
  return tracks;
}

interface Samples {
  readonly time: Float64Array;
  readonly u: Float64Array;
  readonly v: Float64Array;
}

/** Least samples under a parabola that says something of its own scatter. */
const LEAST_IN_FIT = 5;

/** One landmark; `scatter` gets the mean square distance of the samples in each kernel from its parabola, px². */
function smoothColumnInto(
  out: SmoothTracks,
  landmark: number,
  samples: Samples,
  seen: number,
  halfWidthS: number,
  scatter: Float64Array,
): void {
  let from = 0;
  for (let i = 0; i < out.count; i++) {
    const at = landmark * out.count + i;
    const centreS = out.firstS + i * out.stepS;
    while (from < seen && samples.time[from] <= centreS - halfWidthS) from++;
    if (!fitParabolaInto(out, at, samples, from, seen, centreS, halfWidthS, scatter, i)) {
      out.u[at] = out.v[at] = out.uVelocity[at] = out.vVelocity[at] = Number.NaN;
      scatter[i] = Number.NaN;
    }
  }
}

function fitParabolaInto(
  out: SmoothTracks,
  at: number,
  samples: Samples,
  from: number,
  seen: number,
  centreS: number,
  halfWidthS: number,
  scatter: Float64Array,
  i: number,
): boolean {
  let s0 = 0;
  let s1 = 0;
  let s2 = 0;
  let s3 = 0;
  let s4 = 0;
  let u0 = 0;
  let u1 = 0;
  let u2 = 0;
  let v0 = 0;
  let v1 = 0;
  let v2 = 0;
  let squares = 0;
  let before = 0;
  let after = 0;
  const uBase = samples.u[from];
  const vBase = samples.v[from];
  for (let k = from; k < seen; k++) {
    const s = (samples.time[k] - centreS) / halfWidthS;
    if (s >= 1) break;
    if (s <= 0) before++;
    if (s >= 0) after++;
    const inner = 1 - Math.abs(s * s * s);
    const w = inner * inner * inner;
    const ws = w * s;
    const wss = ws * s;
    const u = samples.u[k] - uBase;
    const v = samples.v[k] - vBase;
    s0 += w;
    s1 += ws;
    s2 += wss;
    s3 += wss * s;
    s4 += wss * s * s;
    u0 += w * u;
    u1 += ws * u;
    u2 += wss * u;
    v0 += w * v;
    v1 += ws * v;
    v2 += wss * v;
    squares += w * (u * u + v * v);
  }
  // Never beyond the samples: at least two on each side.
  if (before < 2 || after < 2 || before + after < LEAST_IN_FIT) return false;
  const c00 = s2 * s4 - s3 * s3;
  const c01 = s2 * s3 - s1 * s4;
  const c02 = s1 * s3 - s2 * s2;
  const c11 = s0 * s4 - s2 * s2;
  const c12 = s1 * s2 - s0 * s3;
  const c22 = s0 * s2 - s1 * s1;
  const determinant = s0 * c00 + s1 * c01 + s2 * c02;
  // A full kernel has 0.0036 s0³; samples bunched in two places leave the curvature open.
  if (!(determinant > 1e-4 * s0 * s0 * s0)) return false;
  const ua = (c00 * u0 + c01 * u1 + c02 * u2) / determinant;
  const ub = (c01 * u0 + c11 * u1 + c12 * u2) / determinant;
  const uc = (c02 * u0 + c12 * u1 + c22 * u2) / determinant;
  const va = (c00 * v0 + c01 * v1 + c02 * v2) / determinant;
  const vb = (c01 * v0 + c11 * v1 + c12 * v2) / determinant;
  const vc = (c02 * v0 + c12 * v1 + c22 * v2) / determinant;
  out.u[at] = ua + uBase;
  out.v[at] = va + vBase;
  out.uVelocity[at] = ub / halfWidthS;
  out.vVelocity[at] = vb / halfWidthS;
  scatter[i] = Math.max(0, squares - (ua * u0 + ub * u1 + uc * u2) - (va * v0 + vb * v1 + vc * v2)) / s0;
  return true;
}

/** Moves the samples near their smoothed track to the front; returns how many. The scale is the median absolute deviation. */
function dropOutliers(tracks: SmoothTracks, landmark: number, samples: Samples, seen: number): number {
  const distances = new Float64Array(seen);
  const known: number[] = [];
  for (let k = 0; k < seen; k++) {
    const nearest = Math.min(tracks.count - 1, Math.round((samples.time[k] - tracks.firstS) / tracks.stepS));
    const at = landmark * tracks.count + nearest;
    const aheadS = samples.time[k] - tracks.firstS - nearest * tracks.stepS;
    const du = samples.u[k] - tracks.u[at] - aheadS * tracks.uVelocity[at];
    const dv = samples.v[k] - tracks.v[at] - aheadS * tracks.vVelocity[at];
    distances[k] = Math.max(Math.abs(du), Math.abs(dv));
    if (distances[k] >= 0) known.push(distances[k]);
  }
  if (known.length === 0) return seen;
  // The larger of two normal absolute values has its median at 1.05 standard deviations.
  const limit = (OUTLIER_SCALES * median(known)) / 1.05;
  let kept = 0;
  for (let k = 0; k < seen; k++) {
    if (distances[k] > limit) continue;
    samples.time[kept] = samples.time[k];
    samples.u[kept] = samples.u[k];
    samples.v[kept] = samples.v[k];
    kept++;
  }
  return kept;
}

function dropRoughStretches(tracks: SmoothTracks, landmark: number, scatter: Float64Array): void {
  const known = scatter.filter((value) => value >= 0);
  if (known.length === 0) return;
  const limit = ROUGH_FIT_RATIO ** 2 * median(known);
  for (let i = 0; i < tracks.count; i++) {
    if (!(scatter[i] > limit)) continue;
    const at = landmark * tracks.count + i;
    tracks.u[at] = tracks.v[at] = tracks.uVelocity[at] = tracks.vVelocity[at] = Number.NaN;
  }
}

const pixel = new Float64Array(2);
const slope = new Float64Array(6);

/** Lens taken off: places by the inverse of the camera model, velocities by the inverse of its Jacobian. */
export function normalisedView(tracks: SmoothTracks, camera: Camera): SmoothView {
  const size = tracks.u.length;
  const x = new Float64Array(size);
  const y = new Float64Array(size);
  const xVelocity = new Float64Array(size);
  const yVelocity = new Float64Array(size);
  const row = new Float64Array(size);
  for (let at = 0; at < size; at++) {
    if (Number.isNaN(tracks.u[at]) || !undistortInto(pixel, 0, camera, tracks.u[at], tracks.v[at])) {
      x[at] = y[at] = xVelocity[at] = yVelocity[at] = row[at] = Number.NaN;
      continue;
    }
    x[at] = pixel[0];
    y[at] = pixel[1];
    row[at] = tracks.v[at] / camera.imageHeight;
    projectCameraPointInto(pixel, 0, slope, 0, camera, x[at], y[at], 1);
    const determinant = slope[0] * slope[4] - slope[1] * slope[3];
    xVelocity[at] = (slope[4] * tracks.uVelocity[at] - slope[1] * tracks.vVelocity[at]) / determinant;
    yVelocity[at] = (slope[0] * tracks.vVelocity[at] - slope[3] * tracks.uVelocity[at]) / determinant;
  }
  const { firstS, stepS, count, landmarks } = tracks;
  return { firstS, stepS, count, landmarks, x, y, xVelocity, yVelocity, row };
}
