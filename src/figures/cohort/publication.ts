import type { ColumnTable } from 'arquero';
import type { Config } from 'vega-lite';
import { CHARACTER_EM, CONFIG, type Figure } from '../look.ts';

/*
 * Figures of a whole study are drawn at the size they are printed at: 1 px is 1/96 inch, as in CSS, so one column of a journal, 85 mm,
 * is 321 px, and 7 pt is 9.33 px.
 */

/** Pixels a millimetre. */
export const PX_PER_MM = 96 / 25.4;

/** Width of one column, mm; common practice, no source. */
export const COLUMN_MM = 85;

/** Width of what is drawn inside the padding, px: with it one column. */
export const INNER_PX = Math.floor(COLUMN_MM * PX_PER_MM) - 10;

/** Sizes of text, px; the least is 7.1 pt. */
export const TEXT = { small: 9.5, usual: 10, title: 10.5 } as const;

/** Room for the labels of a value axis, px: fixed, so that panels under each other line up. */
export const AXIS_PX = 30;

/** Width of a plot with a value axis and its title, px. */
export const PLOT_PX = INNER_PX - AXIS_PX - 28;

export const PUBLICATION: Config = {
  ...CONFIG,
  padding: 5,
  axis: {
    ...CONFIG.axis,
    labelFontSize: TEXT.small,
    titleFontSize: TEXT.usual,
    titlePadding: 4,
    labelPadding: 3,
    tickSize: 4,
  },
  axisY: { minExtent: AXIS_PX, maxExtent: AXIS_PX },
  legend: {
    ...CONFIG.legend,
    labelFontSize: TEXT.small,
    titleFontSize: TEXT.small,
    titleFontWeight: 'normal',
    titleColor: CONFIG.legend?.labelColor,
    symbolSize: 50,
    symbolStrokeWidth: 1.4,
    offset: 3,
    padding: 0,
    columnPadding: 7,
    rowPadding: 1,
    labelOffset: 2,
  },
  title: { ...CONFIG.title, fontSize: TEXT.title, subtitleFontSize: TEXT.small, subtitleLineHeight: 12, offset: 6 },
};

/** A figure, or why there is none. */
export type Made = { readonly figure: Figure; readonly why: '' } | { readonly figure: null; readonly why: string };

export const cannot = (why: string): Made => ({ figure: null, why });

/** A whole specification with the look of a publication. */
export const made = (spec: object): Made => ({
  figure: {
    $schema: 'https://vega.github.io/schema/vega-lite/v6.json',
    config: PUBLICATION,
    ...spec,
  } as unknown as Figure,
  why: '',
});

/** Rows of a table as objects; what is unknown is null or NaN. */
export const rowsOf = <T>(table: ColumnTable): T[] => table.objects({ limit: Number.POSITIVE_INFINITY }) as T[];

export const known = (value: unknown): value is number => typeof value === 'number' && Number.isFinite(value);

/** A cell of text: '' where empty. */
export const said = (value: unknown): string => (value === null || value === undefined ? '' : String(value));

/** Groups in the order of their first item. */
export function groupsOf<T>(items: readonly T[], keyOf: (item: T) => string): T[][] {
  const groups = new Map<string, T[]>();
  for (const item of items) {
    const own = groups.get(keyOf(item));
    if (own) own.push(item);
    else groups.set(keyOf(item), [item]);
  }
  return [...groups.values()];
}

/** A domain with a little room at both ends. */
export function roomy(values: readonly number[], share = 0.05): [number, number] {
  const [low, high] = [Math.min(...values), Math.max(...values)];
  const room = share * (high - low || Math.abs(high) || 1);
  return [low - room, high + room];
}

/** Steps of ticks are 1, 2 or 5 times a power of ten. */
const TICK_STEPS = [1, 2, 5, 10] as const;
/** From a tick's label to its axis, px: tick and padding of `PUBLICATION`. */
const TICK_PX = 7;

/** Room for the labels of a value axis, px: `AXIS_PX`, or more where they have many characters ('1,200', '−0.05'). */
export function axisPx([low, high]: readonly [number, number], tickCount: number): number {
  const step = (high - low) / tickCount;
  const power = 10 ** Math.floor(Math.log10(step));
  const nice =
    power *
    TICK_STEPS.reduce((best, one) => (Math.abs(one * power - step) < Math.abs(best * power - step) ? one : best));
  const decimals = Math.max(0, -Math.floor(Math.log10(nice) + 1e-9));
  const labels = [low, high].map((end) =>
    end.toLocaleString('en-GB', { minimumFractionDigits: decimals, maximumFractionDigits: decimals }),
  );
  const characters = Math.max(...labels.map(({ length }) => length));
  return Math.max(AXIS_PX, Math.ceil(TICK_PX + CHARACTER_EM * TEXT.small * characters));
}

/** A number in words with its sign also where it is above 0; what reads as 0 has none. */
export const withPlus = (text: string): string => (Number.parseFloat(text) > 0 ? `+${text}` : text);
