import { type BothSides, type Half, middle, type Side } from '../both-sides.ts';
import type { VirtualLift } from '../lift.ts';
import { add, cross, norm, scale, subtract, unit, type Vector } from '../vector.ts';
import type { Fault } from './fault.ts';
import { halfWith, onSides, reshaped, trunkAxis, turnAbout, withArm, withBar, withUpper } from './reshaped.ts';
import { always, fromDescent, inDrive, type When, withDepth } from './when.ts';

const { PI, max, min } = Math;
const DEG = PI / 180;
const SIDEWAYS: Vector = [0, 0, 1];
const FORWARD: Vector = [1, 0, 0];
const UP: Vector = [0, 1, 0];

const deep = ({ course }: VirtualLift) => withDepth(course);
const stays = ({ course }: VirtualLift) => fromDescent(course);
const drive = ({ course }: VirtualLift) => inDrive(course);
const constant = () => always;

const moved = (
  words: string,
  measure: Fault['measure'],
  range: Fault['range'],
  when: (lift: VirtualLift) => When,
  change: (sides: BothSides, size: number, which: readonly Side[]) => BothSides,
): Fault => ({
  words,
  measure,
  kind: 'moved',
  range,
  apply: (lift, size, which) => {
    const share = when(lift);
    return reshaped(lift, (sides, t) => change(sides, size * share(t), which));
  },
});

/** All above the hips leaning further forward. */
const leaning = (sides: BothSides, byRad: number): BothSides =>
  withUpper(sides, turnAbout(middle(sides, 'hip'), SIDEWAYS, -byRad));

/** All above the middle of the back bent forward about it. */
function rounded(sides: BothSides, byRad: number): BothSides {
  const bent = withUpper(sides, turnAbout(sides.midBack, SIDEWAYS, -byRad));
  return { ...bent, midBack: sides.midBack, spine: [sides.spine[0], sides.spine[1], bent.spine[2]] };
}

/** The shoulders, and all that hangs on them, nearer to the hips along the trunk. */
function shortened(sides: BothSides, share: number): BothSides {
  const chord = subtract(middle(sides, 'shoulder'), middle(sides, 'hip'));
  return withUpper(sides, (point) => subtract(point, scale(chord, share)));
}

/** Shoulders, arms, head and bar turned about the fore–aft axis, right side up positive. */
const rolledShoulders = (sides: BothSides, byRad: number): BothSides => {
  const rolled = withUpper(sides, turnAbout(middle(sides, 'shoulder'), FORWARD, -byRad));
  return { ...rolled, midBack: sides.midBack, spine: sides.spine };
};

/** Eyes, nose and crown turned about the ears, face up positive. */
function facingUp(sides: BothSides, byRad: number): BothSides {
  const turn = turnAbout(middle(sides, 'ear'), SIDEWAYS, byRad);
  return {
    ...onSides(sides, ['left', 'right'], (half) => halfWith(half, { eye: turn(half.eye) })),
    nose: turn(sides.nose),
    vertex: turn(sides.vertex),
  };
}

/** The elbow swung about the line from shoulder to wrist, positive from the front of a rack downward. */
function swungElbow(half: Half, side: Side, byRad: number): Half {
  const axis = unit(subtract(half.wrist, half.shoulder));
  return halfWith(half, { elbow: turnAbout(half.shoulder, axis, side === 'right' ? -byRad : byRad)(half.elbow) });
}

/** Part of a drop by which the elbows begin higher: about a rack's line they can sink by a third of a right angle only. */
const HELD_HIGHER = 0.6;
const LOWEST_SWING = 25 * DEG;
/** Metres for each further radian. */
const HANDS_LOWER = 0.12;

/** Swung down as far as the circle goes, then the hand lower. */
function lowElbow(half: Half, side: Side, byRad: number): Half {
  const swung = swungElbow(half, side, min(byRad, LOWEST_SWING));
  const by: Vector = [0, -HANDS_LOWER * max(0, byRad - LOWEST_SWING), 0];
  return withArm(swung, { wrist: add(swung.wrist, by), hand: add(swung.hand, by) });
}

/** The hand bent back at the wrist, about the level line across the forearm. */
function bentWrist(half: Half, byRad: number): Half {
  const forearm = unit(subtract(half.wrist, half.elbow));
  const across = unit(cross(forearm, UP));
  return halfWith(half, { hand: turnAbout(half.wrist, across, byRad)(half.hand) });
}

/** The hands further out along the bar. */
const widerHands = (half: Half, side: Side, byM: number): Half => {
  const by: Vector = [0, 0, side === 'right' ? byM : -byM];
  return withArm(half, { wrist: add(half.wrist, by), hand: add(half.hand, by) });
};

const barCentre = (sides: BothSides): Vector => middle(sides, 'barEnd');

