import type { BothSides, Side } from '../both-sides.ts';
import { cross, dot, norm, subtract, type Vector } from '../vector.ts';
import { type InTime, smallestHeld } from './in-time.ts';
import {
  aroundStart,
  HELD_S,
  type RepetitionTruth,
  readingsOf,
  sided,
  sidedReadings,
  sinceAroundStart,
  type TrueReading,
} from './reading.ts';
import {
  bothOf,
  degrees,
  middleOf,
  outward,
  type RepetitionInTime,
  shankLean,
  thighElevation,
  trunkLean,
} from './repetition-in-time.ts';

const { atan2, hypot, max } = Math;

/** Distance on the floor. */
const apart = (a: Vector, b: Vector) => hypot(a[0] - b[0], a[2] - b[2]);

/** Heel above toe, degrees. */
function footPitch(body: BothSides, side: Side): number {
  const { heel, bigToe } = body[side];
  return degrees(atan2(heel[1] - bigToe[1], apart(heel, bigToe)));
}

/** 180° less the angle at the knee. */
function kneeFlexion(body: BothSides, side: Side): number {
  const { hip, knee, ankle } = body[side];
  const [up, down] = [subtract(hip, knee), subtract(ankle, knee)];
  return 180 - degrees(atan2(norm(cross(up, down)), dot(up, down)));
}

/** Knee outward of the upright plane through heel and big toe. */
function kneeTrack(body: BothSides, side: Side): number {
  const { heel, bigToe, knee } = body[side];
  const [x, z] = [bigToe[0] - heel[0], bigToe[2] - heel[2]];
  const [kx, kz] = [knee[0] - heel[0], knee[2] - heel[2]];
  return (outward(side) * (x * kz - z * kx)) / hypot(x, z);
}

const footPlace = ({ heel, bigToe }: BothSides['left']): Vector => [
  (heel[0] + bigToe[0]) / 2,
  0,
  (heel[2] + bigToe[2]) / 2,
];

function toeOut(body: BothSides, side: Side): number {
  const { heel, bigToe } = body[side];
  return degrees(atan2(outward(side) * (bigToe[2] - heel[2]), bigToe[0] - heel[0]));
}

/** How far a point of the foot rises within the repetition, held, above where it is around the start. */
const lift =
  (part: 'heel' | 'bigToe'): RepetitionTruth =>
  (repetition) =>
    sided(repetition, (side) => sinceAroundStart(repetition, (t) => repetition.set.body(t)[side][part][1]), [
      'held largest',
    ]);

/** How far a foot stands from where it stood at the start of the repetition before. */
function feetMoved(repetition: RepetitionInTime): TrueReading[] {
  const before = repetition.set.repetitions[repetition.index - 1];
  const place = (of: RepetitionInTime, side: Side, axis: 0 | 2) =>
    aroundStart(of, (t) => footPlace(of.set.body(t)[side])[axis]);
  return sidedReadings(
    (side) => [
      {
        at: 'start',
        side,
        value: before
          ? hypot(
              place(repetition, side, 0) - place(before, side, 0),
              place(repetition, side, 2) - place(before, side, 2),
            )
          : Number.NaN,
      },
    ],
    max,
  );
}

const start = (value: number, side: TrueReading['side'] = ''): TrueReading[] => [{ at: 'start', side, value }];

/** Distance of two points over a body length, around the start. */
const stance =
  (part: 'ankle' | 'heel', per: (repetition: RepetitionInTime) => number = () => 1): RepetitionTruth =>
  (repetition) =>
    start(
      aroundStart(repetition, (t) => {
        const { left, right } = repetition.set.body(t);
        return apart(left[part], right[part]);
      }) / per(repetition),
    );

/** In the first 15 % of the drop: knees forward over knees forward and hips back. */
function kneeShareOfStart(repetition: RepetitionInTime): TrueReading[] {
  const { startS, set } = repetition;
  const early = repetition.passes('descent', 0.15);
  const travel = (part: 'knee' | 'hip') => middleOf(set.body(early), part, 0) - middleOf(set.body(startS), part, 0);
  const [knee, hip] = [max(0, travel('knee')), max(0, -travel('hip'))];
  return [{ at: 'descent', side: '', value: knee / (knee + hip) }];
}

