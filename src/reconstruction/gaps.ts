import { isUsable, SampleStatus } from '../capture/sample-status.ts';
import { cubicSpline } from '../numerics/interpolation.ts';
import { GAP_NEIGHBOURS } from './limits.ts';

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
  for (let l = 0; l < count; l++) {
    const seen = seenFrames(status, count, frames, l);
    for (let i = 0; i + 1 < seen.length; i++) {
      const missing = seen[i + 1] - seen[i] - 1;
      if (missing > 0 && missing <= longest) fillOne(position, status, count, l, seen, i, longest);
    }
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

/** The gap between seen[i] and seen[i + 1]. */
function fillOne(
  position: Float64Array,
  status: Uint8Array,
  count: number,
  landmark: number,
  seen: readonly number[],
  i: number,
  longest: number,
): void {
  let first = i;
  while (first > 0 && i - first + 1 < GAP_NEIGHBOURS && seen[first] - seen[first - 1] - 1 <= longest) first--;
  let last = i + 1;
  while (last + 1 < seen.length && last - i < GAP_NEIGHBOURS && seen[last + 1] - seen[last] - 1 <= longest) last++;
  const nodes = seen.slice(first, last + 1);
  for (let axis = 0; axis < 3; axis++) {
    const values = nodes.map((k) => position[3 * (k * count + landmark) + axis]);
    const at = cubicSpline(nodes, values);
    for (let k = seen[i] + 1; k < seen[i + 1]; k++) position[3 * (k * count + landmark) + axis] = at(k);
  }
  for (let k = seen[i] + 1; k < seen[i + 1]; k++) status[k * count + landmark] = SampleStatus.filled;
}