export const UPPER_FAULTS = {
  'trunk tips in the drive': moved(
    'The trunk tips forward in the first third of the way up: the hips rise before the shoulders.',
    { measure: 'lean_gained_in_drive', at: 'ascent', side: '' },
    [-30 * DEG, 45 * DEG],
    drive,
    leaning,
  ),
  'back rounds': moved(
    'The upper back bends forward about its middle as the lifter sinks.',
    { measure: 'trunk_rounding', at: 'largest', side: '' },
    [-10 * DEG, 40 * DEG],
    deep,
    rounded,
  ),
  'trunk shortens': moved(
    'Shoulders come nearer to the hips as the lifter sinks.',
    { measure: 'chord_shortening', at: 'largest', side: '' },
    [0, 0.2],
    deep,
    shortened,
  ),
  'shoulders tilt': moved(
    'The right shoulder, with arms and bar, stands higher as the lifter sinks.',
    { measure: 'shoulders_tilt', at: 'bottom', side: '' },
    [-20 * DEG, 20 * DEG],
    deep,
    rolledShoulders,
  ),
  'head tips': moved(
    'The face turns up as the lifter sinks.',
    { measure: 'head_tilt', at: 'bottom', side: '' },
    [-60 * DEG, 60 * DEG],
    deep,
    facingUp,
  ),
  'head held': moved(
    'The face is held up all the time.',
    { measure: 'head_tilt', at: 'start', side: '' },
    [-60 * DEG, 60 * DEG],
    constant,
    facingUp,
  ),
  'elbows drop': moved(
    'The elbows begin higher, sink about the line from shoulder to wrist in the descent, and stay down until the stand.',
    { measure: 'upper_arm_drop', at: 'bottom', side: 'both' },
    [-40 * DEG, 110 * DEG],
    (lift) => {
      const share = stays(lift);
      return (t) => share(t) - HELD_HIGHER;
    },
    (sides, size, which) => onSides(sides, which, (half, side) => swungElbow(half, side, size)),
  ),
  'elbows held low': moved(
    'The elbows are low from the start; lower still with the hands lower too.',
    { measure: 'upper_arm_elevation', at: 'start', side: 'both' },
    [-60 * DEG, 80 * DEG],
    constant,
    (sides, size, which) => onSides(sides, which, (half, side) => lowElbow(half, side, size)),
  ),
  'wrists bend back': moved(
    'The hands are bent back at the wrists all the time.',
    { measure: 'wrist_extension', at: 'start', side: 'both' },
    [0, 110 * DEG],
    constant,
    (sides, size, which) => onSides(sides, which, bentWristBy(size)),
  ),
  'hands wide': moved(
    'The hands hold the bar further out.',
    { measure: 'hand_spacing', at: 'start', side: '' },
    [-0.12, 0.15],
    constant,
    (sides, size) => onSides(sides, ['left', 'right'], (half, side) => widerHands(half, side, size)),
  ),
  'bar slips': moved(
    'Bar and hands slide down along the trunk in the descent and stay there.',
    { measure: 'bar_slip', at: 'bottom', side: '' },
    [-0.08, 0.1],
    stays,
    (sides, size) => {
      const down = scale(trunkAxis(sides), -size);
      return withBar(sides, (point) => add(point, down));
    },
  ),
  'bar drifts': moved(
    'Bar and hands move forward in the descent and stay there.',
    { measure: 'bar_drift', at: 'bottom', side: '' },
    [-0.12, 0.12],
    stays,
    (sides, size) => withBar(sides, (point) => add(point, [size, 0, 0])),
  ),
  'bar held ahead': moved(
    'Bar and hands are further forward all the time.',
    { measure: 'bar_over_midfoot', at: 'start', side: '' },
    [-0.12, 0.12],
    constant,
    (sides, size) => withBar(sides, (point) => add(point, [size, 0, 0])),
  ),
  'bar tilts': moved(
    'The right end of the bar rises as the lifter sinks.',
    { measure: 'bar_tilt', at: 'bottom', side: '' },
    [-15 * DEG, 15 * DEG],
    deep,
    (sides, size) => withBar(sides, turnAbout(barCentre(sides), FORWARD, -size)),
  ),
  'bar turns': moved(
    'The right end of the bar comes ahead as the lifter sinks.',
    { measure: 'bar_turn', at: 'bottom', side: '' },
    [-15 * DEG, 15 * DEG],
    deep,
    (sides, size) => withBar(sides, turnAbout(barCentre(sides), UP, size)),
  ),
} as const satisfies Record<string, Fault>;

function bentWristBy(size: number): (half: Half) => Half {
  return (half) => (norm(subtract(half.hand, half.wrist)) > 0 ? bentWrist(half, size) : half);
}
