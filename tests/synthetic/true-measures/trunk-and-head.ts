import { type BothSides, middle } from '../both-sides.ts';
import { norm, subtract } from '../vector.ts';
import { type InTime, integralOf, largest } from './in-time.ts';
import { slopeFromTheFront } from './legs-and-feet.ts';
import { aroundStart, type RepetitionTruth, readingsOf, sinceAroundStart } from './reading.ts';
import {
  bothOf,
  degrees,
  leanOf,
  middleOf,
  type RepetitionInTime,
  thighElevation,
  trunkLean,
} from './repetition-in-time.ts';

const { atan2 } = Math;

const leanIn =
  ({ set }: RepetitionInTime) =>
  (t: number) =>
    trunkLean(set.body(t));

const trunkLength = (body: BothSides) => norm(subtract(middle(body, 'shoulder'), middle(body, 'hip')));

/** Forward bend at the back point between the line from the hips and the line to the neck, seen from the side. */
const bendOfBack = (body: BothSides) => leanOf(body.midBack, body.neckBase) - leanOf(middle(body, 'hip'), body.midBack);

/** Ear to eye against the level, face up positive. */
function headTilt(body: BothSides): number {
  const [ear, eye] = [middle(body, 'ear'), middle(body, 'eye')];
  return degrees(atan2(eye[1] - ear[1], eye[0] - ear[0]));
}

export const TRUNK_AND_HEAD: Readonly<Record<string, RepetitionTruth>> = {
  trunk_lean: (repetition) => readingsOf(repetition, leanIn(repetition), ['start', 'parallel', 'bottom', 'largest']),
  extra_lean: (repetition) => {
    const standing = leanIn(repetition)(repetition.startS);
    return readingsOf(repetition, (t) => leanIn(repetition)(t) - standing, ['parallel', 'largest']);
  },
  lean_gained_in_drive: (repetition) => {
    const lean = leanIn(repetition);
    const gained = lean(repetition.passes('ascent', 2 / 3)) - lean(repetition.bottomS);
    return [{ at: 'ascent', side: '', value: gained }];
  },
  // Mean over what is within 2° of the largest lean, weighed by how much it exceeds that.
  largest_lean_depth: (repetition) => {
    const { descendsS, standsS, set } = repetition;
    const lean = leanIn(repetition);
    const limit = largest(lean, descendsS, standsS).value - 2;
    const weight: InTime = (t) => Math.max(0, lean(t) - limit);
    const depth: InTime = (t) => bothOf((side) => thighElevation(set.body(t), side));
    const sum = integralOf((t) => weight(t) * depth(t), descendsS, standsS, 0.01);
    return [{ at: 'largest', side: '', value: sum / integralOf(weight, descendsS, standsS, 0.01) }];
  },
  lean_back: (repetition) => readingsOf(repetition, (t) => -leanIn(repetition)(t), ['start']),
  pelvis_ahead: (repetition) =>
    readingsOf(
      repetition,
      (t) => middleOf(repetition.set.body(t), 'hip', 0) - middleOf(repetition.set.body(t), 'shoulder', 0),
      ['start'],
    ),
  head_tilt: (repetition) =>
    readingsOf(repetition, (t) => headTilt(repetition.set.body(t)), ['start', 'parallel', 'bottom']),
  shoulders_tilt: (repetition) =>
    readingsOf(repetition, (t) => slopeFromTheFront(repetition.set.body(t), 'shoulder'), ['start', 'bottom']),
  chord_shortening: (repetition) => {
    const standing = aroundStart(repetition, (t) => trunkLength(repetition.set.body(t)));
    return readingsOf(repetition, (t) => 1 - trunkLength(repetition.set.body(t)) / standing, [
      'bottom',
      'held largest',
    ]);
  },
  trunk_rounding: (repetition) =>
    readingsOf(
      repetition,
      sinceAroundStart(repetition, (t) => bendOfBack(repetition.set.body(t))),
      ['bottom', 'held largest'],
    ),
};
