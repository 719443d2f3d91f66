import { hingeTooStraight, pointsMissing, turnFixedBy } from '../../messages/angles.ts';
import { needsLandmarks } from '../../messages/lift.ts';
import type { Attitude } from '../attitude.ts';
import type { BodyPoint, Side } from '../body-points.ts';
import { directions } from '../point-series.ts';
import { axesFrom, unknownAxes } from './axes.ts';
import type { AxisPoints } from './axis-points.ts';
import { flexionNormal, LARGEST_HINGE_BEND_DEG, LEAST_HINGE_BEND_DEG } from './flexion-plane.ts';

/** A chain of three points with the joint in the middle that bends like a hinge. */
interface Hinge {
  readonly joint: string;
  readonly points: readonly [proximal: BodyPoint, middle: BodyPoint, distal: BodyPoint];
  /** +1 where the distal segment folds backward (knee), −1 where it folds forward (elbow). */
  readonly folds: 1 | -1;
}

const kneeHinge = (side: Side): Hinge => ({
  joint: 'knee',
  points: [`${side}_hip`, `${side}_knee`, `${side}_ankle`],
  folds: 1,
});

const elbowHinge = (side: Side): Hinge => ({
  joint: 'elbow',
  points: [`${side}_shoulder`, `${side}_elbow`, `${side}_wrist`],
  folds: -1,
});

/** Markers on the inner and outer side of a joint, in the order in which the line between them points to the lifter's right. */
export function sideMarkers(side: Side, joint: 'knee' | 'ankle' | 'elbow'): readonly [BodyPoint, BodyPoint] {
  return side === 'right'
    ? [`right_${joint}_medial`, `right_${joint}_lateral`]
    : [`left_${joint}_lateral`, `left_${joint}_medial`];
}

/**
 * Thigh: Y from knee to hip. Z in the plane of Y and the epicondyles (Wu et al. 2002) where both are marked; otherwise square to
 * the plane of hip, knee and ankle, where the knee is bent enough to have one.
 */
export function thighAttitude(points: AxisPoints, side: Side): Attitude {
  return limb(points, [`${side}_knee`, `${side}_hip`], sideMarkers(side, 'knee'), 'knee', kneeHinge(side));
}

/**
 * Shank: Y from ankle to knee, as Grood and Suntay's (1983) long axis; Z in the plane of Y and the malleoli where both are marked
 * (ISB lays Z on the malleoli and lets Y give way: a few degrees of tilt); otherwise as the thigh's.
 */
export function shankAttitude(points: AxisPoints, side: Side): Attitude {
  return limb(points, [`${side}_ankle`, `${side}_knee`], sideMarkers(side, 'ankle'), 'ankle', kneeHinge(side));
}

/** Upper arm: Y from elbow to shoulder; Z by the epicondyles, or square to the bent arm's plane (Wu et al. 2005, second option). */
export function upperArmAttitude(points: AxisPoints, side: Side): Attitude {
  return limb(points, [`${side}_elbow`, `${side}_shoulder`], sideMarkers(side, 'elbow'), 'elbow', elbowHinge(side));
}

/**
 * Forearm: Y from wrist to elbow, Z the hinge of the elbow: the forearm as it stands without pronation. No landmark here shows how
 * far it is pronated.
 */
export function forearmAttitude(points: AxisPoints, side: Side): Attitude {
  return limb(points, [`${side}_wrist`, `${side}_elbow`], null, 'elbow', elbowHinge(side));
}

function limb(
  points: AxisPoints,
  [lower, upper]: readonly [BodyPoint, BodyPoint],
  markers: readonly [BodyPoint, BodyPoint] | null,
  markedJoint: string,
  hinge: Hinge,
): Attitude {
  const ends = points.all([lower, upper]);
  const longAxis = ends ? directions(ends[0], ends[1]) : undefined;
  const marked = markers && points.all(markers);
  const fixedBy = marked ? turnFixedBy.sideMarkers(markedJoint) : turnFixedBy.flexionPlane(hinge.joint);
  const evidence = marked ? 'markers' : 'hinge';
  const needed = [...new Set([lower, upper, ...(marked ? [] : hinge.points)])];
  const absent = points.absent(needed);
  if (!longAxis || absent.length > 0)
    return {
      labFromPart: unknownAxes(points.frames),
      fixedBy,
      unknownBecause: needsLandmarks(absent),
      evidence,
      longAxis,
    };
  const right = marked ? directions(marked[0], marked[1]) : hingeAxis(points, hinge);
  return {
    labFromPart: axesFrom(1, longAxis, 2, right),
    fixedBy,
    unknownBecause: marked
      ? pointsMissing()
      : hingeTooStraight(hinge.joint, LEAST_HINGE_BEND_DEG, LARGEST_HINGE_BEND_DEG),
    evidence,
    longAxis,
  };
}

/** The axis a hinge turns about, to the lifter's right; all three points are known to be there. */
function hingeAxis(points: AxisPoints, { points: names, folds }: Hinge): Float64Array {
  const [proximal, middle, distal] = names.map((name) => points.find(name)!);
  const up = directions(middle, proximal);
  const down = directions(middle, distal);
  return folds > 0 ? flexionNormal(up, down) : flexionNormal(down, up);
}
