import { pointsMissing, turnFixedBy } from '../../messages/angles.ts';
import { needsLandmarks } from '../../messages/lift.ts';
import type { Attitude } from '../attitude.ts';
import { along, directions } from '../point-series.ts';
import { axesFrom, axisOf, crossed, unknownAxes } from './axes.ts';
import type { AxisPoints } from './axis-points.ts';

const PELVIS_MARKERS = ['left_asis', 'right_asis', 'left_psis', 'right_psis'] as const;
const THORAX_MARKERS = ['sternum_notch', 'xiphoid', 'neck_base', 'mid_back'] as const;

/**
 * Pelvis after ISB (Wu et al. 2002): Z along the line of both ASIS to the right, X in the plane of both ASIS and the point
 * midway between both PSIS, forward, square to Z; Y up. Only with those four markers.
 */
export function pelvisAttitude(points: AxisPoints): Attitude {
  const markers = points.all(PELVIS_MARKERS);
  if (!markers)
    return {
      labFromPart: unknownAxes(points.frames),
      fixedBy: turnFixedBy.pelvisMarkers,
      unknownBecause: needsLandmarks(points.absent(PELVIS_MARKERS)),
    };
  const [leftFront, rightFront, leftBack, rightBack] = markers;
  const forward = directions(along(leftBack, rightBack, 0.5), along(leftFront, rightFront, 0.5));
  const labFromPart = axesFrom(2, directions(leftFront, rightFront), 0, forward);
  return {
    labFromPart,
    fixedBy: turnFixedBy.pelvisMarkers,
    unknownBecause: pointsMissing(),
    longAxis: axisOf(labFromPart, 1),
  };
}

/**
 * Thorax after ISB (Wu et al. 2005) where all four of its markers are there: Y from midway between xiphoid and T8 to midway
 * between sternal notch and C7; Z square to the plane of notch, C7 and the lower midpoint, to the right.
 *
 * Otherwise the trunk as two lines show it: Y from mid-hip to mid-shoulder, Z nearest the line of the shoulders. Shoulders that
 * are drawn forward or lifted turn it, a rounded back leans it.
 */
export function trunkAttitude(points: AxisPoints): Attitude {
  const markers = points.all(THORAX_MARKERS);
  if (markers) {
    const [notch, xiphoid, c7, t8] = markers;
    const lower = along(xiphoid, t8, 0.5);
    const up = directions(lower, along(notch, c7, 0.5));
    // The notch is in front, C7 behind: this order of the factors points to the right.
    const right = crossed(directions(lower, notch), directions(lower, c7));
    return {
      labFromPart: axesFrom(1, up, 2, right),
      fixedBy: turnFixedBy.thoraxMarkers,
      unknownBecause: pointsMissing(),
      longAxis: up,
    };
  }
  const needed = ['left_hip', 'right_hip', 'left_shoulder', 'right_shoulder'] as const;
  const found = points.all(needed);
  if (!found)
    return {
      labFromPart: unknownAxes(points.frames),
      fixedBy: turnFixedBy.shoulderLine,
      unknownBecause: needsLandmarks(points.absent(needed)),
      evidence: 'shoulder line',
    };
  const [leftHip, rightHip, leftShoulder, rightShoulder] = found;
  const up = directions(along(leftHip, rightHip, 0.5), along(leftShoulder, rightShoulder, 0.5));
  return {
    labFromPart: axesFrom(1, up, 2, directions(leftShoulder, rightShoulder)),
    fixedBy: turnFixedBy.shoulderLine,
    unknownBecause: pointsMissing(),
    evidence: 'shoulder line',
    longAxis: up,
  };
}
