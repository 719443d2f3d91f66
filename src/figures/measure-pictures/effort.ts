import type { Drawing, Drawings } from './drawing.ts';
import { barFromSide, floor, fromSide, lifterFromSide, type View } from './lifter.ts';
import {
  ACCENT,
  area,
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
  shareColumn,
  text,
  turning,
} from './marks.ts';
import { areaUnder, axes, curve, curveDot, type Frame, moment, onFrame, power, traced } from './plots.ts';
import { between, drawnPosture, PARALLEL } from './posture.ts';

/** Moments, work and power: the lifter at parallel on the left, the amount on the right. */

type Joint = 'hip' | 'knee' | 'ankle';
const LIFTER = drawnPosture(PARALLEL);
const AT: View = fromSide(34, 112, 76);
const placeOf = (joint: Joint): Point => AT(LIFTER.right[joint]);

/**
 * Moments that straighten: hip and ankle turn what stands on them backward (anticlockwise from the right), the knee turns
 * the thigh up (clockwise).
 */
const straightening = (joint: Joint, colour = ACCENT, radius = 10): string =>
  turning(placeOf(joint), radius, joint === 'knee', colour, joint === 'knee' ? 150 : 130);

const scene = (): string => floor(112, 6, 70) + lifterFromSide(LIFTER, AT, { head: true });
const jointNames: Readonly<Record<Joint, string>> = { hip: 'hip', knee: 'knee', ankle: 'ankle' };

const FRAME: Frame = { left: 90, right: 150, zero: 98, unit: 66 };
const BOTH_WAYS: Frame = { left: 90, right: 150, zero: 66, unit: 38 };

/** Two columns over a common nought: hip and knee extensor moment. */
function columns(hip: number, knee: number): string {
  const base = 100;
  return (
    polyline(
      [
        [90, base],
        [152, base],
      ],
      { width: 1.2 },
    ) +
    box([96, base - hip], 14, hip, { colour: 'none', fill: ACCENT }) +
    box([120, base - knee], 14, knee, { width: 1.6 }) +
    text([103, base + 11], 'hip') +
    text([129, base + 11], 'knee')
  );
}

function peak(joint: Joint): Drawing {
  const scale: Readonly<Record<Joint, number>> = { hip: 1, knee: 0.82, ankle: 0.5 };
  const shape = (u: number) => scale[joint] * moment(u);
  const at = 0.5;
  return {
    shows: `Lifter from the side with the straightening moment at the ${jointNames[joint]}; beside it that moment over one repetition, its largest value marked; straightening is plus`,
    draw() {
      const top = onFrame(FRAME)(at, shape(at));
      return [
        scene(),
        straightening(joint),
        axes(FRAME, 'N·m'),
        curve(FRAME, shape, { width: 2 }),
        reference([FRAME.left, top[1]], top),
        curveDot(FRAME, shape, at),
        arrow([top[0], FRAME.zero], [top[0], top[1] + 5], ACCENT, 1.6),
        plus([top[0] + 10, FRAME.zero - 10]),
        text([120, 113], jointNames[joint]),
      ];
    },
  };
}

function work(joint: Joint): Drawing {
  const scale: Readonly<Record<Joint, number>> = { hip: 1, knee: 0.75, ankle: 0.4 };
  const shape = (u: number) => scale[joint] * power(u);
  return {
    shows: `Lifter from the side, the ${jointNames[joint]} marked; beside it the power of the ${jointNames[joint]}s over time: its area is the work of a phase, given is plus, taken up is minus`,
    draw: () => [
      scene(),
      circle(placeOf(joint), 6, { colour: ACCENT, width: 2.4 }),
      axes(BOTH_WAYS, 'W', -1),
      areaUnder(BOTH_WAYS, shape, 0, 0.5, 0.22),
      areaUnder(BOTH_WAYS, shape, 0.5, 1, 0.6),
      curve(BOTH_WAYS, shape, { width: 1.8 }),
      plus([onFrame(BOTH_WAYS)(0.75, 0)[0], BOTH_WAYS.zero - (joint === 'ankle' ? 24 : 10)]),
      minus([onFrame(BOTH_WAYS)(0.25, 0)[0], BOTH_WAYS.zero + (joint === 'ankle' ? 20 : 9)]),
      text([105, 113], 'down'),
      text([138, 113], 'up'),
      text([142, 18], jointNames[joint]),
    ],
  };
}

