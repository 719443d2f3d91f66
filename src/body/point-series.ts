import type { Landmark } from '../capture/landmarks.ts';
import { zeroLagLowPass } from '../numerics/butterworth.ts';
import { median } from '../numerics/statistics.ts';
import type { Trajectories } from '../reconstruction/trajectories.ts';

/** One point over time: `3 * frame`, metres, lab frame; NaN where not known. */
export type PointSeries = Float64Array;

/** The landmark over time; null where it is not among the trajectories or never known. */
export function pointSeries(trajectories: Trajectories, landmark: Landmark): PointSeries | null {
  const column = trajectories.landmarks.indexOf(landmark);
  if (column < 0) return null;
  const { frames, position } = trajectories;
  const count = trajectories.landmarks.length;
  const series = new Float64Array(3 * frames);
  let known = 0;
  for (let to = 0, from = 3 * column; to < series.length; to += 3, from += 3 * count) {
    const x = position[from];
    const y = position[from + 1];
    const z = position[from + 2];
    series[to] = x;
    series[to + 1] = y;
    series[to + 2] = z;
    if (Number.isFinite(x + y + z)) known++;
  }
  return known > 0 ? series : null;
}

/** True where all three coordinates of the frame are numbers. */
export function isKnown(series: PointSeries, frame: number): boolean {
  return Number.isFinite(series[3 * frame] + series[3 * frame + 1] + series[3 * frame + 2]);
}

/** `from + share * (to - from)`, frame by frame: 0.5 is midway, above 1 lies beyond `to`. */
export function along(from: PointSeries, to: PointSeries, share: number): PointSeries {
  const out = new Float64Array(from.length);
  for (let i = 0; i < out.length; i++) out[i] = from[i] + share * (to[i] - from[i]);
  return out;
}

/** Unit vectors from one point to another, `3 * frame`; NaN where a point is not known or the two coincide. */
export function directions(from: PointSeries, to: PointSeries): Float64Array {
  const { sqrt } = Math;
  const out = new Float64Array(from.length);
  for (let i = 0; i < out.length; i += 3) {
    const x = to[i] - from[i];
    const y = to[i + 1] - from[i + 1];
    const z = to[i + 2] - from[i + 2];
    const scale = 1 / sqrt(x * x + y * y + z * z);
    out[i] = x * scale;
    out[i + 1] = y * scale;
    out[i + 2] = z * scale;
  }
  return out;
}

/** `origin + distance * direction`, frame by frame. */
export function beyond(origin: PointSeries, direction: Float64Array, distanceM: number): PointSeries {
  const out = new Float64Array(origin.length);
  for (let i = 0; i < out.length; i++) out[i] = origin[i] + distanceM * direction[i];
  return out;
}

/** A point that is nowhere known. */
export function unknownSeries(frames: number): Float64Array {
  return new Float64Array(3 * frames).fill(Number.NaN);
}

export interface MeasuredLength {
  /** Median over the frames where both points are known, metres; NaN where there is none. */
  readonly lengthM: number;
  /** Standard deviation over mean, 1; NaN with fewer than two frames. */
  readonly variation: number;
}

/** Lengths already measured, by their two series: body and lift ask for the same ones many times. Series are never written to once made. */
const measuredLengths = new WeakMap<PointSeries, WeakMap<PointSeries, MeasuredLength>>();

/** Distance between two points: its median, and how much it varies over the frames. */
export function measuredLength(from: PointSeries, to: PointSeries): MeasuredLength {
  let known = measuredLengths.get(from);
  if (!known) {
    known = new WeakMap();
    measuredLengths.set(from, known);
  }
  let found = known.get(to);
  if (!found) {
    found = measure(from, to);
    known.set(to, found);
  }
  return found;
}

function measure(from: PointSeries, to: PointSeries): MeasuredLength {
  const { sqrt } = Math;
  const lengths = new Float64Array(from.length / 3);
  let n = 0;
  let sum = 0;
  for (let i = 0; i < from.length; i += 3) {
    const x = to[i] - from[i];
    const y = to[i + 1] - from[i + 1];
    const z = to[i + 2] - from[i + 2];
    const length = sqrt(x * x + y * y + z * z);
    if (!Number.isFinite(length)) continue;
    lengths[n++] = length;
    sum += length;
  }
  if (n === 0) return { lengthM: Number.NaN, variation: Number.NaN };
  const meanLength = sum / n;
  let squares = 0;
  for (let i = 0; i < n; i++) squares += (lengths[i] - meanLength) * (lengths[i] - meanLength);
  return {
    lengthM: median(lengths.subarray(0, n)),
    variation: n > 1 ? sqrt(squares / (n - 1)) / meanLength : Number.NaN,
  };
}

/** Least share of the frames in which a point must be known for its gaps to be bridged; common practice, no source. */
export const LEAST_BRIDGED_SHARE = 0.5;

/**
 * The point with its gaps bridged relative to an anchor: the offset from the anchor is interpolated linearly, held at the
 * ends, and the anchor's own motion added. For light or slow parts (arms, head, feet, bar ends) whose absence for a moment
 * must not cost the hip moment; never for hips, knees, ankles, shoulders.
 *
 * Where anything was bridged, the whole offset is smoothed with the point's own cut-off, so that the joins of the straight
 * pieces do not act as blows. Null where the point is known in less than LEAST_BRIDGED_SHARE of the anchor's frames.
 */
export function bridged(
  point: PointSeries,
  anchor: PointSeries,
  frameRateHz: number,
  cutoffHz: number,
): { readonly series: PointSeries; readonly bridgedShare: number } | null {
  const frames = point.length / 3;
  let anchored = 0;
  let known = 0;
  for (let frame = 0; frame < frames; frame++) {
    if (!isKnown(anchor, frame)) continue;
    anchored++;
    if (isKnown(point, frame)) known++;
  }
  if (known === 0 || known < LEAST_BRIDGED_SHARE * anchored) return null;
  if (known === anchored) return { series: point, bridgedShare: 0 };
  const series = new Float64Array(point.length);
  for (let axis = 0; axis < 3; axis++) {
    let line = new Float64Array(frames);
    for (let frame = 0; frame < frames; frame++) line[frame] = point[3 * frame + axis] - anchor[3 * frame + axis];
    interpolateInPlace(line);
    if (Number.isFinite(cutoffHz)) line = Float64Array.from(zeroLagLowPass(line, frameRateHz, cutoffHz));
    for (let frame = 0; frame < frames; frame++) series[3 * frame + axis] = anchor[3 * frame + axis] + line[frame];
  }
  return { series, bridgedShare: 1 - known / anchored };
}

/** Fills NaN linearly between known values and holds the first and last known value outwards. */
function interpolateInPlace(x: Float64Array): void {
  let last = -1;
  for (let i = 0; i < x.length; i++) {
    if (Number.isNaN(x[i])) continue;
    if (last < 0) x.fill(x[i], 0, i);
    for (let j = last + 1; last >= 0 && j < i; j++) x[j] = x[last] + ((x[i] - x[last]) * (j - last)) / (i - last);
    last = i;
  }
  if (last >= 0) x.fill(x[last], last + 1);
}
