import type { Drawing, Drawings } from './drawing.ts';
import { barFromSide, floor, fromSide, lifterFromSide } from './lifter.ts';
import { ACCENT, arrow, circle, dimension, dot, plus, polyline, reference, text, zero } from './marks.ts';
import { axes, curve, easyVelocity, type Frame, HEIGHT_TIMES, height, onFrame, smooth } from './plots.ts';
import { drawnPosture, PARALLEL } from './posture.ts';

/** Times and speeds: the height of the hips over one repetition, or the upward velocity on the way up. */

const WIDE: Frame = { left: 16, right: 146, zero: 90, unit: 62 };
const { down, bottomFirst, bottomLast, up } = HEIGHT_TIMES;

/** The height of the hips with one stretch of time marked. */
const stretch = (shows: string, from: number, to: number, word: string): Drawing => ({
  shows,
  draw() {
    const at = onFrame(WIDE);
    const [a, b] = [at(from, 0)[0], at(to, 0)[0]];
    return [
      axes(WIDE, 'height of the hips'),
      curve(WIDE, height, { width: 2 }),
      curve(WIDE, height, { width: 3.4, colour: ACCENT }, from, to),
      reference(at(from, height(from)), [a, 100]),
      reference(at(to, height(to)), [b, 100]),
      dimension([a, 100], [b, 100]),
      text([Math.max(30, Math.min(130, (a + b) / 2)), 114], word),
    ];
  },
});

const LIFTER = drawnPosture(PARALLEL);
const AT = fromSide(34, 112, 76);
const FRAME: Frame = { left: 88, right: 148, zero: 96, unit: 64 };

/** Marks of what moves: the tracked bar as a full ring, the placed bar dashed, the hips as a dot. */
const MOVERS = {
  bar: {
    mark: () => barFromSide(LIFTER.bar, AT, ACCENT),
    place: AT(LIFTER.bar),
    word: 'bar',
    ring: true,
    what: 'the tracked bar',
  },
  'placed bar': {
    mark: () => circle(AT(LIFTER.bar), 7.5, { colour: ACCENT, width: 2, dash: '3 2' }),
    place: AT(LIFTER.bar),
    word: 'placed bar',
    ring: false,
    what: 'the bar placed at the shoulders or in the hands',
  },
  hips: {
    mark: () => dot(AT(LIFTER.midHip), 4),
    place: AT(LIFTER.midHip),
    word: 'hips',
    ring: true,
    what: 'mid-hip',
  },
} as const;

/** Rise over time: the straight line from the end of the bottom to standing. */
function meanVelocity(mover: keyof typeof MOVERS): Drawing {
  const { mark, place, word, ring, what } = MOVERS[mover];
  return {
    shows: `Lifter from the side, ${what} marked; beside it its height on the way up: rise over time; upward is plus`,
    draw: () => [
      floor(112, 6, 74),
      lifterFromSide(LIFTER, AT, { bar: ring }),
      mark(),
      arrow(
        [place[0] + (mover === 'hips' ? -10 : 16), place[1] + 10],
        [place[0] + (mover === 'hips' ? -10 : 16), place[1] - 18],
      ),
      axes(FRAME, 'height'),
      curve(FRAME, (u) => rise(u), { width: 2 }),
      polyline([onFrame(FRAME)(0.12, 0.02), onFrame(FRAME)(0.88, 0.98)], { colour: ACCENT, width: 1.6, dash: '3 2' }),
      polyline([onFrame(FRAME)(0.12, 0.02), onFrame(FRAME)(0.88, 0.02), onFrame(FRAME)(0.88, 0.98)], {
        width: 1,
        opacity: 0.7,
      }),
      plus([134, 70]),
      text([118, 110], word),
    ],
  };
}

const rise = (u: number): number => smooth((u - 0.08) / 0.84);

