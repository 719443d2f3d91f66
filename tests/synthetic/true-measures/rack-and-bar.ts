import { type BothSides, middle, type Side } from '../both-sides.ts';
import { add, cross, dot, norm, scale, subtract, unit, type Vector } from '../vector.ts';
import { type InTime, largest, smallest } from './in-time.ts';
import { distance, slopeFromTheFront } from './legs-and-feet.ts';
import { type RepetitionTruth, readingsOf, sided, sidedReadings } from './reading.ts';
import { degrees, middleOf, type RepetitionInTime } from './repetition-in-time.ts';

const { abs, atan2, hypot, max, min } = Math;

/** Elbow above (−: below) the shoulder. */
function upperArmElevation(body: BothSides, side: Side): number {
  const [x, y, z] = subtract(body[side].elbow, body[side].shoulder);
  return degrees(atan2(y, hypot(x, z)));
}

function distanceFromSegment(point: Vector, from: Vector, to: Vector): number {
  const along = subtract(to, from);
  const share = max(0, min(1, dot(subtract(point, from), along) / dot(along, along)));
  return norm(subtract(point, add(from, scale(along, share))));
}

function wristExtension(body: BothSides, side: Side): number {
  const { elbow, wrist, hand } = body[side];
  const [before, after] = [subtract(wrist, elbow), subtract(hand, wrist)];
  return degrees(atan2(norm(cross(before, after)), dot(before, after)));
}

/** Right end ahead, seen from above. */
function barTurn({ left, right }: BothSides): number {
  const [x, , z] = subtract(right.barEnd, left.barEnd);
  return degrees(atan2(x, z));
}

/** Height of the bar above the shoulders along the trunk. */
function alongTrunk(body: BothSides): number {
  const shoulder = middle(body, 'shoulder');
  return dot(subtract(middle(body, 'barEnd'), shoulder), unit(subtract(shoulder, middle(body, 'hip'))));
}

/** Bar less another point along an axis. */
const barFrom = (repetition: RepetitionInTime, place: (body: BothSides) => Vector, axis: 0 | 1): InTime => {
  return (t) => {
    const body = repetition.set.body(t);
    return middleOf(body, 'barEnd', axis) - place(body)[axis];
  };
};

/** Middle of the midpoints between heel and big toe. */
const midFoot = (body: BothSides): Vector => scale(add(middle(body, 'heel'), middle(body, 'bigToe')), 0.5);
const midShoulder = (body: BothSides): Vector => middle(body, 'shoulder');
const NOWHERE = (): Vector => [0, 0, 0];

/** Of one-sided angles, the one of largest size with its sign. */
function ofLargestSize(f: InTime, from: number, to: number): number {
  const [high, low] = [largest(f, from, to).value, smallest(f, from, to).value];
  return abs(high) >= abs(low) ? high : low;
}

const withBar =
  (truth: RepetitionTruth): RepetitionTruth =>
  (repetition) =>
    repetition.set.lift.setup.equipment.loadKg > 0 ? truth(repetition) : [];

const ARMS: Readonly<Record<string, RepetitionTruth>> = {
  upper_arm_elevation: (repetition) =>
    sided(repetition, (side) => (t) => upperArmElevation(repetition.set.body(t), side), [
      'start',
      'parallel',
      'bottom',
      'smallest',
    ]),
  upper_arm_drop: (repetition) =>
    sided(
      repetition,
      (side) => (t) =>
        upperArmElevation(repetition.set.body(repetition.startS), side) -
        upperArmElevation(repetition.set.body(t), side),
      ['bottom', 'drive'],
    ),
  elbow_width: (repetition) => {
    const width = distance(repetition.set.body(repetition.startS), 'shoulder');
    return readingsOf(repetition, (t) => distance(repetition.set.body(t), 'elbow') / width, ['start', 'bottom']);
  },
  elbow_thigh_clearance: (repetition) =>
    sidedReadings((side) => {
      const { elbow, hip, knee } = repetition.set.body(repetition.bottomS)[side];
      return [{ at: 'bottom', side, value: distanceFromSegment(elbow, hip, knee) }];
    }, min),
  hand_spacing: (repetition) => {
    const body = repetition.set.body(repetition.startS);
    return [{ at: 'start', side: '', value: distance(body, 'wrist') / distance(body, 'shoulder') }];
  },
  wrist_extension: (repetition) =>
    sided(repetition, (side) => (t) => wristExtension(repetition.set.body(t), side), ['start', 'bottom']),
};

const BAR: Readonly<Record<string, RepetitionTruth>> = {
  bar_over_midfoot: (repetition) =>
    readingsOf(repetition, barFrom(repetition, midFoot, 0), ['start', 'parallel', 'bottom']),
  bar_ahead_of_shoulders: (repetition) =>
    readingsOf(repetition, barFrom(repetition, midShoulder, 0), ['start', 'bottom']),
  bar_above_shoulders: (repetition) => readingsOf(repetition, barFrom(repetition, midShoulder, 1), ['start', 'bottom']),
  bar_ahead_of_neck: (repetition) =>
    readingsOf(
      repetition,
      barFrom(repetition, ({ neckBase }) => neckBase, 0),
      ['start', 'bottom'],
    ),
  bar_slip: (repetition) => {
    const standing = alongTrunk(repetition.set.body(repetition.startS));
    return readingsOf(repetition, (t) => standing - alongTrunk(repetition.set.body(t)), ['bottom', 'end']);
  },
  bar_path_width: (repetition) => {
    const x = barFrom(repetition, NOWHERE, 0);
    const { descendsS, standsS } = repetition;
    const width = largest(x, descendsS, standsS).value - smallest(x, descendsS, standsS).value;
    return [{ at: 'largest', side: '', value: width }];
  },
  bar_drift: (repetition) => {
    const x = barFrom(repetition, NOWHERE, 0);
    return readingsOf(repetition, (t) => x(t) - x(repetition.startS), ['bottom', 'end']);
  },
  bar_tilt: (repetition) => {
    const tilt: InTime = (t) => slopeFromTheFront(repetition.set.body(t), 'barEnd');
    const value = ofLargestSize(tilt, repetition.descendsS, repetition.standsS);
    return [...readingsOf(repetition, tilt, ['start', 'bottom']), { at: 'largest', side: '', value }];
  },
  bar_turn: (repetition) => readingsOf(repetition, (t) => barTurn(repetition.set.body(t)), ['start', 'bottom']),
};

export const RACK_AND_BAR: Readonly<Record<string, RepetitionTruth>> = {
  ...ARMS,
  ...Object.fromEntries(Object.entries(BAR).map(([name, truth]) => [name, withBar(truth)])),
};
