import type { Drawing, Drawings } from './drawing.ts';
import {
  feetFromAbove,
  floor,
  fromAbove,
  fromFront,
  fromSide,
  lifterFromFront,
  lifterFromSide,
  sideLetters,
} from './lifter.ts';
import {
  ACCENT,
  arc,
  arrow,
  bearing,
  dimension,
  dot,
  INK,
  onBearing,
  type Point,
  plus,
  polyline,
  quotient,
  reference,
  text,
  zero,
} from './marks.ts';
import { drawnPosture, type Place, STANDING } from './posture.ts';

/** Widths from the front and from above, and lengths of the body from the side. */

const FRONT = drawnPosture({ ...STANDING, stanceM: 0.5 });
const AT = fromFront(58, 106, 60);
const front = (): string => floor(106, 6, 112) + lifterFromFront(FRONT, AT, { bar: false, arms: false });
const letters = (): string => sideLetters([92, 101], [24, 101]);

/** A width under or over two points of the front view. */
function width(a: Place, b: Place, y: number, colour = ACCENT): string {
  const [from, to] = [AT(a), AT(b)];
  return (
    reference(from, [from[0], y]) +
    reference(to, [to[0], y]) +
    dimension([from[0], y], [to[0], y], { colour }) +
    dot(from, 2.6, colour) +
    dot(to, 2.6, colour)
  );
}

const ankles = (): string => width(FRONT.left.ankle, FRONT.right.ankle, 114);

const perWidth = (what: string, points: readonly [Place, Place], y: number, below: number): Drawing => ({
  shows: `Lifter from the front: distance between the ankles over the distance between the ${what}`,
  draw: () => [front(), ankles(), width(points[0], points[1], y, INK), quotient(134, 62, 31, below), letters()],
});

const SIDE = drawnPosture(STANDING);
const AT_SIDE = fromSide(46, 105, 55);

type Part = 'femur' | 'tibia' | 'trunk' | 'foot' | 'leg' | 'upper arm' | 'forearm';
/** End points of a part and the distance of its dimension line from it, to the front + or to the back −. */
const PARTS: Readonly<Record<Exclude<Part, 'upper arm' | 'forearm'>, readonly [Place, Place]>> = {
  femur: [SIDE.right.hip, SIDE.right.knee],
  tibia: [SIDE.right.knee, SIDE.right.ankle],
  trunk: [SIDE.midHip, SIDE.midShoulder],
  foot: [SIDE.right.heel, SIDE.right.toe],
  leg: [SIDE.right.hip, SIDE.right.ankle],
};

function length(part: keyof typeof PARTS, colour: string, off: number): string {
  const [a, b] = PARTS[part].map(AT_SIDE) as [Point, Point];
  const aside = ([x, y]: Point): Point => (part === 'foot' ? [x, y + off] : [x + off, y]);
  return (
    polyline([a, b], { colour, width: 3.6 }) +
    dot(a, 2.6, colour) +
    dot(b, 2.6, colour) +
    dimension(aside(a), aside(b), { colour })
  );
}

const drawnLength = (part: keyof typeof PARTS): number => {
  const [a, b] = PARTS[part].map(AT_SIDE) as [Point, Point];
  return 0.8 * Math.hypot(a[0] - b[0], a[1] - b[1]);
};

const SIDE_POSTURE = (): string => floor(105, 6, 78) + lifterFromSide(SIDE, AT_SIDE, { bar: false, arms: false });

const per = (above: keyof typeof PARTS, below: keyof typeof PARTS): Drawing => ({
  shows: `Lifter from the side: length of the ${above} over length of the ${below}`,
  draw: () => [
    SIDE_POSTURE(),
    length(below, INK, -16),
    length(above, ACCENT, above === 'foot' ? 9 : 18),
    quotient(126, 64, drawnLength(above), drawnLength(below)),
    text([126, 44], above, { colour: ACCENT }),
    text([126, 90], below),
  ],
});

/** Where a length lies among those of a survey. */
const percentile = (part: 'femur' | 'tibia', word: string): Drawing => ({
  shows: `Lifter from the side, ${word} marked; beside it the spread of that length among many people: the part of them that is shorter, 0 to 1`,
  draw() {
    const bell = (u: number): Point => [92 + 58 * u, 94 - 52 * Math.exp(-(((u - 0.5) / 0.2) ** 2) / 2)];
    const points = (to: number) => Array.from({ length: 31 }, (_, i) => bell((to * i) / 30));
    const at = bell(0.66);
    return [
      SIDE_POSTURE(),
      length(part, ACCENT, 18),
      `<path d="M92 94L${points(0.66)
        .map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`)
        .join('L')}L${at[0].toFixed(1)} 94Z" fill="${ACCENT}" fill-opacity="0.6"/>`,
      polyline(points(1), { width: 1.8 }),
      polyline(
        [
          [90, 94],
          [153, 94],
        ],
        { width: 1.2 },
      ),
      polyline([at, [at[0], 98]], { colour: ACCENT, width: 2 }),
      text([94, 107], '0'),
      text([150, 107], '1'),
      text([122, 30], word),
    ];
  },
});