function powerPeak(shows: string, mark: string, word: string, height: number): Drawing {
  const shape = (u: number) => height * Math.sin(Math.PI * u ** 1.25) ** 2;
  const at = 0.574;
  return {
    shows,
    draw() {
      const top = onFrame(FRAME)(at, shape(at));
      return [
        scene(),
        mark,
        axes(FRAME, 'W'),
        curve(FRAME, shape, { width: 2 }),
        reference([FRAME.left, top[1]], top),
        dot(top, 3),
        arrow([top[0], FRAME.zero], [top[0], top[1] + 5], ACCENT, 1.6),
        plus([top[0] + 10, FRAME.zero - 10]),
        text([120, 113], `${word}, way up`),
      ];
    },
  };
}

function impulse(joint: Joint): Drawing {
  const scale: Readonly<Record<Joint, number>> = { hip: 1, knee: 0.82, ankle: 0.5 };
  const shape = (u: number) => scale[joint] * moment(u);
  return {
    shows: `Lifter from the side with the straightening moment at the ${jointNames[joint]}; beside it that moment over one repetition: the area of a phase is the impulse; straightening is plus`,
    draw: () => [
      scene(),
      straightening(joint),
      axes(FRAME, 'N·m'),
      areaUnder(FRAME, shape, 0, 0.5, 0.6),
      areaUnder(FRAME, shape, 0.5, 1, 0.22),
      curve(FRAME, shape, { width: 2 }),
      plus([onFrame(FRAME)(0.68, 0)[0], FRAME.zero - 12]),
      text([105, 110], 'down'),
      text([138, 110], 'up'),
      text([143, 22], jointNames[joint]),
    ],
  };
}

const above = (hip: (u: number) => number, knee: (u: number) => number) => (u: number) => hip(u) + knee(u);

