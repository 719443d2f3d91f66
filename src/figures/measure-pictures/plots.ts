import { ACCENT, area, arrowHead, dot, INK, type Point, polyline, type Stroke, text } from './marks.ts';

/** Little curves against time: shapes, not data. */

const { PI, sin } = Math;

export interface Frame {
  readonly left: number;
  readonly right: number;
  /** Where the value is nought, and the height of one. */
  readonly zero: number;
  readonly unit: number;
}

/** Axes: time to the right, and the word of the value at the top of the upright one. */
export function axes({ left, right, zero, unit }: Frame, word: string, low = 0): string {
  const top = zero - unit - 6;
  return (
    polyline(
      [
        [left, top],
        [left, zero - low * unit],
      ],
      { width: 1, opacity: 0.7 },
    ) +
    polyline(
      [
        [left, zero],
        [right, zero],
      ],
      { width: 1, opacity: 0.7 },
    ) +
    arrowHead([right + 3, zero], [1, 0], INK, 4) +
    text([left - 2, top - 4], word, { anchor: 'start' })
  );
}

export const onFrame =
  ({ left, right, zero, unit }: Frame) =>
  (share: number, value: number): Point => [left + share * (right - left), zero - value * unit];

type Shape = (share: number) => number;

/** Points of a shape between two shares of the time axis. */
export function traced(frame: Frame, shape: Shape, from = 0, to = 1): Point[] {
  const at = onFrame(frame);
  const count = 36;
  return Array.from({ length: count + 1 }, (_, i) => {
    const share = from + ((to - from) * i) / count;
    return at(share, shape(share));
  });
}

export const curve = (frame: Frame, shape: Shape, stroke: Stroke = { width: 1.8 }, from = 0, to = 1): string =>
  polyline(traced(frame, shape, from, to), stroke);

/** The area between the curve and nought. */
export function areaUnder(frame: Frame, shape: Shape, from: number, to: number, opacity = 0.45): string {
  const at = onFrame(frame);
  return area([at(from, 0), ...traced(frame, shape, from, to), at(to, 0)], {
    colour: 'none',
    fill: ACCENT,
    fillOpacity: opacity,
  });
}

export const curveDot = (frame: Frame, shape: Shape, share: number): string =>
  dot(onFrame(frame)(share, shape(share)), 3);

/** Smooth step from 0 to 1. */
export const smooth = (u: number): number => (u <= 0 ? 0 : u >= 1 ? 1 : u * u * u * (10 + u * (-15 + 6 * u)));

/** Height of the hips over one repetition: 1 standing, 0 bottom. Down from 0.1 to 0.42, up from 0.55 to 0.92. */
export const HEIGHT_TIMES = { down: 0.08, bottomFirst: 0.42, bottomLast: 0.56, up: 0.92 } as const;
export const height: Shape = (u) => {
  const { down, bottomFirst, bottomLast, up } = HEIGHT_TIMES;
  return 1 - smooth((u - down) / (bottomFirst - down)) + smooth((u - bottomLast) / (up - bottomLast));
};

/** A moment over one repetition: least while standing, one hump about the bottom. */
export const moment: Shape = (u) => 0.12 + 0.83 * sin(PI * u) ** 2;

/** Power over one repetition: taken up on the way down, given on the way up. */
export const power: Shape = (u) => (u < 0.5 ? -0.7 * sin(2 * PI * u) ** 2 : sin(2 * PI * (u - 0.5)) ** 2);

/** Upward velocity in the ascent of a hard lift: two peaks, a slow stretch between. */
export const ascentVelocity: Shape = (u) => 0.95 * bump(u, 0.3, 0.3) + 0.72 * bump(u, 0.72, 0.28);
/** Upward velocity in an easy ascent: one peak. */
export const easyVelocity: Shape = (u) => 0.9 * bump(u, 0.5, 0.5);

function bump(u: number, middle: number, half: number): number {
  const d = (u - middle) / half;
  return Math.abs(d) >= 1 ? 0 : (1 - d * d) ** 2;
}
