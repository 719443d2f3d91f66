import type { Landmark } from '../capture/landmarks.ts';
import { segmentTooLong, segmentTooShort, shouldersOnAcromion } from '../messages/body.ts';
import type { Trajectories } from '../reconstruction/trajectories.ts';
import { ACROMION_ARM_RATIO, armRatio, jointBelowMarkerM, shouldersFromAcromion } from './acromion.ts';
import { lengthLimits } from './length-limits.ts';
import { along, bridged, type MeasuredLength, measuredLength, type PointSeries, pointSeries } from './point-series.ts';
import type { SegmentKind } from './segment-table.ts';

export type Side = 'left' | 'right';
export const SIDES: readonly Side[] = ['left', 'right'];

export type BodyPoint = Landmark | 'mid_hip' | 'mid_knee' | 'mid_ankle' | 'mid_shoulder' | 'mid_ear';

/** The points a body is built on: joints as tracked, lighter parts with their gaps bridged, midpoints. */
export interface BodyPoints {
  readonly frames: number;
  readonly known: ReadonlyMap<BodyPoint, PointSeries>;
  /** What was bridged or left out, in plain words. */
  readonly notes: readonly string[];
}

/** Points whose gaps are never bridged here: the joints the loads are summed about. */
const JOINT_LANDMARKS = ['shoulder', 'hip', 'knee', 'ankle'] as const;

/**
 * Collects and checks the points.
 *
 * Trunk, thigh or shank of no human length is refused ('segment-too-long', 'segment-too-short'). An arm, hand or foot of no
 * human length is left out with a note, as if its end point had not been tracked: the far arm of a racked bar is often
 * misplaced, and must not cost the lift.
 */
export function bodyPoints(trajectories: Trajectories, file: string): BodyPoints {
  const known = new Map<BodyPoint, PointSeries>();
  const notes: string[] = [];
  for (const joint of JOINT_LANDMARKS) {
    for (const side of SIDES) keep(known, `${side}_${joint}`, pointSeries(trajectories, `${side}_${joint}`));
    keepMidpoint(known, `mid_${joint}`, `left_${joint}`, `right_${joint}`);
  }
  notes.push(...putShouldersAtJoints(known, trajectories));
  refuseImplausible(known, file, 'trunk', 'trunk', 'mid_hip', 'mid_shoulder');
  for (const side of SIDES) {
    refuseImplausible(known, file, `${side} thigh`, 'thigh', `${side}_hip`, `${side}_knee`);
    refuseImplausible(known, file, `${side} shank`, 'shank', `${side}_knee`, `${side}_ankle`);
  }

  const bridge = (landmark: Landmark, ...anchors: readonly BodyPoint[]) => {
    const point = pointSeries(trajectories, landmark);
    const anchorName = anchors.find((name) => known.has(name));
    const anchor = anchorName && known.get(anchorName);
    if (!point || !anchor) return;
    const cutoffHz = trajectories.cutoffHz[trajectories.landmarks.indexOf(landmark)];
    const found = bridged(point, anchor, trajectories.frameRateHz, cutoffHz);
    if (found) known.set(landmark, found.series);
    if (!found) notes.push(`${spaced(landmark)}: known in less than half of the frames, left out.`);
    else if (found.bridgedShare > 0)
      notes.push(
        `${spaced(landmark)}: ${percent(found.bridgedShare)} of the frames bridged relative to the ${spaced(anchorName)}.`,
      );
  };
  const leaveOut = (segment: string, kind: SegmentKind, from: BodyPoint, to: BodyPoint, drop: readonly BodyPoint[]) => {
    const length = lengthBetween(known, from, to);
    const limits = lengthLimits(kind);
    if (!length || (length.lengthM >= limits.shortestM && length.lengthM <= limits.longestM)) return;
    for (const point of drop) known.delete(point);
    notes.push(
      `The ${segment} measures ${length.lengthM.toFixed(2)} m, outside ${limits.shortestM.toFixed(2)}–${limits.longestM.toFixed(2)} m: ` +
        `${drop.map(spaced).join(' and ')} left out.`,
    );
  };

  for (const side of SIDES) {
    bridge(`${side}_elbow`, `${side}_shoulder`);
    leaveOut(`${side} upper arm`, 'upper_arm', `${side}_shoulder`, `${side}_elbow`, [`${side}_elbow`]);
    bridge(`${side}_wrist`, `${side}_elbow`, `${side}_shoulder`);
    leaveOut(`${side} forearm`, 'forearm', `${side}_elbow`, `${side}_wrist`, [`${side}_wrist`]);
    bridge(`${side}_hand`, `${side}_wrist`);
    leaveOut(`${side} hand`, 'hand', `${side}_wrist`, `${side}_hand`, [`${side}_hand`]);
    bridge(`${side}_heel`, `${side}_ankle`);
    bridge(`${side}_big_toe`, `${side}_ankle`);
    leaveOut(`${side} foot`, 'foot', `${side}_heel`, `${side}_big_toe`, [`${side}_heel`, `${side}_big_toe`]);
    bridge(`${side}_ear`, 'mid_shoulder');
    bridge(`bar_${side}_end`, 'mid_shoulder', 'mid_hip');
  }
  bridge('head', 'mid_shoulder');
  for (const point of ['neck_base', 'mid_back'] as const) keep(known, point, pointSeries(trajectories, point));
  keepMidpoint(known, 'mid_ear', 'left_ear', 'right_ear');
  return { frames: trajectories.frames, known, notes };
}

