import { particleSet } from '../bodies.ts';
import { type BothSides, bothSidesOf, type Half, middle, postureOfSides, type Side } from '../both-sides.ts';
import type { VirtualLift } from '../lift.ts';
import type { Posture } from '../posture.ts';
import { add, dot, scale, subtract, type Vector } from '../vector.ts';

const { cos, sin, sqrt } = Math;

/** By sqrt: lengths here are metres, and hypot, which guards against overflow, takes twenty times as long. */
const norm = (a: Vector): number => sqrt(dot(a, a));
const unit = (a: Vector): Vector => scale(a, 1 / norm(a));

/** How a lifter's places differ at a time from what they were. */
export type Reshape = (sides: BothSides, t: number) => BothSides;

/** Places at a time, of the posture they were made from. */
interface Placed {
  readonly posture: Posture;
  readonly sides: BothSides;
}

/** What a lift was before it was reshaped, by what, in order, and places at the times that were asked for. */
interface Made {
  readonly before: VirtualLift;
  readonly changes: readonly Reshape[];
  readonly placed: Map<number, Placed>;
}
const made = new WeakMap<VirtualLift, Made>();

/** So many times are remembered a lift: those that habits are tried at, one after the other. */
const REMEMBERED = 400;

/** The lift with its points moved. Mass rides on the moved segments: forces are those of the moved lifter, who need not balance. */
export function reshaped(lift: VirtualLift, change: Reshape): VirtualLift {
  const { before, changes, placed: knownBefore } = made.get(lift) ?? { before: lift, changes: [], placed: new Map() };
  const all = [...changes, change];
  const { setup } = before;
  const placed = new Map<number, Placed>();
  const placedAt = (t: number): Placed => {
    const known = knownBefore.get(t);
    if (known) return { posture: known.posture, sides: change(known.sides, t) };
    const posture = before.postureAt(t);
    let sides = bothSidesOf(posture, setup.equipment.barLengthM);
    for (const one of all) sides = one(sides, t);
    return { posture, sides };
  };
  const postureAt = (t: number): Posture => {
    let here = placed.get(t);
    if (here === undefined) {
      here = placedAt(t);
      if (placed.size < REMEMBERED) placed.set(t, here);
    }
    return postureOfSides(setup, here.posture, here.sides);
  };
  const found = { ...before, postureAt, particles: particleSet(postureAt(0).bodies) };
  made.set(found, { before, changes: all, placed });
  return found;
}

/**
 * Joint between two ends at fixed distances from both: on the circle that both allow, nearest to where it was. Throws where the
 * ends are too far apart or too near.
 */
export function jointNear(a: Vector, b: Vector, fromA: number, fromB: number, before: Vector): Vector {
  const reach = subtract(b, a);
  const distance = norm(reach);
  const axis = scale(reach, 1 / distance);
  const along = (fromA ** 2 - fromB ** 2 + distance ** 2) / (2 * distance);
  const radius = sqrt(fromA ** 2 - along ** 2);
  if (Number.isNaN(radius)) throw new Error(`limbs of ${fromA} and ${fromB} m do not span ${distance} m`);
  const aside = subtract(before, a);
  const out = unit(subtract(aside, scale(axis, dot(aside, axis))));
  return add(a, add(scale(axis, along), scale(out, radius)));
}

/** A half with some points changed. Written out: spreads of objects this large take most of the time of a posture. */
export function halfWith(one: Half, change: Partial<Half>): Half {
  return {
    heel: change.heel ?? one.heel,
    bigToe: change.bigToe ?? one.bigToe,
    smallToe: change.smallToe ?? one.smallToe,
    ankle: change.ankle ?? one.ankle,
    knee: change.knee ?? one.knee,
    hip: change.hip ?? one.hip,
    shoulder: change.shoulder ?? one.shoulder,
    elbow: change.elbow ?? one.elbow,
    wrist: change.wrist ?? one.wrist,
    hand: change.hand ?? one.hand,
    ear: change.ear ?? one.ear,
    eye: change.eye ?? one.eye,
    barEnd: change.barEnd ?? one.barEnd,
  };
}

/** One side with other hips or feet: the knee follows, thigh and shank as long as before. */
export function withLeg(
  before: Half,
  change: Partial<Pick<Half, 'hip' | 'ankle' | 'heel' | 'bigToe' | 'smallToe'>>,
): Half {
  const next = halfWith(before, change);
  const [thigh, shank] = [norm(subtract(before.knee, before.hip)), norm(subtract(before.ankle, before.knee))];
  return halfWith(next, { knee: jointNear(next.hip, next.ankle, thigh, shank, before.knee) });
}