export const EFFORT: Drawings = {
  hip_share: {
    shows:
      'Lifter from the side with straightening moments at hip and knee; beside it a column: the hip’s part of both, 0 all knee, 1 all hip',
    draw: () => [scene(), straightening('hip'), straightening('knee', INK), shareColumn(120, 0.45, ['knee', 'hip'])],
  },
  hip_share_gravity: {
    shows:
      'Lifter from the side held still, weight of body and bar drawn as arrows down; beside it a column: the hip’s part of the moments that weight alone asks for, 0 all knee, 1 all hip',
    draw() {
      const [x, y] = AT(LIFTER.bar);
      const [u, v] = AT(between(LIFTER.midHip, LIFTER.midShoulder, 0.52));
      return [
        scene(),
        circle(placeOf('hip'), 4.5, { colour: ACCENT, width: 2.2 }),
        circle(placeOf('knee'), 4.5, { width: 2 }),
        arrow([x, y + 7], [x, y + 22], INK, 1.8),
        arrow([u, v], [u, v + 15], INK, 1.8),
        // Two bars: held still.
        box([62, 18], 3, 12, { colour: 'none', fill: INK }),
        box([69, 18], 3, 12, { colour: 'none', fill: INK }),
        shareColumn(120, 0.45, ['knee', 'hip']),
      ];
    },
  },
  hip_minus_knee: {
    shows:
      'Lifter from the side with straightening moments at hip and knee; beside it both as columns: hip less knee; hip larger is plus',
    draw: () => [
      scene(),
      straightening('hip'),
      straightening('knee', INK),
      columns(66, 38),
      reference([96, 62], [150, 62]),
      reference([96, 34], [150, 34]),
      dimension([145, 62], [145, 34], { headed: true }),
      plus([145, 24]),
    ],
  },
  hip_knee_ratio: {
    shows:
      'Lifter from the side with straightening moments at hip and knee; beside it the hip’s as a bar over the knee’s: the quotient, 1 where both are equal',
    draw: () => [
      scene(),
      straightening('hip'),
      straightening('knee', INK),
      text([120, 38], 'hip'),
      box([92, 42], 56, 8, { colour: 'none', fill: ACCENT }),
      polyline(
        [
          [88, 57],
          [152, 57],
        ],
        { width: 1.4 },
      ),
      box([92, 64], 38, 8, { width: 1.6 }),
      text([120, 83], 'knee'),
      text([120, 104], '1 = equal'),
    ],
  },
  hip_impulse_share: {
    shows:
      'Moments of hip and knee over the time of a phase, laid on each other: the hip’s area as a part of both areas; 0 all knee, 1 all hip',
    draw() {
      const frame: Frame = { left: 14, right: 108, zero: 98, unit: 70 };
      const knee = (u: number) => 0.48 * moment(0.5 * u);
      const both = above(knee, (u) => 0.5 * moment(0.5 * u));
      return [
        axes(frame, 'N·m'),
        area([...traced(frame, both), ...traced(frame, knee).reverse()], {
          colour: 'none',
          fill: ACCENT,
          fillOpacity: 0.75,
        }),
        curve(frame, knee, { width: 1.6 }),
        curve(frame, both, { width: 1.6 }),
        text([88, 58], 'hip'),
        text([82, 88], 'knee'),
        text([60, 112], 'one phase'),
        shareColumn(138, 0.52, ['knee', 'hip']),
      ];
    },
  },
  hip_moment_peak: peak('hip'),
  knee_moment_peak: peak('knee'),
  ankle_moment_peak: peak('ankle'),
  support_moment_peak: {
    shows:
      'Lifter from the side with straightening moments at hip, knee and ankle; beside it the three laid on each other over one repetition, the largest sum marked; straightening is plus',
    draw() {
      const parts = [0.18, 0.5, 1].map((part) => (u: number) => part * moment(u));
      const sum = parts[2];
      const top = onFrame(FRAME)(0.5, sum(0.5));
      return [
        scene(),
        straightening('hip'),
        straightening('knee'),
        straightening('ankle'),
        axes(FRAME, 'N·m'),
        curve(FRAME, parts[0], { width: 1.2 }),
        curve(FRAME, parts[1], { width: 1.2 }),
        curve(FRAME, sum, { width: 2.2 }),
        dot(top, 3),
        arrow([top[0], FRAME.zero], [top[0], top[1] + 5], ACCENT, 1.6),
        plus([top[0] + 22, 44]),
        text([120, 110], 'sum of 3'),
      ];
    },
  },
  hip_work: work('hip'),
  knee_work: work('knee'),
  ankle_work: work('ankle'),
  bar_work: {
    shows:
      'Lifter from the side, the bar marked with arrows up and down: work done on the bar over a phase; raised is plus, lowered is minus',
    draw() {
      return [
        scene(),
        barFromSide(LIFTER.bar, AT, ACCENT),
        circle([106, 88], 7, { width: 1.6, opacity: 0.5 }),
        circle([106, 36], 7, { width: 2.2, colour: ACCENT }),
        arrow([106, 80], [106, 44]),
        plus([118, 60]),
        circle([140, 36], 7, { width: 1.6, opacity: 0.5 }),
        circle([140, 88], 7, { width: 2.2 }),
        arrow([140, 44], [140, 80], INK),
        minus([151, 62]),
        text([106, 110], 'up'),
        text([140, 110], 'down'),
      ];
    },
  },
  hip_power_peak: powerPeak(
    'Lifter from the side, the hip marked; beside it the power of the hips on the way up, its largest value marked; given is plus',
    circle(placeOf('hip'), 6, { colour: ACCENT, width: 2.4 }),
    'hip',
    0.95,
  ),
  knee_power_peak: powerPeak(
    'Lifter from the side, the knee marked; beside it the power of the knees on the way up, its largest value marked; given is plus',
    circle(placeOf('knee'), 6, { colour: ACCENT, width: 2.4 }),
    'knee',
    0.72,
  ),
  bar_power_peak: powerPeak(
    'Lifter from the side, the bar marked; beside it the power given to the bar on the way up, its largest value marked; upward is plus',
    barFromSide(LIFTER.bar, AT, ACCENT),
    'bar',
    0.85,
  ),
  hip_impulse: impulse('hip'),
  knee_impulse: impulse('knee'),
  ankle_impulse: impulse('ankle'),
};
