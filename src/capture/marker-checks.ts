import { markerFarFromJoint, markersExchanged } from '../messages/capture.ts';
import { finiteMedian, type NamedPoints } from './facing.ts';
import type { Landmark } from './landmarks.ts';

/** Median distance from its joint, metres, beyond which a skin marker belongs to another joint or unit (common practice, no source). */
export const MARKER_REACH_M = 0.35;

/** Least cosine against the direction it should have at which a line between markers is judged (common practice, no source). */
const LEAST_AGREEMENT = 0.3;

const SIDES = ['left', 'right'] as const;
/** Markers of one side and the joint they are stuck beside. */
const BESIDE = [
  ['asis', 'hip'],
  ['psis', 'hip'],
  ['knee_medial', 'knee'],
  ['knee_lateral', 'knee'],
  ['ankle_medial', 'ankle'],
  ['ankle_lateral', 'ankle'],
  ['elbow_medial', 'elbow'],
  ['elbow_lateral', 'elbow'],
] as const;

type Line = readonly [Float64Array, Float64Array, Float64Array];

/**
 * Refuses markers of pelvis, knees, ankles and elbows that contradict the joints: too far from the joint they belong to,
 * left and right, inner and outer side, or front and back of the pelvis exchanged. Exchanged they would turn the axes of
 * joints by 180° and with them the sign of angles and moments. Elbows are not judged by inner and outer side: a turned
 * upper arm changes where these lie. What the points give no evidence for is not judged.
 */
export function checkMarkers(file: string, points: NamedPoints): void {
  checkReach(file, points);
  const right = rightOf(points);
  if (!right) return;
  const across = (what: string, from: readonly Landmark[], to: readonly Landmark[], direction: Line) => {
    if (!points.has(...from, ...to)) return;
    if (agreement(lineFrom(points, from, to), direction) < -LEAST_AGREEMENT) {
      throw markersExchanged(file, what, [...from, ...to]);
    }
  };
  for (const [marker] of BESIDE) across('left and right', [`left_${marker}`], [`right_${marker}`], right);
  const left = right.map((values) => values.map((value) => -value)) as unknown as Line;
  for (const side of SIDES) {
    const outward = side === 'right' ? right : left;
    for (const joint of ['knee', 'ankle'] as const) {
      across('inner and outer side', [`${side}_${joint}_medial`], [`${side}_${joint}_lateral`], outward);
    }
  }
  // Forward = up × right.
  const forward: Line = [right[2], new Float64Array(points.frames), right[0].map((value) => -value)];
  for (const side of SIDES) across('front and back', [`${side}_psis`], [`${side}_asis`], forward);
}

function checkReach(file: string, points: NamedPoints): void {
  for (const side of SIDES) {
    for (const [marker, joint] of BESIDE) {
      const [name, own, other] = [`${side}_${marker}`, `${side}_${joint}`, `${otherSide(side)}_${joint}`] as Landmark[];
      if (!points.has(name, own)) continue;
      const distanceM = medianDistance(points, name, own);
      if (!(distanceM > MARKER_REACH_M)) continue;
      const nearOther = points.has(other) && medianDistance(points, name, other) <= MARKER_REACH_M;
      throw markerFarFromJoint(file, name, own, distanceM, MARKER_REACH_M, nearOther);
    }
  }
}

const otherSide = (side: 'left' | 'right') => (side === 'left' ? 'right' : 'left');

/** Horizontal line to the lifter's right, from the first pair of joints that is there; null without one. */
function rightOf(points: NamedPoints): Line | null {
  for (const part of ['hip', 'knee', 'ankle', 'shoulder'] as const) {
    if (!points.has(`left_${part}`, `right_${part}`)) continue;
    const [x, , z] = lineFrom(points, [`left_${part}`], [`right_${part}`]);
    if (x.some((value, frame) => Number.isFinite(value + z[frame]))) return [x, new Float64Array(points.frames), z];
  }
  return null;
}

function lineFrom(points: NamedPoints, from: readonly Landmark[], to: readonly Landmark[]): Line {
  return [points.difference(0, to, from), points.difference(1, to, from), points.difference(2, to, from)];
}

/** Median cosine between two lines; NaN where they share no frame. */
function agreement(a: Line, b: Line): number {
  return finiteMedian(
    a[0].map(
      (x, i) =>
        (x * b[0][i] + a[1][i] * b[1][i] + a[2][i] * b[2][i]) /
        (Math.hypot(x, a[1][i], a[2][i]) * Math.hypot(b[0][i], b[1][i], b[2][i])),
    ),
  );
}

function medianDistance(points: NamedPoints, from: Landmark, to: Landmark): number {
  const [x, y, z] = lineFrom(points, [from], [to]);
  return finiteMedian(x.map((dx, frame) => Math.hypot(dx, y[frame], z[frame])));
}