/** One side with another shoulder or wrist: the elbow follows, and the hand goes with the forearm's end. */
export function withArm(before: Half, change: Partial<Pick<Half, 'shoulder' | 'wrist' | 'hand' | 'barEnd'>>): Half {
  const next = halfWith(before, change);
  const [upper, fore] = [norm(subtract(before.elbow, before.shoulder)), norm(subtract(before.wrist, before.elbow))];
  return halfWith(next, { elbow: jointNear(next.shoulder, next.wrist, upper, fore, before.elbow) });
}

/** The sides that a fault is on, changed. */
export function onSides(sides: BothSides, which: readonly Side[], change: (half: Half, side: Side) => Half): BothSides {
  const { nose, vertex, neckBase, midBack, spine } = sides;
  const left = which.includes('left') ? change(sides.left, 'left') : sides.left;
  const right = which.includes('right') ? change(sides.right, 'right') : sides.right;
  return { left, right, nose, vertex, neckBase, midBack, spine };
}

/** Everything above the hips moved as one piece. */
export function withUpper(sides: BothSides, move: (point: Vector) => Vector): BothSides {
  const half = (one: Half): Half => ({
    heel: one.heel,
    bigToe: one.bigToe,
    smallToe: one.smallToe,
    ankle: one.ankle,
    knee: one.knee,
    hip: one.hip,
    shoulder: move(one.shoulder),
    elbow: move(one.elbow),
    wrist: move(one.wrist),
    hand: move(one.hand),
    ear: move(one.ear),
    eye: move(one.eye),
    barEnd: move(one.barEnd),
  });
  return {
    left: half(sides.left),
    right: half(sides.right),
    nose: move(sides.nose),
    vertex: move(sides.vertex),
    neckBase: move(sides.neckBase),
    midBack: move(sides.midBack),
    spine: [move(sides.spine[0]), move(sides.spine[1]), move(sides.spine[2])],
  };
}

/** Every point moved. */
export function allMoved(sides: BothSides, move: (point: Vector) => Vector): BothSides {
  const upper = withUpper(sides, move);
  const half = (one: Half, from: Half): Half => ({
    shoulder: one.shoulder,
    elbow: one.elbow,
    wrist: one.wrist,
    hand: one.hand,
    ear: one.ear,
    eye: one.eye,
    barEnd: one.barEnd,
    heel: move(from.heel),
    bigToe: move(from.bigToe),
    smallToe: move(from.smallToe),
    ankle: move(from.ankle),
    knee: move(from.knee),
    hip: move(from.hip),
  });
  return { ...upper, left: half(upper.left, sides.left), right: half(upper.right, sides.right) };
}

/** Hips and all above them lower: knees bend further. */
export function lowered(sides: BothSides, byM: number): BothSides {
  const down = (point: Vector): Vector => [point[0], point[1] - byM, point[2]];
  const upper = withUpper(sides, down);
  return onSides(upper, ['left', 'right'], (half) => withLeg(half, { hip: down(half.hip) }));
}

/** The bar with both hands moved; the elbows follow. */
export function withBar(sides: BothSides, move: (point: Vector) => Vector): BothSides {
  return onSides(sides, ['left', 'right'], (half) =>
    withArm(half, { wrist: move(half.wrist), hand: move(half.hand), barEnd: move(half.barEnd) }),
  );
}

/** A turn about a line through `centre` along a unit axis, by the right hand, radians (Rodrigues). */
export function turnAbout(centre: Vector, axis: Vector, angleRad: number): (point: Vector) => Vector {
  const [c, s] = [cos(angleRad), sin(angleRad)];
  return (point) => {
    const from = subtract(point, centre);
    const crossed: Vector = [
      axis[1] * from[2] - axis[2] * from[1],
      axis[2] * from[0] - axis[0] * from[2],
      axis[0] * from[1] - axis[1] * from[0],
    ];
    return add(centre, add(add(scale(from, c), scale(crossed, s)), scale(axis, (1 - c) * dot(axis, from))));
  };
}

/** Unit vector from the hips to the shoulders. */
export const trunkAxis = (sides: BothSides): Vector => unit(subtract(middle(sides, 'shoulder'), middle(sides, 'hip')));
