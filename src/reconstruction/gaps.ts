import { isUsable, SampleStatus } from '../capture/sample-status.ts';
import { cubicSpline } from '../numerics/interpolation.ts';
import { GAP_NEIGHBOURS } from './limits.ts';

/** One short gap of one landmark and the seen samples that carry a spline across it. */
export interface PlannedGap {
  readonly landmark: number;
  /** First missing frame, and one past the last. */
  readonly first: number;
  readonly end: number;
  /** Frames of the seen samples. */
  readonly nodes: readonly number[];
  /** Share of node j in missing frame first + i: `i * nodes.length + j`. */
  readonly shares: Float64Array;
}

/**
 * Fills short gaps in place: a run of missing frames no longer than `longest`, with seen samples on both sides, gets a
 * cubic spline through up to GAP_NEIGHBOURS seen samples on each side and the status `filled`.
 *
 * Longer gaps, and gaps at the start or end (which would be extrapolation), stay NaN and keep their reason.
 * A neighbour beyond a gap longer than `longest` does not take part.
 * position: `3 * (frame * count + landmark)`; status: `frame * count + landmark`.
 */
export function fillGaps(
  position: Float64Array,
  status: Uint8Array,
  count: number,
  frames: number,
  longest: number,
): void {
  const gaps = planGaps(status, count, frames, longest);
  fillGapsInPlace(position, gaps, 3 * count, 1);
  markFilled(status, gaps, count);
}

/** The gaps that are short enough, each with its spline; it depends on the frames alone, and a gap of like shape shares it. */
export function planGaps(status: Uint8Array, count: number, frames: number, longest: number): PlannedGap[] {
  const known = new Map<string, Float64Array>();
  const gaps: PlannedGap[] = [];
  for (let l = 0; l < count; l++) {
    const seen = seenFrames(status, count, frames, l);
    for (let i = 0; i + 1 < seen.length; i++) {
      const missing = seen[i + 1] - seen[i] - 1;
      if (missing <= 0 || missing > longest) continue;
      const nodes = nodesAbout(seen, i, longest);
      const first = seen[i] + 1;
      const shape = nodes.map((k) => k - first).join();
      const shares = known.get(shape) ?? splineShares(nodes, first, missing);
      known.set(shape, shares);
      gaps.push({ landmark: l, first, end: seen[i + 1], nodes, shares });
    }
  }
  return gaps;
}

/**
 * The splines' values into the missing frames. Element of frame k and series 3 · landmark + axis:
 * `k * frameStride + series * seriesStride` (3 · count and 1 as positions lie; 1 and frames where series lie one by one).
 */
export function fillGapsInPlace(
  values: Float64Array,
  gaps: readonly PlannedGap[],
  frameStride: number,
  seriesStride: number,
): void {
  for (const { landmark, first, end, nodes, shares } of gaps) {
    for (let series = 3 * landmark; series < 3 * landmark + 3; series++) {
      const at = series * seriesStride;
      for (let k = first; k < end; k++) {
        const row = (k - first) * nodes.length;
        let sum = 0;
        for (let j = 0; j < nodes.length; j++) sum += shares[row + j] * values[nodes[j] * frameStride + at];
        values[k * frameStride + at] = sum;
      }
    }
  }
}

export function markFilled(status: Uint8Array, gaps: readonly PlannedGap[], count: number): void {
  for (const { landmark, first, end } of gaps) {
    for (let k = first; k < end; k++) status[k * count + landmark] = SampleStatus.filled;
  }
}

/** Longest gap in frames that lasts no longer than the limit: n missing frames last n / rate. */
export function longestGapFrames(gapLimitS: number, frameRateHz: number): number {
  return Math.floor(gapLimitS * frameRateHz + 1e-9);
}

function seenFrames(status: Uint8Array, count: number, frames: number, landmark: number): number[] {
  const seen: number[] = [];
  for (let k = 0; k < frames; k++) if (isUsable(status[k * count + landmark])) seen.push(k);
  return seen;
}

/** Seen frames about the gap between seen[i] and seen[i + 1]. */
function nodesAbout(seen: readonly number[], i: number, longest: number): number[] {
  let first = i;
  while (first > 0 && i - first + 1 < GAP_NEIGHBOURS && seen[first] - seen[first - 1] - 1 <= longest) first--;
  let last = i + 1;
  while (last + 1 < seen.length && last - i < GAP_NEIGHBOURS && seen[last + 1] - seen[last] - 1 <= longest) last++;
  return seen.slice(first, last + 1);
}

/** The spline is linear in its values: column j is the spline through 1 at node j and 0 at the others. */
function splineShares(nodes: readonly number[], first: number, missing: number): Float64Array {
  const shares = new Float64Array(missing * nodes.length);
  for (let j = 0; j < nodes.length; j++) {
    const at = cubicSpline(
      nodes,
      nodes.map((_, other) => (other === j ? 1 : 0)),
    );
    for (let i = 0; i < missing; i++) shares[i * nodes.length + j] = at(first + i);
  }
  return shares;
}
