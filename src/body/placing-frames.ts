import { type AxisIndex, axesInto } from './attitudes/axes.ts';
import type { BodyPoints, Side } from './body-points.ts';
import { directions } from './point-series.ts';
import type { SegmentKind } from './segment-table.ts';

/** A direction that turns a frame about its first axis, tried in order. */
interface Hint {
  readonly axis: AxisIndex;
  /** `3 * frame`, or one direction for all frames. */
  readonly towards: Float64Array | null | undefined;
}

const LAB_FORWARD = Float64Array.of(1, 0, 0);
const LAB_UP = Float64Array.of(0, 1, 0);
const LAB_RIGHT = Float64Array.of(0, 0, 1);

/**
 * Axes in which a solid segment keeps its inertia, `labFromSegment`, `9 * frame`: known wherever the two ends are, unlike the
 * attitudes of src/body/attitudes, because a mass cannot be left out where a turn is not measured. They are a convention:
 *
 * - thigh: Y knee to hip, Z nearest the line of the hips. A thigh that is rotated at the hip has its centre, 2–3 cm beside
 *   its line, placed wrongly by that angle: 11–15 mm at 30°;
 * - shank: Y ankle to knee, X nearest the foot's heel–toe line;
 * - foot: X heel to big toe, Y nearest the vertical of the lab: a foot that stands flat;
 * - trunk: Y mid-hip to mid-shoulder, Z nearest the line of the shoulders.
 *
 * Where the turning line is missing in a frame, the next is taken: line of the hips, then axes of the lab. Null for other kinds.
 */
export function placingFrame(
  { known, frames }: BodyPoints,
  kind: SegmentKind,
  side: Side,
  from: Float64Array,
  to: Float64Array,
): Float64Array | null {
  const line = (a: Parameters<typeof known.get>[0], b: typeof a) => {
    const [start, end] = [known.get(a), known.get(b)];
    return start && end ? directions(start, end) : null;
  };
  const hips: Hint = { axis: 2, towards: line('left_hip', 'right_hip') };
  const lab: readonly Hint[] = [
    { axis: 2, towards: LAB_RIGHT },
    { axis: 0, towards: LAB_FORWARD },
  ];
  const distally = directions(from, to);
  const upward = directions(to, from);
  if (kind === 'thigh') return frameOf(frames, 1, upward, [hips, ...lab]);
  if (kind === 'shank')
    return frameOf(frames, 1, upward, [{ axis: 0, towards: line(`${side}_heel`, `${side}_big_toe`) }, hips, ...lab]);
  if (kind === 'foot')
    return frameOf(frames, 0, distally, [
      { axis: 1, towards: LAB_UP },
      { axis: 2, towards: LAB_RIGHT },
    ]);
  // The trunk runs from the hips up: its own direction is upward.
  if (kind === 'trunk')
    return frameOf(frames, 1, distally, [{ axis: 2, towards: line('left_shoulder', 'right_shoulder') }, hips, ...lab]);
  return null;
}

function frameOf(frames: number, first: AxisIndex, exact: Float64Array, hints: readonly Hint[]): Float64Array {
  const out = new Float64Array(9 * frames).fill(Number.NaN);
  for (let f = 0; f < frames; f++) {
    for (const { axis, towards } of hints) {
      if (!towards) continue;
      axesInto(out, 9 * f, first, exact, 3 * f, axis, towards, towards.length === 3 ? 0 : 3 * f);
      if (!Number.isNaN(out[9 * f])) break;
    }
  }
  return out;
}
