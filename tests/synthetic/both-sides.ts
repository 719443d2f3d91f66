import type { Landmark } from '../../src/capture/landmarks.ts';
import { ABOVE_ANKLES, ABOVE_FLOOR, ABOVE_HIPS, ABOVE_KNEES, type Body, bodyBetween } from './bodies.ts';
import type { Legs, Posture, Setup, Upper } from './posture.ts';
import { add, between, mirrored, scale, subtract, unit, type Vector } from './vector.ts';

export type Side = 'left' | 'right';
export const BOTH = ['left', 'right'] as const;

/** Points of one side of a lifter, lab axes, metres; the hand is its third knuckle. */
export interface Half {
  readonly heel: Vector;
  readonly bigToe: Vector;
  readonly smallToe: Vector;
  readonly ankle: Vector;
  readonly knee: Vector;
  readonly hip: Vector;
  readonly shoulder: Vector;
  readonly elbow: Vector;
  readonly wrist: Vector;
  readonly hand: Vector;
  readonly ear: Vector;
  readonly eye: Vector;
  readonly barEnd: Vector;
}

/** A whole lifter whose left side need not be the mirror image of the right. */
export interface BothSides {
  readonly left: Half;
  readonly right: Half;
  readonly nose: Vector;
  readonly vertex: Vector;
  readonly neckBase: Vector;
  readonly midBack: Vector;
  /** The two bends of a bending trunk and its top. */
  readonly spine: readonly [Vector, Vector, Vector];
}

/** Midpoint of a point of both sides. */
export const middle = ({ left, right }: BothSides, part: keyof Half): Vector => between(left[part], right[part], 0.5);

/** Both sides of a posture; the left is the mirror image where nothing else is said. */
export function bothSidesOf(posture: Posture, barLengthM: number): BothSides {
  if (posture.sides) return posture.sides;
  const { legs, upper } = posture;
  const right: Half = {
    heel: legs.heel,
    bigToe: legs.bigToe,
    smallToe: legs.smallToe,
    ankle: legs.ankle,
    knee: legs.knee,
    hip: legs.hip,
    shoulder: upper.shoulder,
    elbow: upper.elbow,
    wrist: upper.wrist,
    hand: upper.knuckle,
    ear: upper.ear,
    eye: upper.eye,
    barEnd: [upper.bar[0], upper.bar[1], barLengthM / 2],
  };
  return {
    left: mapHalf(right, mirrored),
    right,
    nose: upper.nose,
    vertex: upper.vertex,
    neckBase: upper.neckBase,
    midBack: upper.midBack,
    spine: [upper.spine[1], upper.spine[2], upper.spine[3]],
  };
}

/** Every point of a side, moved. */
function mapHalf(half: Half, move: (point: Vector) => Vector): Half {
  return {
    heel: move(half.heel),
    bigToe: move(half.bigToe),
    smallToe: move(half.smallToe),
    ankle: move(half.ankle),
    knee: move(half.knee),
    hip: move(half.hip),
    shoulder: move(half.shoulder),
    elbow: move(half.elbow),
    wrist: move(half.wrist),
    hand: move(half.hand),
    ear: move(half.ear),
    eye: move(half.eye),
    barEnd: move(half.barEnd),
  };
}

const LANDMARK_OF: Readonly<Record<Exclude<keyof Half, 'barEnd'>, string>> = {
  heel: 'heel',
  bigToe: 'big_toe',
  smallToe: 'small_toe',
  ankle: 'ankle',
  knee: 'knee',
  hip: 'hip',
  shoulder: 'shoulder',
  elbow: 'elbow',
  wrist: 'wrist',
  hand: 'hand',
  ear: 'ear',
  eye: 'eye',
};

/** The points that are filmed. */
export function landmarksOfSides(sides: BothSides, withBar: boolean): Map<Landmark, Vector> {
  const points = new Map<Landmark, Vector>([['nose', sides.nose]]);
  for (const side of BOTH) {
    for (const [part, name] of Object.entries(LANDMARK_OF)) {
      points.set(`${side}_${name}` as Landmark, sides[side][part as keyof Half]);
    }
    if (withBar) points.set(`bar_${side}_end`, sides[side].barEnd);
  }
  points.set('head', sides.vertex);
  points.set('neck_base', sides.neckBase);
  points.set('mid_back', sides.midBack);
  return points;
}

