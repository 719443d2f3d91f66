import { facingOf, NamedPoints } from '../capture/facing.ts';
import { checkPlausibleLifter } from '../capture/point-checks.ts';
import {
  facingAgainstAxes,
  facingUnknown,
  reconstructionNotes,
  sidesAcrossFacing,
} from '../messages/reconstruction.ts';
import { rotationAboutY } from '../numerics/rotation.ts';
import { findFloor } from './floor.ts';
import { headingAngle } from './heading.ts';
import { FACING_AGREEMENT_DEG, STATED_HEADING_DEG } from './limits.ts';
import type { MeasuredPoints } from './measured-points.ts';
import { turnCovariances, turnPoints } from './turn.ts';

/** Where the lab frame lies in the axes of the rig's world or the file. */
export interface LabFrame {
  /** Row-major 3 × 3, labFromWorld: a rotation about Y. */
  readonly turn: Float64Array;
  readonly headingDeg: number;
  readonly floorHeightM: number;
  readonly floor: 'world zero' | 'estimated from the feet';
}

/**
 * Turns the points (in place) about the vertical so that X is the lifter's forward, Y up, Z to the right, and finds the
 * floor. The origin stays where the rig or the file has it.
 * Errors: those of the plausibility check, facing-unknown, sides-across-facing, facing-against-axes.
 */
export function turnToLab(file: string, points: MeasuredPoints, notes: string[]): LabFrame {
  const { landmarks, position, covariance, frames, frameRateHz, source } = points;
  checkPlausibleLifter(file, landmarks, position, frames, source);
  let angle = headingAngle(landmarks, position);
  if (Number.isNaN(angle)) {
    if (source === 'views') throw facingUnknown(file);
    notes.push(reconstructionNotes.headingUnknown);
    angle = 0;
  }
  checkFacing(file, points, angle);
  const headingDeg = (angle * 180) / Math.PI;
  if (source === 'points' && Math.abs(headingDeg) > STATED_HEADING_DEG) {
    throw facingAgainstAxes(file, headingDeg, STATED_HEADING_DEG);
  }
  const turn = rotationAboutY(angle);
  turnPoints(position, turn);
  turnCovariances(covariance, turn);
  const floor = findFloor(landmarks, position, frames, frameRateHz, notes);
  return { turn, headingDeg, floorHeightM: floor.heightM, floor: floor.basis };
}

/**
 * Left and right exchanged in one view of two moves the joints of a pair across the body's own axes: their line then
 * turns by a large angle, while feet, knees and nose keep their direction.
 */
function checkFacing(file: string, points: MeasuredPoints, angle: number): void {
  const facing = facingOf(new NamedPoints(points.landmarks, points.position, points.frames));
  if (facing === null) return;
  // The world direction that the turn takes to lab +X is (cos, 0, sin) of its angle.
  const cosine = facing.x * Math.cos(angle) + facing.z * Math.sin(angle);
  const angleDeg = (Math.acos(Math.max(-1, Math.min(1, cosine))) * 180) / Math.PI;
  if (angleDeg > FACING_AGREEMENT_DEG) throw sidesAcrossFacing(file, angleDeg, FACING_AGREEMENT_DEG, facing.evidence);
}
