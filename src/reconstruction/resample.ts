import { frameTime, nearestFrame } from '../capture/frame-time.ts';
import type { KeypointTrack } from '../capture/recording.ts';
import { SampleStatus } from '../capture/sample-status.ts';
import { RESAMPLING_HOLE_FRAMES } from './limits.ts';

/** Two instants closer than this are one, seconds. */
const SAME_INSTANT_S = 1e-9;

/** Two samples of one landmark nearer in time than this share of a frame interval cannot carry a cubic. */
const LEAST_SPACING_FRAMES = 0.25;

/** Where one landmark of one view is written: column `column` of `count`, `frames` rows. */
export interface ColumnTarget {
  readonly pixel: Float64Array;
  readonly status: Uint8Array;
  readonly count: number;
  readonly column: number;
  readonly frames: number;
}

/**
 * One landmark of one view at the times `startS + k / rateHz`.
 *
 * Local Lagrange cubic through the two seen samples before and the two after (at the end of a stretch, its last four);
 * a line in stretches of two or three samples. Never beyond the first or last sample, never across more than one missing
 * frame. At a sample's own time the sample itself is returned. A cubic at mid-interval has 0.64 of a sample's noise
 * variance (weights −1, 9, 9, −1 over 16), a line 0.5, so resampled views are a little smoother than they were filmed.
 * Returns the mean of that share over the samples written; 1 where there are none.
 */
export function resampleColumnInto(
  target: ColumnTarget,
  track: KeypointTrack,
  column: number,
  imageHeight: number,
  startS: number,
  rateHz: number,
): number {
  const nodes = samplesInTime(track, column, imageHeight);
  let before = -1; // last sample at or before the wanted time
  let noiseLeft = 0;
  let written = 0;
  for (let k = 0; k < target.frames; k++) {
    const time = startS + k / rateHz;
    const to = k * target.count + target.column;
    while (before + 1 < nodes.count && nodes.timeS[before + 1] <= time + SAME_INSTANT_S) before++;
    const share = interpolateInto(target.pixel, 2 * to, track, column, nodes, before, time);
    if (share > 0) {
      target.status[to] = SampleStatus.seen;
      noiseLeft += share;
      written++;
    } else {
      target.status[to] = reasonAt(track, column, time);
    }
  }
  return written === 0 ? 1 : noiseLeft / written;
}

interface TimedSamples {
  readonly count: number;
  readonly frame: Int32Array;
  readonly timeS: Float64Array;
  /** Frames without a sample between sample i − 1 and sample i, those that the camera left out among them. */
  readonly missing: Int32Array;
}

/** Seen samples of one landmark with their own times, which the rolling shutter makes depend on the row. */
function samplesInTime(track: KeypointTrack, column: number, imageHeight: number): TimedSamples {
  const frame = new Int32Array(track.frames);
  const timeS = new Float64Array(track.frames);
  const missing = new Int32Array(track.frames);
  const leastS = LEAST_SPACING_FRAMES / track.frameRateHz;
  let count = 0;
  for (let j = 0; j < track.frames; j++) {
    const from = j * track.landmarks.length + column;
    if (track.status[from] !== SampleStatus.seen) continue;
    const row = track.pixel[2 * from + 1];
    const time = frameTime(track, j) + (row / imageHeight) * track.readoutS;
    if (count > 0 && time - timeS[count - 1] < leastS) continue;
    frame[count] = j;
    timeS[count] = time;
    if (count > 0) missing[count] = framesBetween(track, frame[count - 1], j);
    count++;
  }
  return { count, frame, timeS, missing };
}

/** Frame intervals between two frames, less one; by their time stamps where the view has them, since a camera may leave frames out. */
function framesBetween({ frameTimesS, frameRateHz }: KeypointTrack, from: number, to: number): number {
  if (!frameTimesS) return to - from - 1;
  return Math.max(to - from, Math.round((frameTimesS[to] - frameTimesS[from]) * frameRateHz)) - 1;
}

/** Writes (u, v) at `time`; returns the sum of squared weights, 0 where nothing can be written. */
function interpolateInto(
  out: Float64Array,
  o: number,
  track: KeypointTrack,
  column: number,
  nodes: TimedSamples,
  before: number,
  time: number,
): number {
  if (before < 0) return 0;
  if (Math.abs(nodes.timeS[before] - time) <= SAME_INSTANT_S) {
    const from = 2 * (nodes.frame[before] * track.landmarks.length + column);
    out[o] = track.pixel[from];
    out[o + 1] = track.pixel[from + 1];
    return 1;
  }
  if (!areNeighbours(nodes, before)) return 0;
  const cubic = firstOfFour(nodes, before);
  const first = cubic < 0 ? before : cubic;
  const last = cubic < 0 ? before + 1 : cubic + 3;
  let u = 0;
  let v = 0;
  let squares = 0;
  for (let i = first; i <= last; i++) {
    let weight = 1;
    for (let m = first; m <= last; m++) {
      if (m !== i) weight *= (time - nodes.timeS[m]) / (nodes.timeS[i] - nodes.timeS[m]);
    }
    const from = 2 * (nodes.frame[i] * track.landmarks.length + column);
    u += weight * track.pixel[from];
    v += weight * track.pixel[from + 1];
    squares += weight * weight;
  }
  out[o] = u;
  out[o + 1] = v;
  return squares;
}

/** First of four samples without a hole around the interval after sample i: two on each side, else shifted inward; −1 where there are not four. */
function firstOfFour(nodes: TimedSamples, i: number): number {
  const before = areNeighbours(nodes, i - 1);
  const after = areNeighbours(nodes, i + 1);
  if (before && after) return i - 1;
  if (after && areNeighbours(nodes, i + 2)) return i;
  if (before && areNeighbours(nodes, i - 2)) return i - 2;
  return -1;
}

/** Whether samples i and i + 1 exist and lie close enough to interpolate between. */
function areNeighbours(nodes: TimedSamples, i: number): boolean {
  return i >= 0 && i + 1 < nodes.count && nodes.missing[i + 1] <= RESAMPLING_HOLE_FRAMES;
}

/** Why there is no sample: the status of the nearest frame that is not seen, else occluded. */
function reasonAt(track: KeypointTrack, column: number, time: number): number {
  const nearest = nearestFrame(track, time);
  for (const j of [nearest, nearest - 1, nearest + 1]) {
    if (j < 0 || j >= track.frames) continue;
    const status = track.status[j * track.landmarks.length + column];
    if (status !== SampleStatus.seen) return status;
  }
  return SampleStatus.occluded;
}
