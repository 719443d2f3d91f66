import { particleSet } from '../bodies.ts';
import { type BothSides, bothSidesOf, type Half, middle, postureOfSides, type Side } from '../both-sides.ts';
import type { VirtualLift } from '../lift.ts';
import type { Posture } from '../posture.ts';
import { add, dot, norm, scale, subtract, unit, type Vector } from '../vector.ts';

const { cos, sin, sqrt } = Math;

/** How a lifter's places differ at a time from what they were. */
export type Reshape = (sides: BothSides, t: number) => BothSides;

/** What a lift was before it was reshaped, and by what, in order. */
const made = new WeakMap<VirtualLift, { readonly before: VirtualLift; readonly changes: readonly Reshape[] }>();

/** The lift with its points moved. Mass rides on the moved segments: forces are those of the moved lifter, who need not balance. */
export function reshaped(lift: VirtualLift, change: Reshape): VirtualLift {
  const { before, changes } = made.get(lift) ?? { before: lift, changes: [] };
  const all = [...changes, change];
  const { setup } = before;
  const postureAt = (t: number): Posture => {
    const posture = before.postureAt(t);
    let sides = bothSidesOf(posture, setup.equipment.barLengthM);
    for (const one of all) sides = one(sides, t);
    return postureOfSides(setup, posture, sides);
  };
  const found = { ...before, postureAt, particles: particleSet(postureAt(0).bodies) };
  made.set(found, { before, changes: all });
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

/** One side with other hips or feet: the knee follows, thigh and shank as long as before. */
export function withLeg(
  before: Half,
  change: Partial<Pick<Half, 'hip' | 'ankle' | 'heel' | 'bigToe' | 'smallToe'>>,
): Half {
  const next = { ...before, ...change };
  const [thigh, shank] = [norm(subtract(before.knee, before.hip)), norm(subtract(before.ankle, before.knee))];
  return { ...next, knee: jointNear(next.hip, next.ankle, thigh, shank, before.knee) };
}

/** One side with another shoulder or wrist: the elbow follows, and the hand goes with the forearm's end. */
export function withArm(before: Half, change: Partial<Pick<Half, 'shoulder' | 'wrist' | 'hand' | 'barEnd'>>): Half {
  const next = { ...before, ...change };
  const [upper, fore] = [norm(subtract(before.elbow, before.shoulder)), norm(subtract(before.wrist, before.elbow))];
  return { ...next, elbow: jointNear(next.shoulder, next.wrist, upper, fore, before.elbow) };
}

/** The sides that a fault is on, changed. */
export function onSides(sides: BothSides, which: readonly Side[], change: (half: Half, side: Side) => Half): BothSides {
  return {
    ...sides,
    left: which.includes('left') ? change(sides.left, 'left') : sides.left,
    right: which.includes('right') ? change(sides.right, 'right') : sides.right,
  };
}

/** Everything above the hips moved as one piece. */
export function withUpper(sides: BothSides, move: (point: Vector) => Vector): BothSides {
  const half = (one: Half): Half => ({
    ...one,
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
    ...one,
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
