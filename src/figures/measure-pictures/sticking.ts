import type { Drawings } from './drawing.ts';
import { ACCENT, dimension, dot, plus, polyline, reference, text, zero } from './marks.ts';
import { ascentVelocity, axes, curve, curveDot, type Frame, onFrame, smooth } from './plots.ts';

const WIDE: Frame = { left: 16, right: 146, zero: 90, unit: 62 };

/** Upward velocity of a hard lift: first peak, sticking point, second peak. */
const HARD: Frame = { left: 18, right: 144, zero: 92, unit: 62 };
const FIRST = 0.3;
const STICK = 0.525;
const SECOND = 0.72;

const HEIGHT_OF_HARD = (u: number): number =>
  u <= 0.5 ? 0.46 * smooth(u / 0.5) : 0.46 + 0.54 * smooth((u - 0.5) / 0.5);

export const STICKING: Drawings = {
  sticking_height: {
    shows:
      'Height of the hips on the way up with the slow stretch in the middle: share of the way done at the sticking point, 0 bottom, 1 standing',
    draw() {
      const at = onFrame(WIDE);
      const point = at(0.5, HEIGHT_OF_HARD(0.5));
      return [
        axes({ ...WIDE, left: 26 }, 'height of the hips'),
        polyline(
          Array.from({ length: 41 }, (_, i) => at(0.1 + 0.85 * (i / 40), HEIGHT_OF_HARD(i / 40))),
          { width: 2 },
        ),
        reference([26, at(0, 1)[1]], at(0.95, 1)),
        reference([26, at(0, HEIGHT_OF_HARD(0.5))[1]], at(0.525, HEIGHT_OF_HARD(0.5))),
        dimension([36, WIDE.zero], [36, point[1]], { headed: true }),
        dot(at(0.525, HEIGHT_OF_HARD(0.5)), 3.4),
        zero([18, WIDE.zero]),
        text([18, at(0, 1)[1] + 3.4], '1'),
        text([at(0.525, 0)[0] + 6, 74], 'slowest', { anchor: 'start' }),
      ];
    },
  },
  sticking_duration: {
    shows: 'Upward velocity on the way up: time from its first peak to its second, the slowest place between them',
    draw() {
      const at = onFrame(HARD);
      const [a, b] = [at(FIRST, ascentVelocity(FIRST)), at(SECOND, ascentVelocity(SECOND))];
      return [
        axes(HARD, 'upward velocity'),
        curve(HARD, ascentVelocity, { width: 2 }),
        curve(HARD, ascentVelocity, { width: 3.2, colour: ACCENT }, FIRST, SECOND),
        reference(a, [a[0], 104]),
        reference(b, [b[0], 104]),
        dimension([a[0], 104], [b[0], 104]),
        curveDot(HARD, ascentVelocity, FIRST),
        curveDot(HARD, ascentVelocity, SECOND),
        text([(a[0] + b[0]) / 2, 116], 's'),
      ];
    },
  },
  sticking_speed_loss: {
    shows:
      'Upward velocity on the way up: how much lower it is at the sticking point than at its first peak, as a part of the first peak; slower is plus',
    draw() {
      const at = onFrame(HARD);
      const [a, b] = [at(FIRST, ascentVelocity(FIRST)), at(STICK, ascentVelocity(STICK))];
      const x = 130;
      return [
        axes(HARD, 'upward velocity'),
        curve(HARD, ascentVelocity, { width: 2 }),
        reference(a, [x + 6, a[1]]),
        reference(b, [x + 6, b[1]]),
        dimension([x, a[1]], [x, b[1]], { headed: true }),
        dot(a, 3.2),
        dot(b, 3.2),
        zero([x + 12, a[1]]),
        plus([x + 12, b[1] - 6]),
      ];
    },
  },
  stall_height: {
    shows:
      'Height of the hips in a failed repetition: the largest share of the drop won back before sinking again, 0 bottom, 1 standing',
    draw() {
      return [
        polyline(
          [
            [26, 12],
            [26, 100],
          ],
          { width: 1, opacity: 0.7 },
        ),
        polyline(
          [
            [26, 96],
            [150, 96],
          ],
          { width: 1, opacity: 0.7 },
        ),
        reference([26, 26], [150, 26]),
        '<path d="M30 26C46 26 48 96 64 96C82 96 88 56 106 56C124 56 124 94 146 94" fill="none" stroke="currentColor" stroke-width="2"/>',
        reference([26, 56], [106, 56]),
        dimension([36, 96], [36, 56], { headed: true }),
        dot([106, 56], 3.4),
        zero([17, 96]),
        text([17, 29.4], '1'),
        text([106, 48], 'stall'),
        text([88, 112], 'failed repetition'),
      ];
    },
  },
};
