import { CHARACTER_EM, COLOUR } from '../look.ts';
import { INNER_PX, TEXT } from './publication.ts';
import { wrapped } from './wrapped.ts';

/** A line of a forest plot: its name, its number in words, a mark and one or two intervals. */
export interface IntervalRow {
  readonly name: string;
  readonly words: string;
  readonly value: number;
  /** The interval to go by, drawn as a thin line with ends; NaN where there is none. */
  readonly lower: number;
  readonly upper: number;
  /** Another interval, drawn as a bar above it; NaN where there is none. */
  readonly barLower: number;
  readonly barUpper: number;
  /** A full mark, else a hollow one. */
  readonly full: boolean;
}

export interface IntervalPanel {
  readonly title: string;
  readonly subtitle: readonly string[];
  readonly axis: string;
  readonly rows: readonly IntervalRow[];
  /** Where an upright line stands; null: nowhere. */
  readonly level: number | null;
  readonly domain: readonly [number, number];
  readonly ticks?: readonly number[];
}

/** A row whose name has one line, and each line more. */
const ROW_PX = 43;
const LINE_PX = 11;
const BAR_DY = 30;
const LINE_DY = 37;
const END_PX = 3;

/**
 * A panel of rows under each other: names and numbers above their intervals, so that it fits one column and a phone; a long name
 * takes more lines. Ends beyond the domain are held at the frame, where an arrow says so.
 */
export function intervalPanel({ title, subtitle, axis, rows, level, domain, ticks }: IntervalPanel) {
  const names = rows.map(({ name }) => wrapped(name, charactersOf(TEXT.usual)));
  const heights = names.map((lines) => ROW_PX + LINE_PX * (lines.length - 1));
  const tops = heights.map((_, i) => heights.slice(0, i).reduce((sum, one) => sum + one, 0));
  const height = heights.reduce((sum, one) => sum + one, 0) + 4;
  const held = (value: number) => Math.min(domain[1], Math.max(domain[0], value));
  const x = {
    type: 'quantitative',
    scale: { domain, nice: false, zero: false },
    axis: { title: axis, grid: true, tickCount: 6, ...(ticks && { values: ticks }) },
  } as const;
  const y = {
    type: 'quantitative',
    scale: { domain: [0, height], nice: false, zero: false, reverse: true },
    axis: null,
  } as const;
  const data = rows.flatMap((row, i) => {
    const top = tops[i] + heights[i] - ROW_PX;
    const interval = Number.isFinite(row.lower) && Number.isFinite(row.upper);
    const bar = Number.isFinite(row.barLower) && Number.isFinite(row.barUpper);
    return [
      {
        ...{ words: cut(row.words, TEXT.small), full: row.full ? 'full' : 'hollow' },
        ...{ value: held(row.value), wordsY: top + 21, lineY: top + LINE_DY, barY: top + BAR_DY },
        ...{ lower: interval ? held(row.lower) : null, upper: interval ? held(row.upper) : null },
        ...{ barLower: bar ? held(row.barLower) : null, barUpper: bar ? held(row.barUpper) : null },
      },
    ];
  });
  const ends = data.flatMap(({ lower, upper, lineY }, i) =>
    [
      { at: lower, beyond: rows[i].lower < domain[0], shape: 'triangle-left' },
      { at: upper, beyond: rows[i].upper > domain[1], shape: 'triangle-right' },
    ].flatMap(({ at, beyond, shape }) => (at === null ? [] : [{ at, beyond, shape, lineY }])),
  );
  const nameLines = names.flatMap((lines, i) =>
    lines.map((name, line) => ({ name, nameY: tops[i] + 10 + LINE_PX * line })),
  );
  const text = (values: readonly object[], field: string, placed: string, style: object) => ({
    data: { values },
    mark: { type: 'text', align: 'left', baseline: 'alphabetic', x: 0, ...style },
    encoding: { y: { ...y, field: placed }, text: { field } },
  });
  return {
    width: INNER_PX - 16,
    height,
    title: {
      text: wrapped(title, charactersOf(TEXT.title)),
      ...(subtitle.length > 0 && { subtitle: subtitle.flatMap((line) => wrapped(line, charactersOf(TEXT.small))) }),
    },
    layer: [
      ...(level === null
        ? []
        : [
            {
              // Only where the intervals are: not through the words.
              data: { values: data.map(({ barY, lineY }) => ({ level, top: barY - 5, foot: lineY + 5 })) },
              mark: { type: 'rule', color: COLOUR.quiet, strokeWidth: 1 },
              encoding: { x: { ...x, field: 'level' }, y: { ...y, field: 'top' }, y2: { field: 'foot' } },
            },
          ]),
      {
        data: { values: data.filter(({ barLower }) => barLower !== null) },
        mark: { type: 'rule', color: COLOUR.path, strokeWidth: 4.5 },
        encoding: { x: { ...x, field: 'barLower' }, x2: { field: 'barUpper' }, y: { ...y, field: 'barY' } },
      },
      {
        data: { values: data.filter(({ lower }) => lower !== null) },
        mark: { type: 'rule', color: COLOUR.ink, strokeWidth: 1.3 },
        encoding: { x: { ...x, field: 'lower' }, x2: { field: 'upper' }, y: { ...y, field: 'lineY' } },
      },
      {
        data: {
          values: ends
            .filter(({ beyond }) => !beyond)
            .map((end) => ({ ...end, top: end.lineY - END_PX, foot: end.lineY + END_PX })),
        },
        mark: { type: 'rule', color: COLOUR.ink, strokeWidth: 1.3 },
        encoding: { x: { ...x, field: 'at' }, y: { ...y, field: 'top' }, y2: { field: 'foot' } },
      },
      {
        data: { values: ends.filter(({ beyond }) => beyond) },
        mark: { type: 'point', filled: true, size: 35, opacity: 1, color: COLOUR.ink },
        encoding: {
          x: { ...x, field: 'at' },
          y: { ...y, field: 'lineY' },
          shape: { field: 'shape', type: 'nominal', scale: null, legend: null },
        },
      },
      {
        data: { values: data },
        mark: { type: 'point', filled: true, size: 46, opacity: 1, stroke: COLOUR.hip, strokeWidth: 1.5 },
        encoding: {
          x: { ...x, field: 'value' },
          y: { ...y, field: 'lineY' },
          fill: {
            field: 'full',
            type: 'nominal',
            scale: { domain: ['full', 'hollow'], range: [COLOUR.hip, '#ffffff'] },
            legend: null,
          },
        },
      },
      text(nameLines, 'name', 'nameY', { fontSize: TEXT.usual, color: COLOUR.ink }),
      text(data, 'words', 'wordsY', { fontSize: TEXT.small, color: COLOUR.quiet }),
    ],
  };
}

/** As many characters as a line holds. */
const charactersOf = (sizePx: number): number => Math.floor((INNER_PX - 8) / (CHARACTER_EM * sizePx));

/** Whether a name takes one line. */
export const fitsRow = (name: string): boolean => name.length <= charactersOf(TEXT.usual);

function cut(text: string, sizePx: number): string {
  const most = charactersOf(sizePx);
  return text.length <= most ? text : `${text.slice(0, most - 1)}…`;
}
