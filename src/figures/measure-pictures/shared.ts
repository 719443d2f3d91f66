import type { Drawing, Drawings } from './drawing.ts';
import { feetFromAbove, floor, fromAbove, fromFront, lifterFromFront, sideLetters } from './lifter.ts';
import {
  ACCENT,
  arrow,
  box,
  circle,
  dimension,
  dot,
  INK,
  minus,
  type Point,
  plus,
  polyline,
  reference,
  text,
  turning,
} from './marks.ts';
import { between, drawnPosture, STANDING } from './posture.ts';

/** What is shared between the legs by assumption. Seen from the front, the lifter's left leg stands on the right. */
const SQUAT = { ...STANDING, shank: 20, thigh: 42, lean: 20, stanceM: 0.42 };
const LIFTER = drawnPosture(SQUAT);
const AT = fromFront(44, 110, 76);

const scene = (): string =>
  floor(110, 4, 88) +
  lifterFromFront(LIFTER, AT, { bar: false, arms: false, head: false }) +
  sideLetters([78, 104], [10, 104]);

/** Both legs as columns from one nought, and the difference. */
const difference = (left: number, right: number): string =>
  polyline(
    [
      [96, 96],
      [154, 96],
    ],
    { width: 1.2 },
  ) +
  box([100, 96 - right], 13, right, { width: 1.8 }) +
  box([120, 96 - left], 13, left, { colour: ACCENT, width: 1.8, dash: '3.5 2.5' }) +
  reference([100, 96 - right], [150, 96 - right]) +
  reference([120, 96 - left], [150, 96 - left]) +
  dimension([146, 96 - right], [146, 96 - left], { headed: true }) +
  plus([146, 86 - left]) +
  text([106, 108], 'R') +
  text([127, 108], 'L');

const leftLess = (joint: 'hip' | 'knee'): Drawing => ({
  shows: `Lifter from the front, both ${joint}s marked; beside it the straightening moment of each: left less right; left larger is plus`,
  draw: () => [
    scene(),
    circle(AT(LIFTER.left[joint]), 6, { colour: ACCENT, width: 2.2, dash: '3.5 2.5' }),
    circle(AT(LIFTER.right[joint]), 6, { width: 2.2 }),
    difference(62, 44),
  ],
});

export const SHARED: Drawings = {
  vertical_share_left: {
    shows:
      'Feet from above: where the pressure of both feet together lies between them; scale beside it of the left foot’s part, 0 all right, 1 all left',
    draw() {
      const at = fromAbove(56, 74, 150);
      const lifter = drawnPosture({ ...STANDING, stanceM: 0.36 });
      const [left, right] = [lifter.left, lifter.right].map(({ heel, toe }) => at(between(heel, toe, 0.4)));
      const both: Point = [left[0] + 0.42 * (right[0] - left[0]), left[1]];
      return [
        feetFromAbove(lifter, at),
        polyline([left, right], { width: 1.2, dash: '2.5 2.5' }),
        dot(left, 2.4, INK),
        dot(right, 2.4, INK),
        `<path d="M${both[0].toFixed(1)} ${(both[1] - 6).toFixed(1)}l5.5 6l-5.5 6l-5.5 -6Z" fill="${ACCENT}"/>`,
        sideLetters([14, 34], [98, 34]),
        box([124, 26], 12, 72, { opacity: 0.6 }),
        box([124, 56], 12, 42, { colour: 'none', fill: ACCENT }),
        text([130, 109], '0 all R'),
        text([130, 21], '1 all L'),
        polyline(
          [
            [121, 62],
            [139, 62],
          ],
          { width: 1 },
        ),
        text([149, 65], '½'),
      ];
    },
  },
  knee_moment_shared_peak: {
    shows:
      'Lifter from the front; beside it the straightening moment of each knee over one repetition, left dashed, right solid, the largest of each marked; straightening is plus',
    draw() {
      const hump = (height: number, middle: number): Point[] =>
        Array.from({ length: 25 }, (_, i) => {
          const u = i / 24;
          return [96 + 54 * u, 96 - height * Math.exp(-(((u - middle) / 0.24) ** 2))];
        });
      return [
        scene(),
        circle(AT(LIFTER.left.knee), 6, { colour: ACCENT, width: 2.2, dash: '3.5 2.5' }),
        circle(AT(LIFTER.right.knee), 6, { colour: ACCENT, width: 2.2 }),
        polyline(
          [
            [96, 24],
            [96, 96],
            [152, 96],
          ],
          { width: 1, opacity: 0.7 },
        ),
        text([94, 19], 'N·m', { anchor: 'start' }),
        polyline(hump(64, 0.52), { width: 2, dash: '3.5 2.5' }),
        polyline(hump(46, 0.46), { width: 2 }),
        dot([96 + 54 * 0.52, 32], 3),
        dot([96 + 54 * 0.46, 50], 3),
        text([136, 38], 'L'),
        text([110, 48], 'R'),
        plus([148, 84]),
      ];
    },
  },
  hip_moment_shared_left_minus_right: leftLess('hip'),
  knee_moment_shared_left_minus_right: leftLess('knee'),
  knee_abductor_moment_shared: {
    shows:
      'Right leg from the front: moment at the knee that turns the shank outward; turning the shank outward is plus, inward minus',
    draw() {
      const [hip, knee, ankle]: Point[] = [
        [98, 18],
        [72, 62],
        [66, 104],
      ];
      return [
        floor(110),
        polyline([hip, knee, ankle, [58, 109]], { width: 3.4 }),
        polyline([hip, [128, 18]], { width: 2.4 }),
        reference([128, 8], [128, 116]),
        text([124, 72], 'middle', { anchor: 'end' }),
        turning(knee, 15, true, ACCENT, 60),
        dot(knee, 3.4),
        arrow([ankle[0] - 6, 92], [ankle[0] - 28, 92], ACCENT, 1.8),
        plus([ankle[0] - 38, 92]),
        minus([ankle[0] + 22, 92]),
        text([28, 30], 'R'),
      ];
    },
  },
};
