import type { Drawings } from './drawing.ts';
import { ACCENT, box, dimension, dot, INK, minus, type Point, plus, polyline, reference, text } from './marks.ts';

/** A row of columns, one a repetition; the ones compared in accent. */
function repetitions(values: readonly number[], from: number, to: number, word: string, sign: Point): string[] {
  const [left, base, step] = [26, 92, 22];
  const top = (i: number) => base - values[i];
  const x = (i: number) => left + i * step;
  return [
    polyline(
      [
        [16, base],
        [146, base],
      ],
      { width: 1.2 },
    ),
    ...values.map((value, i) =>
      box(
        [x(i) - 6, base - value],
        12,
        value,
        i === from || i === to ? { colour: ACCENT, width: 2 } : { width: 1.4, opacity: 0.7 },
      ),
    ),
    ...values.map((_, i) => text([x(i), base + 12], String(i + 1))),
    reference([x(from), top(from)], [144, top(from)]),
    reference([x(to), top(to)], [144, top(to)]),
    dimension([140, top(from)], [140, top(to)], { headed: true }),
    plus(sign),
    text([14, 16], word, { anchor: 'start' }),
    text([80, 117], 'repetition'),
  ];
}

export const SET: Drawings = {
  velocity_loss: {
    shows:
      'Mean upward velocity of each repetition as columns: how much slower the last is than the fastest, as a part of the fastest; slower is plus',
    draw: () => repetitions([56, 60, 55, 47, 38], 1, 4, 'velocity', [150, 48]),
  },
  depth_loss: {
    shows:
      'Thigh angle at the bottom of each repetition: how much higher the last stays than the deepest; less deep is plus',
    draw() {
      const [left, level, step] = [26, 40, 22];
      const deep = [44, 50, 42, 34, 22];
      const x = (i: number) => left + i * step;
      const y = (i: number) => level + deep[i];
      return [
        polyline(
          [
            [16, level],
            [146, level],
          ],
          { width: 1.2 },
        ),
        text([14, 16], 'thigh at the bottom', { anchor: 'start' }),
        text([150, level + 3.4], '0'),
        ...deep.map((_, i) =>
          polyline(
            [
              [x(i), level],
              [x(i), y(i)],
            ],
            { width: 1, opacity: 0.5 },
          ),
        ),
        ...deep.map((_, i) => dot([x(i), y(i)], 3.4, i === 1 || i === 4 ? ACCENT : INK)),
        ...deep.map((_, i) => text([x(i), 34], String(i + 1))),
        reference([x(1), y(1)], [144, y(1)]),
        reference([x(4), y(4)], [144, y(4)]),
        dimension([138, y(1)], [138, y(4)], { headed: true }),
        plus([149, y(4) + 12]),
        text([80, 112], 'deepest, last'),
        minus([15, 84]),
      ];
    },
  },
};