/** Shoulder points of a marker system that lie on the acromion are moved to the joint; says so. */
function putShouldersAtJoints(known: Map<BodyPoint, PointSeries>, trajectories: Trajectories): readonly string[] {
  const [midShoulder, midHip] = [known.get('mid_shoulder'), known.get('mid_hip')];
  // Views have no markers: a detector aims at the joint, whatever length an arm comes out with.
  if (trajectories.quality.views > 0 || !midShoulder || !midHip) return [];
  const armOf = (side: Side) => {
    const [shoulder, elbow, wrist] = [
      known.get(`${side}_shoulder`),
      pointSeries(trajectories, `${side}_elbow`),
      pointSeries(trajectories, `${side}_wrist`),
    ];
    return shoulder && elbow && wrist ? { shoulder, elbow, wrist } : null;
  };
  const [left, right] = SIDES.map(armOf);
  if (!left || !right) return [];
  const ratio = armRatio([left, right]);
  if (!(ratio > ACROMION_ARM_RATIO)) return [];
  const moved = shouldersFromAcromion({ left, right }, midShoulder, midHip);
  for (const side of SIDES) known.set(`${side}_shoulder`, moved[side]);
  keepMidpoint(known, 'mid_shoulder', 'left_shoulder', 'right_shoulder');
  return [shouldersOnAcromion(ratio, (jointBelowMarkerM(left) + jointBelowMarkerM(right)) / 2)];
}

/** Length between two points, where both are known. */
export function lengthBetween(
  known: ReadonlyMap<BodyPoint, PointSeries>,
  from: BodyPoint,
  to: BodyPoint,
): MeasuredLength | null {
  const a = known.get(from);
  const b = known.get(to);
  if (!a || !b) return null;
  const found = measuredLength(a, b);
  return Number.isFinite(found.lengthM) ? found : null;
}

function refuseImplausible(
  known: ReadonlyMap<BodyPoint, PointSeries>,
  file: string,
  segment: string,
  kind: SegmentKind,
  from: BodyPoint,
  to: BodyPoint,
): void {
  const length = lengthBetween(known, from, to);
  if (!length) return;
  const { shortestM, longestM } = lengthLimits(kind);
  if (length.lengthM > longestM) throw segmentTooLong(file, segment, length.lengthM, longestM);
  if (length.lengthM < shortestM) throw segmentTooShort(file, segment, length.lengthM, shortestM);
}

function keep(known: Map<BodyPoint, PointSeries>, name: BodyPoint, series: PointSeries | null): void {
  if (series) known.set(name, series);
}

function keepMidpoint(known: Map<BodyPoint, PointSeries>, name: BodyPoint, left: BodyPoint, right: BodyPoint): void {
  const a = known.get(left);
  const b = known.get(right);
  if (a && b) known.set(name, along(a, b, 0.5));
}

function spaced(name: string | undefined): string {
  return (name ?? '').replaceAll('_', ' ');
}

function percent(share: number): string {
  return share < 0.01 ? `${(100 * share).toFixed(1)} %` : `${(100 * share).toFixed(0)} %`;
}