function peakVelocity(mover: keyof typeof MOVERS): Drawing {
  const { mark, place, word, ring, what } = MOVERS[mover];
  return {
    shows: `Lifter from the side, ${what} marked; beside it its upward velocity on the way up, the largest marked; upward is plus`,
    draw() {
      const top = onFrame(FRAME)(0.5, easyVelocity(0.5));
      const x = place[0] + (mover === 'hips' ? -10 : 16);
      return [
        floor(112, 6, 74),
        lifterFromSide(LIFTER, AT, { bar: ring }),
        mark(),
        arrow([x, place[1] + 10], [x, place[1] - 18]),
        axes(FRAME, 'm/s'),
        curve(FRAME, easyVelocity, { width: 2 }),
        reference([FRAME.left, top[1]], top),
        arrow([top[0], FRAME.zero], [top[0], top[1] + 5], ACCENT, 1.6),
        dot(top, 3.2),
        plus([top[0] + 10, 84]),
        text([118, 110], word),
      ];
    },
  };
}

function descentVelocity(kind: 'mean' | 'peak'): Drawing {
  const at = onFrame(FRAME);
  const fall = (u: number) => 1 - rise(u);
  return {
    shows:
      kind === 'mean'
        ? 'Lifter from the side, mid-hip marked; beside it its height on the way down: drop over time; downward is plus'
        : 'Lifter from the side, mid-hip marked; beside it its height on the way down: the steepest place; downward is plus',
    draw: () => [
      floor(112, 6, 74),
      lifterFromSide(LIFTER, AT),
      dot(AT(LIFTER.midHip), 4),
      arrow([AT(LIFTER.midHip)[0] - 10, 52], [AT(LIFTER.midHip)[0] - 10, 86]),
      axes(FRAME, 'height'),
      curve(FRAME, fall, { width: 2 }),
      kind === 'mean'
        ? polyline([at(0.12, 0.98), at(0.88, 0.02)], { colour: ACCENT, width: 1.6, dash: '3 2' })
        : polyline([at(0.3, 0.5 + 0.2 * 2.1), at(0.7, 0.5 - 0.2 * 2.1)], { colour: ACCENT, width: 2.4 }),
      kind === 'mean'
        ? polyline([at(0.12, 0.98), at(0.12, 0.02), at(0.88, 0.02)], { width: 1, opacity: 0.7 })
        : dot(at(0.5, 0.5), 3.2),
      plus(kind === 'mean' ? [104, 78] : [136, 52]),
      text([118, 110], kind === 'mean' ? 'mean' : 'largest'),
    ],
  };
}

export const TEMPO: Drawings = {
  descent_time: stretch(
    'Height of the hips over one repetition: time from leaving the stand to reaching the bottom',
    down + 0.03,
    bottomFirst - 0.03,
    'down, s',
  ),
  bottom_pause: stretch(
    'Height of the hips over one repetition: time spent at the bottom',
    bottomFirst - 0.03,
    bottomLast + 0.03,
    'pause, s',
  ),
  ascent_time: stretch(
    'Height of the hips over one repetition: time from leaving the bottom to standing',
    bottomLast + 0.03,
    up - 0.03,
    'up, s',
  ),
  bar_velocity_mean: meanVelocity('bar'),
  bar_velocity_peak: peakVelocity('bar'),
  placed_bar_velocity_mean: meanVelocity('placed bar'),
  placed_bar_velocity_peak: peakVelocity('placed bar'),
  hip_velocity_mean: meanVelocity('hips'),
  hip_velocity_peak: peakVelocity('hips'),
  descent_velocity_mean: descentVelocity('mean'),
  descent_velocity_peak: descentVelocity('peak'),
  double_bounce: {
    shows:
      'Height of the hips around the bottom: how far they rise and sink again before the drive; 0 where they do not',
    draw() {
      const path = 'M14 22C36 22 40 92 58 92C70 92 70 66 80 66C90 66 90 90 101 90C120 90 124 22 148 22';
      return [
        `<path d="${path}" fill="none" stroke="currentColor" stroke-width="2"/>`,
        text([12, 14], 'height of the hips', { anchor: 'start' }),
        reference([44, 92], [130, 92]),
        dimension([80, 92], [80, 66], { headed: true }),
        dot([58, 92], 3),
        plus([80, 55]),
        zero([80, 102]),
      ];
    },
  },
};