export const STANCE: Drawings = {
  stance_ankle_distance: {
    shows: 'Lifter from the front: distance between the two ankles on the floor',
    draw() {
      const at = fromFront(80, 98, 100);
      const [left, right] = [at(FRONT.left.ankle), at(FRONT.right.ankle)];
      return [
        floor(98),
        lifterFromFront(FRONT, at, { bar: false, arms: false, head: false }),
        reference(left, [left[0], 110]),
        reference(right, [right[0], 110]),
        dimension([left[0], 110], [right[0], 110]),
        dot(left, 3.2),
        dot(right, 3.2),
        sideLetters([140, 92], [20, 92]),
      ];
    },
  },
  stance_heel_distance: {
    shows: 'Feet from above: distance between the two heels on the floor',
    draw() {
      const at = fromAbove(80, 62, 165);
      const lifter = drawnPosture({ ...STANDING, stanceM: 0.4, toeOut: 18 });
      const [left, right] = [at(lifter.left.heel), at(lifter.right.heel)];
      return [
        feetFromAbove(lifter, at),
        reference(left, [left[0], 100]),
        reference(right, [right[0], 100]),
        dimension([left[0], 96], [right[0], 96]),
        dot(left, 3.2),
        dot(right, 3.2),
        sideLetters([20, 40], [140, 40]),
        arrow([80, 44], [80, 22], INK, 1.6),
        text([80, 56], 'front'),
      ];
    },
  },
  stance_per_hip_width: perWidth('hip joints', [FRONT.left.hip, FRONT.right.hip], 66, 13),
  stance_per_shoulder_width: perWidth('shoulder points', [FRONT.left.shoulder, FRONT.right.shoulder], 34, 24),
  stance_per_leg_length: {
    shows: 'Lifter from the front: distance between the ankles over the length of the straight leg from hip to ankle',
    draw() {
      const [hip, ankle] = [AT(FRONT.left.hip), AT(FRONT.left.ankle)];
      return [
        front(),
        ankles(),
        dot(hip, 2.6, INK),
        dimension([hip[0] + 18, hip[1]], [ankle[0] + 10, ankle[1]], { colour: INK }),
        quotient(134, 62, 24, 40),
        letters(),
      ];
    },
  },
  toe_out: {
    shows: 'Foot from above: angle from the way the lifter faces to the line from heel to big toe; outward is plus',
    draw() {
      const at = fromAbove(72, 84, 190);
      const lifter = drawnPosture({ ...STANDING, stanceM: 0.3, toeOut: 24 });
      const [heel, toe] = [at(lifter.right.heel), at(lifter.right.toe)];
      const tilt = bearing(heel, toe);
      return [
        feetFromAbove(lifter, at),
        reference(heel, [heel[0], 14]),
        zero([heel[0], 9]),
        polyline([heel, onBearing(heel, tilt, 84)], { colour: ACCENT, width: 2 }),
        dot(heel, 3.2),
        dot(toe, 3.2),
        arc(heel, 70, 0, tilt),
        plus(onBearing(heel, 13, 79)),
        sideLetters([16, 78], [132, 78]),
        text([heel[0] - 6, 24], 'front', { anchor: 'end' }),
      ];
    },
  },
  hip_width: {
    shows: 'Lifter from the front: distance between the two hip joint centres',
    draw: () => wide([FRONT.left.hip, FRONT.right.hip], 72),
  },
  shoulder_width: {
    shows: 'Lifter from the front: distance between the two shoulder points',
    draw: () => wide([FRONT.left.shoulder, FRONT.right.shoulder], 38),
  },
  femur_per_trunk: per('femur', 'trunk'),
  femur_per_tibia: per('femur', 'tibia'),
  leg_per_trunk: per('leg', 'trunk'),
  foot_per_femur: per('foot', 'femur'),
  forearm_per_upper_arm: {
    shows: 'Arm from the side: length of the forearm, elbow to wrist, over length of the upper arm, shoulder to elbow',
    draw() {
      const [shoulder, elbow, wrist]: Point[] = [
        [26, 34],
        [58, 86],
        [92, 38],
      ];
      const [u, f] = [bearing(shoulder, elbow), bearing(elbow, wrist)];
      return [
        polyline([shoulder, elbow], { width: 3.6 }),
        polyline([elbow, wrist], { colour: ACCENT, width: 3.6 }),
        dot(shoulder, 3, INK),
        dot(elbow, 3.4, INK),
        dot(wrist, 3),
        dimension(onBearing(shoulder, u + 90, 12), onBearing(elbow, u + 90, 12), { colour: INK }),
        dimension(onBearing(elbow, f + 90, 12), onBearing(wrist, f + 90, 12)),
        text([26, 24], 'shoulder'),
        text([58, 104], 'elbow'),
        text([96, 30], 'wrist'),
        quotient(132, 74, 40, 44),
      ];
    },
  },
  thigh_percentile: percentile('femur', 'thigh'),
  shank_percentile: percentile('tibia', 'shank'),
};

function wide([a, b]: readonly [Place, Place], y: number): string[] {
  const at = fromFront(80, 110, 64);
  const [left, right] = [at(a), at(b)];
  const below = y > 60 ? left[1] + 16 : left[1] + 14;
  return [
    floor(110),
    lifterFromFront(FRONT, at, { bar: false, arms: false }),
    polyline([left, right], { colour: ACCENT, width: 3 }),
    reference(left, [left[0], below + 4]),
    reference(right, [right[0], below + 4]),
    dimension([left[0], below], [right[0], below]),
    dot(left, 3.2),
    dot(right, 3.2),
    sideLetters([132, 104], [28, 104]),
  ];
}