/**
 * A posture with sides of its own. `legs` and `upper` are what is midway between the right side and the mirrored left (the
 * mid-joints are those of the two sides); masses ride on each side's own segments.
 */
export function postureOfSides(setup: Setup, like: Posture, sides: BothSides): Posture {
  const average = (part: keyof Half) => between(sides.right[part], mirrored(sides.left[part]), 0.5);
  let bodies: readonly Body[] | null = null;
  // Made when asked for: most askers want points only.
  return {
    leanRad: like.leanRad,
    sides,
    get legs(): Legs {
      return {
        heel: average('heel'),
        bigToe: average('bigToe'),
        smallToe: average('smallToe'),
        ankle: average('ankle'),
        knee: average('knee'),
        hip: average('hip'),
        midHip: middle(sides, 'hip'),
        footTiltRad: like.legs.footTiltRad,
      };
    },
    get upper(): Upper {
      return {
        spine: [middle(sides, 'hip'), ...sides.spine],
        pieceLeanRad: like.upper.pieceLeanRad,
        midShoulder: middle(sides, 'shoulder'),
        shoulder: average('shoulder'),
        elbow: average('elbow'),
        wrist: average('wrist'),
        knuckle: average('hand'),
        neckBase: sides.neckBase,
        midBack: sides.midBack,
        vertex: sides.vertex,
        ear: average('ear'),
        eye: average('eye'),
        nose: sides.nose,
        bar: middle(sides, 'barEnd'),
      };
    },
    get bodies() {
      bodies ??= bodiesOfSides(setup, sides);
      return bodies;
    },
  };
}

/** Bodies of a lifter of two sides, none of them a pair. */
export function bodiesOfSides(setup: Setup, sides: BothSides): Body[] {
  const { lifter, equipment } = setup;
  const midHip = middle(sides, 'hip');
  const [first, second, top] = sides.spine;
  const one = (...[name, level, from, to]: [Parameters<typeof bodyBetween>[1], Body['level'], Vector, Vector]) =>
    bodyBetween(setup, name, level, false, from, to);
  const trunk =
    lifter.trunk === 'straight'
      ? [one('trunk', ABOVE_HIPS, middle(sides, 'shoulder'), midHip)]
      : [
          one('upperTrunk', ABOVE_HIPS, top, second),
          one('middleTrunk', ABOVE_HIPS, second, first),
          one('lowerTrunk', ABOVE_HIPS, first, midHip),
        ];
  const limbs = BOTH.flatMap((side) => {
    const at = sides[side];
    return [
      one('upperArm', ABOVE_HIPS, at.shoulder, at.elbow),
      one('forearm', ABOVE_HIPS, at.elbow, at.wrist),
      one('hand', ABOVE_HIPS, at.wrist, at.hand),
      one('thigh', ABOVE_KNEES, at.hip, at.knee),
      one('shank', ABOVE_ANKLES, at.knee, at.ankle),
      one('foot', ABOVE_FLOOR, at.heel, at.bigToe),
    ];
  });
  const head = one('head', ABOVE_HIPS, sides.vertex, sides.neckBase);
  const heads = lifter.thinRods ? [{ ...head, centre: middle(sides, 'ear'), spans: [0, 0, 0] as const }] : [head];
  return [...trunk, ...limbs, ...heads, ...(equipment.loadKg > 0 ? barBodies(setup, sides) : [])];
}

function barBodies({ equipment }: Setup, sides: BothSides): Body[] {
  const centre = middle(sides, 'barEnd');
  const along = unit(subtract(sides.right.barEnd, sides.left.barEnd));
  const axes: Body['axes'] = [along, [1, 0, 0], [0, 1, 0]];
  const halfKg = (equipment.loadKg - equipment.barMassKg) / 2;
  const disc = (at: number): Body => ({
    name: 'discs',
    level: ABOVE_HIPS,
    paired: false,
    massKg: halfKg,
    centre: add(centre, scale(along, at)),
    axes,
    spans: [0, 0, 0],
  });
  const shaft: Body = {
    name: 'bar',
    level: ABOVE_HIPS,
    paired: false,
    massKg: equipment.barMassKg,
    centre,
    axes,
    spans: [equipment.barLengthM / Math.sqrt(12), 0, 0],
  };
  return [shaft, disc(equipment.discAtM), disc(-equipment.discAtM)];
}
