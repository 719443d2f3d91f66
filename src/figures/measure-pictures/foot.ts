import type { Drawings } from './drawing.ts';
import { feetFromAbove, floor, footFromAbove, fromAbove, fromSide, lifterFromSide, sideLetters } from './lifter.ts';
import {
  ACCENT,
  arrow,
  dimension,
  dot,
  footScale,
  INK,
  type Point,
  plus,
  polyline,
  reference,
  text,
  tick,
  zero,
} from './marks.ts';
import { BOTTOM, drawnPosture, STANDING } from './posture.ts';

/** A foot from the side, large: heel at 30, tip of the big toe at 130, on the floor at y. */
const foot = (y: number): string =>
  `<path d="M30 ${y - 4}C26 ${y - 22} 38 ${y - 34} 50 ${y - 34}C74 ${y - 32} 88 ${y - 14} 128 ${y - 11}C133 ${y - 9} 132 ${y - 1} 128 ${y}L34 ${y}Z" fill="none" stroke="currentColor" stroke-width="2.2"/>` +
  floor(y);

/** Mark of a centre of mass: a full diamond, as in the pictures of the lifter. */
const diamond = ([x, y]: Point, colour = ACCENT): string =>
  `<path d="M${x.toFixed(1)} ${(y - 6).toFixed(1)}l5 6l-5 6l-5 -6Z" fill="${colour}"/>`;

/** A foot from the side that bends at its ball, toe or heel off the floor. */
function footLift(lifted: 'toe' | 'heel'): string[] {
  const base = 96;
  const [heel, ball, toe]: Point[] =
    lifted === 'heel'
      ? [
          [40, 66],
          [98, 94],
          [124, 94],
        ]
      : [
          [38, 94],
          [94, 93],
          [124, 72],
        ];
  const ankle: Point = lifted === 'heel' ? [54, 42] : [54, 62];
  const end = lifted === 'heel' ? heel : toe;
  const x = lifted === 'heel' ? 22 : 140;
  return [
    floor(base),
    polyline([[ankle[0] + (lifted === 'heel' ? 26 : 14), ankle[1] - 42], ankle], { width: 3.4 }),
    polyline([heel, ankle, ball, toe], { width: 2.6 }),
    polyline([heel, ball], { width: 2.6 }),
    reference(end, [x, end[1]]),
    dot(end, 3.4),
    dimension([x, base], [x, end[1]], { headed: true }),
    plus([x, end[1] - 10]),
    zero([x, base + 10]),
    text([lifted === 'heel' ? end[0] + 6 : end[0] - 4, base + 14], lifted),
  ];
}

export const FOOT: Drawings = {
  com_along_foot: {
    shows:
      'Lifter from the side at the bottom: the centre of mass of lifter and bar dropped to the floor, read along the foot, 0 heel, 1 tip of the toe',
    draw() {
      const lifter = drawnPosture(BOTTOM);
      const at = fromSide(74, 98, 82);
      const [heel, toe] = [at(lifter.right.heel), at(lifter.right.toe)];
      const mass = at(lifter.centreOfMass);
      const x = mass[0];
      return [
        floor(98),
        lifterFromSide(lifter, at),
        polyline([mass, [x, 98]], { colour: ACCENT, width: 1.6, dash: '3 2' }),
        diamond(mass),
        footScale([heel[0], 105], [toe[0], 105], (x - heel[0]) / (toe[0] - heel[0])),
        text([heel[0] - 8, 117], 'heel', { anchor: 'end' }),
        text([toe[0] + 8, 117], 'toe', { anchor: 'start' }),
      ];
    },
  },
  cop_along_foot: {
    shows:
      'Foot from the side: the force of the floor as an arrow up; where it acts, read along the foot, 0 heel, 1 tip of the toe',
    draw: () => [
      polyline(
        [
          [44, 16],
          [50, 58],
        ],
        { width: 3.4 },
      ),
      foot(92),
      arrow([74, 91], [71, 22], ACCENT, 2.4),
      dot([74, 92], 3),
      footScale([30, 99], [130, 99], 0.44),
      text([88, 30], 'force', { anchor: 'start' }),
    ],
  },
  com_rear_shift: {
    shows:
      'Foot from the side with the place of the centre of mass at the start and where it lies furthest to the rear: the way between, as a part of the foot; to the rear is plus',
    draw: () => [
      foot(92),
      diamond([80, 24], INK),
      reference([80, 24], [80, 92]),
      diamond([54, 24]),
      polyline(
        [
          [54, 24],
          [54, 92],
        ],
        { colour: ACCENT, width: 1.6, dash: '3 2' },
      ),
      dimension([80, 40], [54, 40], { headed: true }),
      plus([43, 40]),
      text([88, 27], 'start', { anchor: 'start' }),
      zero([90, 44]),
      polyline(
        [
          [30, 100],
          [130, 100],
        ],
        { width: 3, opacity: 0.35 },
      ),
      tick([30, 100], 6),
      tick([130, 100], 6),
      text([30, 114], 'heel'),
      text([130, 114], 'toe'),
      tick([80, 100], 7),
      tick([54, 100], 8, ACCENT),
    ],
  },
  toe_lift: {
    shows: 'Foot from the side: height of the big toe above where it rested at the start; up is plus',
    draw: () => footLift('toe'),
  },
  heel_lift: {
    shows: 'Foot from the side: height of the heel above where it rested at the start; up is plus',
    draw: () => footLift('heel'),
  },
  feet_moved: {
    shows:
      'Feet from above at the start of the repetition before, pale, and of this one: distance between the places of a foot; never minus',
    draw() {
      const at = fromAbove(76, 78, 150);
      const before = drawnPosture({ ...STANDING, stanceM: 0.3 });
      const now = fromAbove(86, 62, 150);
      const place = (leg: { heel: readonly number[]; toe: readonly number[] }, view: typeof at): Point => {
        const middle = [0, 1, 2].map((i) => (leg.heel[i] + leg.toe[i]) / 2) as [number, number, number];
        return view(middle);
      };
      const [from, to] = [place(before.right, at), place(before.right, now)];
      return [
        `<g opacity="0.45">${feetFromAbove(before, at)}</g>`,
        footFromAbove(before.left, at, { dash: '3.5 2.5' }),
        footFromAbove(before.right, now, { width: 2.2 }),
        dot(from, 2.6, INK),
        arrow(from, to),
        dot(place(before.left, at), 2.6, INK),
        plus([to[0] + 22, to[1] - 8]),
        zero([from[0] + 18, from[1] + 16]),
        sideLetters([28, 30], [134, 30]),
      ];
    },
  },
};
