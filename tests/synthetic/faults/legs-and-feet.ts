import { type BothSides, type Half, middle, type Side } from '../both-sides.ts';
import type { VirtualLift } from '../lift.ts';
import { add, norm, scale, subtract, unit, type Vector } from '../vector.ts';
import type { Fault } from './fault.ts';
import { halfWith, lowered, onSides, type Reshape, reshaped, turnAbout, withLeg, withUpper } from './reshaped.ts';
import { betweenRepetitions, type When, withDepth } from './when.ts';

const FORWARD: Vector = [1, 0, 0];
const { PI, abs } = Math;
const DEG = PI / 180;

/** Where the toes point, level. */
function ahead({ heel, bigToe }: Half): Vector {
  return unit([bigToe[0] - heel[0], 0, bigToe[2] - heel[2]]);
}

/** The foot turned as one piece in its own upright plane about a point of it, toes down positive; the knee follows. */
function pitchedFoot(half: Half, about: Vector, angleRad: number): Half {
  const [x, , z] = ahead(half);
  // Level, to the right of the toes: turning by the right hand about it lifts the toes.
  const turn = turnAbout(about, [-z, 0, x], -angleRad);
  return withLeg(half, {
    ankle: turn(half.ankle),
    heel: turn(half.heel),
    bigToe: turn(half.bigToe),
    smallToe: turn(half.smallToe),
  });
}

const footLength = ({ heel, bigToe }: Half) => norm(subtract(bigToe, heel));

function movedFoot(half: Half, by: Vector): Half {
  return withLeg(half, {
    ankle: add(half.ankle, by),
    heel: add(half.heel, by),
    bigToe: add(half.bigToe, by),
    smallToe: add(half.smallToe, by),
  });
}

/** The knee swung about the line from hip to ankle, outward positive, metres along its circle. */
function swungKnee(half: Half, side: Side, byM: number): Half {
  const axis = unit(subtract(half.ankle, half.hip));
  const from = subtract(half.knee, half.hip);
  const along = axis[0] * from[0] + axis[1] * from[1] + axis[2] * from[2];
  const radius = norm(subtract(from, scale(axis, along)));
  const turn = turnAbout(half.hip, axis, (side === 'right' ? -1 : 1) * (byM / radius));
  return halfWith(half, { knee: turn(half.knee) });
}

type OfSides = (sides: readonly Side[], size: number) => Reshape;

const moved = (
  words: string,
  measure: Fault['measure'],
  range: Fault['range'],
  reshape: (lift: VirtualLift) => OfSides,
): Fault => ({
  words,
  measure,
  kind: 'moved',
  range,
  apply: (lift, size, which) => reshaped(lift, reshape(lift)(which, size)),
});

/** The change of each side grows with `when`. */
const ofEachSide =
  (when: (lift: VirtualLift) => When, change: (half: Half, side: Side, size: number) => Half) =>
  (lift: VirtualLift): OfSides => {
    const share = when(lift);
    return (which, size) => (sides, t) => onSides(sides, which, (half, side) => change(half, side, size * share(t)));
  };

/** A leg that stands all but straight does not reach further: who steps or tilts stands this much lower for each metre of it. */
const LOWER_PER_STEP = 0.3;

const deep = (lift: VirtualLift) => withDepth(lift.course);

/** Hips turned about the fore–aft axis through their middle, right hip up positive; the trunk stays. */
function rolledHips(sides: BothSides, angleRad: number): BothSides {
  const turn = turnAbout(middle(sides, 'hip'), FORWARD, -angleRad);
  return onSides(sides, ['left', 'right'], (half) => withLeg(half, { hip: turn(half.hip) }));
}

/** Hips and all above them moved to the right. */
function shiftedHips(sides: BothSides, byM: number): BothSides {
  const by: Vector = [0, 0, byM];
  const legs = onSides(sides, ['left', 'right'], (half) => withLeg(half, { hip: add(half.hip, by) }));
  return withUpper(legs, (point) => add(point, by));
}

export const LEG_FAULTS = {
  'heel lifts': moved(
    'The heel comes up as the lifter sinks, the foot turning about its toe.',
    { measure: 'heel_lift', at: 'largest', side: 'both' },
    [0, 0.09],
    ofEachSide(deep, (half, _side, size) => pitchedFoot(half, half.bigToe, size / footLength(half))),
  ),
  'toes lift': moved(
    'The toes come up as the lifter sinks, the foot turning about its heel.',
    { measure: 'toe_lift', at: 'largest', side: 'both' },
    [0, 0.09],
    ofEachSide(deep, (half, _side, size) => pitchedFoot(half, half.heel, -size / footLength(half))),
  ),
  'knees drift in': moved(
    'The knees swing inward about the line from hip to ankle as the lifter sinks.',
    { measure: 'knee_track', at: 'smallest', side: 'both' },
    [-0.12, 0.2],
    ofEachSide(deep, (half, side, size) => swungKnee(half, side, -size)),
  ),
  'feet step': moved(
    'The feet stand further forward from the second repetition on.',
    { measure: 'feet_moved', at: 'start', side: 'both' },
    [0, 0.09],
    (lift) => {
      const share = betweenRepetitions(lift.course);
      return (which, size) => (sides, t) =>
        onSides(lowered(sides, LOWER_PER_STEP * size), which, (half) => movedFoot(half, [size * share(t), 0, 0]));
    },
  ),
  'one foot ahead': moved(
    'The left foot stands ahead of the right one.',
    { measure: 'stance_stagger', at: 'start', side: '' },
    [-0.12, 0.12],
    () => (_which, size) => (sides) =>
      onSides(lowered(sides, LOWER_PER_STEP * abs(size)), ['left', 'right'], (half, side) =>
        movedFoot(half, [(side === 'left' ? 1 : -1) * (size / 2), 0, 0]),
      ),
  ),
  'hips shift': moved(
    'The hips, and all above, move to the right as the lifter sinks.',
    { measure: 'hip_shift', at: 'bottom', side: '' },
    [-0.12, 0.12],
    (lift) => {
      const share = deep(lift);
      return (_which, size) => (sides, t) => shiftedHips(sides, size * share(t));
    },
  ),
  'hips tilt': moved(
    'The right hip stands higher than the left as the lifter sinks: one side goes deeper.',
    { measure: 'hips_tilt', at: 'bottom', side: '' },
    [-25 * DEG, 25 * DEG],
    (lift) => {
      const share = deep(lift);
      return (_which, size) => (sides, t) => rolledHips(sides, size * share(t));
    },
  ),
  'hips stand tilted': moved(
    'The right hip stands higher than the left all the time.',
    { measure: 'hips_tilt', at: 'start', side: '' },
    [-10 * DEG, 10 * DEG],
    () => (_which, size) => (sides) => rolledHips(lowered(sides, LOWER_PER_STEP * abs(size)), size),
  ),
} as const satisfies Record<string, Fault>;