export const LEGS_AND_FEET: Readonly<Record<string, RepetitionTruth>> = {
  knee_share_of_start: kneeShareOfStart,
  knee_over_toe: (repetition) =>
    sided(
      repetition,
      (side) => (t) => {
        const { knee, bigToe } = repetition.set.body(t)[side];
        return knee[0] - bigToe[0];
      },
      ['parallel', 'bottom', 'largest'],
    ),
  left_minus_right_knee_over_toe: (repetition) =>
    readingsOf(
      repetition,
      (t) => {
        const { left, right } = repetition.set.body(t);
        return left.knee[0] - left.bigToe[0] - (right.knee[0] - right.bigToe[0]);
      },
      ['bottom'],
    ),
  shank_inclination: (repetition) =>
    sided(repetition, (side) => (t) => shankLean(repetition.set.body(t), side), ['parallel', 'bottom']),
  trunk_minus_shank: (repetition) =>
    readingsOf(
      repetition,
      (t) => {
        const body = repetition.set.body(t);
        return trunkLean(body) - bothOf((side) => shankLean(body, side));
      },
      ['parallel', 'bottom'],
    ),
  knee_return: (repetition) =>
    sided(
      repetition,
      (side) => (t) => repetition.set.body(repetition.bottomS)[side].knee[0] - repetition.set.body(t)[side].knee[0],
      ['drive'],
    ),
  ankle_dorsiflexion: (repetition) =>
    sided(
      repetition,
      (side) =>
        sinceAroundStart(repetition, (t) => {
          const body = repetition.set.body(t);
          return shankLean(body, side) - footPitch(body, side);
        }),
      ['bottom', 'held largest'],
    ),
  knee_track: (repetition) => {
    const of = (side: Side) => (t: number) => kneeTrack(repetition.set.body(t), side);
    const [from, to] = [repetition.passes('descent', 0.3), repetition.passes('ascent', 0.3)];
    return [
      ...sided(repetition, of, ['parallel', 'bottom']),
      ...(['both', 'left', 'right'] as const).map((side) => {
        const track: InTime = side === 'both' ? (t) => bothOf((one) => of(one)(t)) : of(side);
        return { at: 'smallest', side, value: smallestHeld(track, from, to, HELD_S) };
      }),
    ];
  },
  toe_lift: lift('bigToe'),
  heel_lift: lift('heel'),
  feet_moved: feetMoved,
  hip_shift: (repetition) =>
    readingsOf(
      repetition,
      sinceAroundStart(repetition, (t) => {
        const body = repetition.set.body(t);
        return middleOf(body, 'hip', 2) - middleOf(body, 'ankle', 2);
      }),
      ['parallel', 'bottom', 'drive'],
    ),
  hips_tilt: (repetition) =>
    readingsOf(repetition, (t) => slopeFromTheFront(repetition.set.body(t), 'hip'), ['start', 'bottom']),
  left_minus_right_thigh: (repetition) =>
    readingsOf(
      repetition,
      (t) => {
        const body = repetition.set.body(t);
        return thighElevation(body, 'left') - thighElevation(body, 'right');
      },
      ['bottom'],
    ),
  bottom_thigh_elevation: (repetition) =>
    sided(repetition, (side) => (t) => thighElevation(repetition.set.body(t), side), ['bottom']),
  knee_flexion_bottom: (repetition) =>
    sided(repetition, (side) => (t) => kneeFlexion(repetition.set.body(t), side), ['bottom']),
  hip_drop: ({ dropM }) => [{ at: 'bottom', side: '', value: dropM }],
  stance_ankle_distance: stance('ankle'),
  stance_heel_distance: stance('heel'),
  stance_per_hip_width: stance('ankle', ({ startS, set }) => distance(set.body(startS), 'hip')),
  stance_per_shoulder_width: stance('ankle', ({ startS, set }) => distance(set.body(startS), 'shoulder')),
  stance_per_leg_length: stance('ankle', ({ startS, set }) => legLength(set.body(startS))),
  stance_stagger: (repetition) =>
    start(
      aroundStart(repetition, (t) => {
        const { left, right } = repetition.set.body(t);
        return left.ankle[0] - right.ankle[0];
      }),
    ),
  toe_out: (repetition) =>
    sidedReadings((side) =>
      start(
        aroundStart(repetition, (t) => toeOut(repetition.set.body(t), side)),
        side,
      ),
    ),
};

/** Slope of the line from the left to the right point, seen from the front: right end higher positive. */
export function slopeFromTheFront({ left, right }: BothSides, part: 'hip' | 'shoulder' | 'barEnd'): number {
  return degrees(atan2(right[part][1] - left[part][1], right[part][2] - left[part][2]));
}

export function distance({ left, right }: BothSides, part: keyof BothSides['left']): number {
  return norm(subtract(left[part], right[part]));
}

/** Thigh and shank, mean of the sides. */
export function legLength(body: BothSides): number {
  return bothOf((side) => {
    const { hip, knee, ankle } = body[side];
    return norm(subtract(hip, knee)) + norm(subtract(knee, ankle));
  });
}
