import { COLOUR } from './look.ts';

/** One value with its interval, at a repetition or a load. */
export interface ChangeMark {
  readonly x: number;
  readonly value: number;
  /** null where there is no interval. */
  readonly lower: number | null;
  readonly upper: number | null;
  /** A small word at the foot of the panel; '' for none. */
  readonly word: string;
}

export interface ChangePanel {
  readonly title: string;
  /** What the marks leave out; '' for nothing. */
  readonly note: string;
  readonly xTitle: string;
  readonly marks: readonly ChangeMark[];
  /** Whole values on the x axis that get a tick; as far as there is room where left out. */
  readonly ticks?: readonly number[];
  /** Where a change begins, between two marks, with its words; null where there is none. */
  readonly change: { readonly x: number; readonly words: string } | null;
}

/** Width and height of a panel, pixels. */
const SIZE = { width: 270, height: 150 } as const;

/** Room at the foot of a panel for the small words, share of the range of values. */
const FOOT = 0.16;

/**
 * A panel of values against repetitions or loads: a mark and a bar each, a thin line through the marks, and an upright dashed
 * line with words where a change begins.
 */
export function changePanel({ title, note, xTitle, marks, ticks, change }: ChangePanel) {
  const ends = marks.flatMap(({ value, lower, upper }) => [
    value,
    ...(lower === null || upper === null ? [] : [lower, upper]),
  ]);
  const [least, most] = [Math.min(...ends), Math.max(...ends)];
  const range = most - least || Math.abs(most) || 1;
  const words = marks.some(({ word }) => word !== '');
  const [from, to] = [Math.min(...marks.map(({ x }) => x)), Math.max(...marks.map(({ x }) => x))];
  const margin = 0.08 * (to - from || 1);
  const x = {
    field: 'x',
    type: 'quantitative',
    scale: { domain: [from - margin, to + margin], nice: false, zero: false },
    axis: { title: xTitle, grid: false, ...(ticks ? { values: ticks, format: 'd' } : { tickCount: 5 }) },
  } as const;
  const domain = [least - (0.06 + (words ? FOOT : 0)) * range, most + (0.06 + (change ? FOOT : 0)) * range];
  const y = {
    field: 'value',
    type: 'quantitative',
    scale: { domain, nice: false, zero: false },
    axis: { title: null, tickCount: 5 },
  } as const;
  const data = { values: marks };
  const bars = marks.filter(({ lower, upper }) => lower !== null && upper !== null);
  return {
    ...SIZE,
    title: { text: title, ...(note !== '' && { subtitle: note }), fontSize: 13, fontWeight: 'normal', offset: 6 },
    layer: [
      ...(change ? changeLayers(change, x, (from + to) / 2) : []),
      { data, mark: { type: 'line', color: COLOUR.path, strokeWidth: 1.2 }, encoding: { x, y } },
      {
        data: { values: bars },
        mark: { type: 'rule', color: COLOUR.down, strokeWidth: 2 },
        encoding: { x, y: { ...y, field: 'lower' }, y2: { field: 'upper' } },
      },
      { data, mark: { type: 'point', filled: true, size: 70, color: COLOUR.down, opacity: 1 }, encoding: { x, y } },
      ...(words
        ? [
            {
              data: { values: marks.filter(({ word }) => word !== '') },
              mark: { type: 'text', y: SIZE.height - 8, fontSize: 12, color: COLOUR.quiet },
              encoding: { x, text: { field: 'word' } },
            },
          ]
        : []),
    ],
  };
}

function changeLayers<X extends object>(change: NonNullable<ChangePanel['change']>, x: X, middle: number) {
  const data = { values: [{ x: change.x }] };
  const left = change.x > middle;
  return [
    { data, mark: { type: 'rule', color: COLOUR.up, strokeWidth: 1.6, strokeDash: [5, 4] }, encoding: { x } },
    {
      data,
      mark: {
        type: 'text',
        text: change.words,
        y: 8,
        dx: left ? -5 : 5,
        align: left ? 'right' : 'left',
        fontSize: 12,
        color: COLOUR.up,
      },
      encoding: { x },
    },
  ];
}
