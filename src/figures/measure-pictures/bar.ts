import type { Drawings } from './drawing.ts';
import { barFromFront, floor, fromFront, fromSide, lifterFromFront, lifterFromSide, sideLetters } from './lifter.ts';
import {
  ACCENT,
  arc,
  arrow,
  circle,
  dimension,
  dot,
  INK,
  minus,
  onBearing,
  type Point,
  plus,
  polyline,
  reference,
  text,
  zero,
} from './marks.ts';
import { drawnPosture, PARALLEL, STANDING } from './posture.ts';

export const BAR: Drawings = {
  bar_path_width: {
    shows: 'Path of the bar from the side over one repetition: its width from the rearmost to the foremost place',
    draw() {
      return [
        floor(112, 6, 76),
        lifterFromSide(drawnPosture(PARALLEL), fromSide(36, 112, 72)),
        '<path d="M112 18C102 36 100 56 112 84C130 70 130 44 116 18" fill="none" stroke="currentColor" stroke-width="2"/>',
        circle([113, 18], 6, { width: 1.8 }),
        circle([112, 84], 6, { width: 1.8 }),
        reference([103.5, 46], [103.5, 104]),
        reference([125.5, 56], [125.5, 104]),
        dimension([103.5, 100], [125.5, 100]),
        dot([103.6, 46], 2.8),
        dot([125.4, 56], 2.8),
        text([138, 50], 'up'),
        text([99, 40], 'down', { anchor: 'end' }),
      ];
    },
  },
  bar_drift: {
    shows: 'Bar from the side at the start, pale, and now: how far it has gone forward; forward is plus',
    draw() {
      const [standing, now] = [drawnPosture(STANDING), drawnPosture({ ...PARALLEL, lean: 56 })];
      const at = fromSide(66, 114, 68);
      const [from, to] = [at(standing.bar), at(now.bar)];
      const y = 34;
      return [
        floor(114),
        lifterFromSide(standing, at, { ghost: true, arms: false, head: false }),
        lifterFromSide(now, at, { arms: false, head: false }),
        circle(to, 5, { colour: ACCENT, width: 2.4 }),
        dot(from, 2.4, INK),
        reference(from, [from[0], y + 4]),
        reference(to, [to[0], y - 4]),
        dimension([from[0], y], [to[0], y], { headed: true }),
        zero([from[0] + 12, from[1] + 2]),
        plus([to[0] + 11, y]),
        minus([from[0] - 18, y]),
      ];
    },
  },
  bar_tilt: {
    shows: 'Bar from the front: angle from the level line to the bar; the lifter’s right end higher is plus',
    draw() {
      const at = fromFront(80, 186, 100);
      const lifter = drawnPosture(STANDING);
      const middle = at(lifter.bar);
      const tilt = -79;
      return [
        lifterFromFront(lifter, at, { bar: false, arms: false, head: false }),
        reference([12, middle[1]], [140, middle[1]]),
        zero([6, middle[1]]),
        barFromFront(onBearing(middle, tilt, -60), onBearing(middle, tilt, 60), ACCENT),
        arc(middle, 50, -90, tilt),
        plus([middle[0] - 44, middle[1] - 16]),
        text([16, 20], 'R'),
        text([144, 20], 'L'),
      ];
    },
  },
  bar_turn: {
    shows:
      'Lifter and bar from above: angle from the line square to the way the lifter faces to the bar; the right end ahead is plus',
    draw() {
      const middle: Point = [80, 62];
      const tilt = 77;
      return [
        `<ellipse cx="80" cy="74" rx="30" ry="11" fill="none" stroke="currentColor" stroke-width="2"/>`,
        circle([80, 70], 11, { width: 1.8 }),
        polyline(
          [
            [76, 60],
            [80, 53],
            [84, 60],
          ],
          { width: 1.6 },
        ),
        reference([14, middle[1]], [146, middle[1]]),
        zero([152, middle[1]]),
        barFromFront(onBearing(middle, tilt, -62), onBearing(middle, tilt, 62), ACCENT),
        arc(middle, 52, 90, tilt),
        plus([middle[0] + 46, middle[1] - 18]),
        sideLetters([16, 100], [144, 100]),
        arrow([80, 34], [80, 12], INK, 1.6),
        text([86, 20], 'front', { anchor: 'start' }),
      ];
    },
  },
};
