import type { CameraRig } from '../cameras/rig.ts';
import type { RecordingData } from '../capture/recording.ts';
import { rigMissing } from '../messages/reconstruction.ts';
import type { Evidence } from './evidence.ts';
import { fillGaps, longestGapFrames } from './gaps.ts';
import { type LabFrame, turnToLab } from './lab-frame.ts';
import { type MeasuredPoints, pointsFromFile, pointsFromViews } from './measured-points.ts';
import { noiseModel } from './noise-model.ts';
import { assessQuality } from './quality.ts';
import { type Response, responseOf } from './response.ts';
import { type Smoothed, smooth } from './smooth.ts';
import type { Trajectories } from './trajectories.ts';
import { velocityPoints } from './velocity-points.ts';

export interface Reconstruction {
  /** As measured, turned to lab axes: no gap filled, nothing smoothed. */
  readonly raw: Trajectories;
  /** Short gaps filled, then low-pass filtered. */
  readonly smoothed: Trajectories;
  /** labFromWorld, row-major 3 × 3, a rotation about Y from the axes of the rig's world or of the 3D file. */
  readonly turn: Float64Array;
  /** What the points rest on and how large their errors are. */
  readonly evidence: Evidence;
  /** How the smoothed points move when the raw ones do. */
  readonly respond: Response;
  /** How the points for velocities move when the raw ones do: all landmarks in, those of `smoothed.forVelocity` out. */
  readonly respondVelocity: (displacement: Float64Array) => Float64Array;
}

/**
 * From keypoints of two or more views, or from 3D points, to trajectories in the lab frame (X forward, Y up, Z right;
 * metres).
 *
 * Clock, triangulation, lab frame, gaps, filter: docs/method/reconstruction.md. `rig` is null for 3D points.
 * Every departure and caution stands in `quality.notes`. Errors: src/messages/reconstruction.ts, and those of the
 * plausibility check.
 */
export function reconstruct(data: RecordingData, rig: CameraRig | null): Reconstruction {
  const { file, settings } = data.recording;
  const notes: string[] = [...(data.notes ?? [])];
  const points = measuredPoints(data, rig, notes);
  const frame = turnToLab(file, points, notes);
  const raw = trajectories(points, frame, asMeasured(points), points.status, notes);

  const position = points.position.slice();
  const status = points.status.slice();
  const { landmarks, frames, frameRateHz } = points;
  fillGaps(position, status, landmarks.length, frames, longestGapFrames(settings.gapLimitS, frameRateHz));
  const smoothed = smooth(file, landmarks, position, status, frames, frameRateHz, settings.smoothing, notes);
  const quick = velocityPoints(points, settings, smoothed);
  return {
    raw,
    smoothed: { ...trajectories(points, frame, smoothed, status, notes), forVelocity: quick.points },
    turn: frame.turn,
    evidence: noiseModel(points, frame.turn),
    respond: responseOf(points, settings, smoothed),
    respondVelocity: quick.respond,
  };
}

function measuredPoints(data: RecordingData, rig: CameraRig | null, notes: string[]): MeasuredPoints {
  if (data.points !== null) return pointsFromFile(data.points);
  if (rig === null) throw rigMissing(data.recording.file);
  return pointsFromViews(data.recording.file, data.tracks ?? [], rig, notes);
}

function asMeasured(points: MeasuredPoints): Smoothed {
  return {
    position: points.position,
    status: points.status,
    cutoffHz: new Float64Array(points.landmarks.length).fill(Number.NaN),
  };
}

function trajectories(
  points: MeasuredPoints,
  frame: LabFrame,
  result: Smoothed,
  beforeEdges: Uint8Array,
  notes: readonly string[],
): Trajectories {
  return {
    frameRateHz: points.frameRateHz,
    frames: points.frames,
    startS: points.startS,
    landmarks: points.landmarks,
    position: result.position,
    covariance: points.covariance,
    status: result.status,
    floorHeightM: frame.floorHeightM,
    cutoffHz: result.cutoffHz,
    quality: assessQuality(points, frame, beforeEdges, result.status, result.cutoffHz, notes),
  };
}
