import type { ColumnTable } from 'arquero';
import { CHARACTER_EM, COLOUR } from '../look.ts';
import { effectText } from './interval-words.ts';
import { axisOfOutcome, outcomeKey, shownDifference, shownOutcome } from './names.ts';
import {
  AXIS_PX,
  cannot,
  groupsOf,
  INNER_PX,
  known,
  type Made,
  made,
  roomy,
  rowsOf,
  said,
  TEXT,
} from './publication.ts';
import { HIP_SHARE_AT_PARALLEL } from './table-rows.ts';
import { wrapped } from './wrapped.ts';

/** Panels at most: what fits a printed page. */
export const WEEK_PANELS = 10;
const PANEL = { width: Math.floor((INNER_PX - 2 * AXIS_PX - 30) / 2), height: 84 } as const;

/** As many characters as a line over a panel and its axis holds; bold ones are wider. */
const TITLE_CHARACTERS = Math.floor((PANEL.width + AXIS_PX) / (CHARACTER_EM * TEXT.title));
const SUBTITLE_CHARACTERS = Math.floor((PANEL.width + AXIS_PX + 8) / (CHARACTER_EM * TEXT.small));

interface Card {
  readonly athlete_id: string;
  readonly lift_kind: string | null;
  readonly bar_position: string | null;
  readonly condition: string | null;
  readonly measure: string;
  readonly side: string | null;
  readonly at: string | null;
}

export interface WeekRow extends Card {
  readonly week: number;
  readonly load_kg: number;
  readonly recordings: string | null;
  readonly value: number;
  readonly lower: number;
  readonly upper: number;
  readonly unit: string;
  readonly n: number;
  readonly missing: number;
  readonly baseline: boolean;
  readonly mdc_lower: number;
  readonly mdc_upper: number;
  readonly mdc_basis: string | null;
  readonly reason: string | null;
}

export interface WeekChangeRow extends Card {
  readonly comparison: string | null;
  readonly load_kg: number;
  readonly sessions: number;
  readonly sessions_missing: number;
  readonly scale: string;
  readonly unit: string;
  readonly change: number;
  readonly change_lower: number;
  readonly change_upper: number;
  readonly day_to_day_basis: string | null;
  readonly family: number;
  readonly verdict: string | null;
  readonly reason: string | null;
}

/** Sessions of one athlete and measure at one load, in time; its last against its first. */
export interface WeekSeriesRows {
  readonly sessions: readonly WeekRow[];
  readonly change: WeekChangeRow | null;
}

const cardKey = (row: Card): string =>
  JSON.stringify([row.athlete_id, said(row.lift_kind), said(row.bar_position), said(row.condition), outcomeKey(row)]);

/**
 * The series of weeks.csv: rows of one card in the order of the table; a new one begins where the weeks start again, or a
 * baseline comes after what is none.
 */
export function weekSeries(weeks: ColumnTable, changes: ColumnTable): WeekSeriesRows[] {
  const comparisons = rowsOf<WeekChangeRow>(changes).filter(
    ({ comparison }) => said(comparison) === 'last less first' || said(comparison) === 'last less baseline',
  );
  const dated = rowsOf<WeekRow>(weeks).filter(({ week, value }) => known(week) && known(value));
  return groupsOf(dated, cardKey).flatMap((own) => {
    const series: WeekRow[][] = [];
    own.forEach((row, i) => {
      const before = own[i - 1];
      if (!before || row.week <= before.week || (row.baseline && !before.baseline)) series.push([row]);
      else series[series.length - 1].push(row);
    });
    return series.map((sessions) => {
      const last = sessions[sessions.length - 1];
      const change = comparisons.find((one) => cardKey(one) === cardKey(last) && one.load_kg === last.load_kg);
      return { sessions, change: sessions.length > 1 ? (change ?? null) : null };
    });
  });
}

/** The measure that is drawn: the hips' part at parallel, or the one that most series know. */
export function weekMeasure(all: readonly WeekSeriesRows[]): string | null {
  const several = all.filter(({ sessions }) => sessions.length > 1);
  const counts = groupsOf(several, ({ sessions }) => outcomeKey(sessions[0]));
  const wanted = counts.find(([{ sessions }]) => outcomeKey(sessions[0]) === outcomeKey(HIP_SHARE_AT_PARALLEL));
  const most = [...counts].sort((a, b) => b.length - a.length)[0];
  const chosen = wanted ?? most;
  return chosen ? outcomeKey(chosen[0].sessions[0]) : null;
}

/** Series with two sessions or more of the measure drawn; those with most sessions first where they do not all fit. */
export function weekPanels(
  weeks: ColumnTable,
  changes: ColumnTable,
): { readonly drawn: WeekSeriesRows[]; readonly of: number } {
  const all = weekSeries(weeks, changes);
  const measure = weekMeasure(all);
  const own = all.filter(({ sessions }) => sessions.length > 1 && outcomeKey(sessions[0]) === measure);
  const fitting = [...own].sort((a, b) => b.sessions.length - a.sessions.length).slice(0, WEEK_PANELS);
  return { drawn: own.filter((one) => fitting.includes(one)), of: own.length };
}

/**
 * A panel an athlete (kind of lift, condition, load): values by week with 95 % interval, the band of the minimal detectable change about
 * the first session, and the verdict in words. A session without a value leaves no mark; the line joins sessions.
 */
export function weekToWeek(weeks: ColumnTable, changes: ColumnTable): Made {
  const { drawn } = weekPanels(weeks, changes);
  if (drawn.length === 0)
    return cannot(
      'no athlete has two sessions at the same load and condition with a date: one session tells of no change',
    );
  const several = groupsOf(drawn, ({ sessions }) => sessions[0].athlete_id).some((own) => own.length > 1);
  return made({ columns: 2, spacing: 12, concat: drawn.map((one) => panel(one, several)) });
}

function panel({ sessions, change }: WeekSeriesRows, several: boolean) {
  const [first] = sessions;
  const { factor, unit } = shownOutcome(first.measure, first.unit);
  const scaled = (value: number) => (known(value) ? factor * value : null);
  const points = sessions.map(({ week, value, lower, upper }) => ({
    week,
    value: factor * value,
    lower: scaled(lower),
    upper: scaled(upper),
  }));
  const band = sessions
    .filter(({ mdc_lower, mdc_upper }) => known(mdc_lower) && known(mdc_upper))
    .map((row) => ({ week: row.week, lower: factor * row.mdc_lower, upper: factor * row.mdc_upper }));
  // The band belongs to the sessions that are compared; it begins at the reference, which it is about.
  const whole = band.length > 0 ? [{ ...band[0], week: first.week }, ...band] : [];
  const ends = [...points, ...whole]
    .flatMap((one) => [one.lower, one.upper, 'value' in one ? one.value : null])
    .filter(known);
  const weeks = sessions.map(({ week }) => week);
  const x = {
    field: 'week',
    type: 'quantitative',
    scale: { domain: roomy(weeks, 0.07), nice: false, zero: false },
    axis: { title: 'week', grid: false, tickCount: 4, tickMinStep: 1 },
  } as const;
  const y = {
    field: 'value',
    type: 'quantitative',
    scale: { domain: roomy(ends, 0.05), nice: false, zero: false },
    axis: {
      title: unit === '' ? null : unit,
      titleAngle: 0,
      titleAlign: 'right',
      titleAnchor: 'end',
      titleY: -4,
      titleX: -6,
      tickCount: 4,
    },
  } as const;
  const card = [
    first.athlete_id,
    ...(several ? [said(first.condition), `${Number(first.load_kg.toPrecision(4))} kg`] : []),
  ];
  return {
    ...PANEL,
    title: {
      // Wrapped, not cut: what tells two names apart often stands at their ends.
      text: wrapped(card.filter((part) => part !== '').join(', '), TITLE_CHARACTERS),
      subtitle: verdictLines({ sessions, change }).flatMap((line) =>
        line === '' ? [''] : wrapped(line, SUBTITLE_CHARACTERS),
      ),
      frame: 'bounds',
    },
    layer: [
      {
        data: { values: whole },
        mark: { type: 'area', color: COLOUR.far, opacity: 0.22 },
        encoding: { x, y: { ...y, field: 'lower' }, y2: { field: 'upper' } },
      },
      {
        data: { values: [{ value: factor * first.value }] },
        mark: { type: 'rule', color: COLOUR.quiet, strokeWidth: 1, strokeDash: [3, 3] },
        encoding: { y },
      },
      { data: { values: points }, mark: { type: 'line', color: COLOUR.path, strokeWidth: 1 }, encoding: { x, y } },
      {
        data: { values: points.filter(({ lower }) => lower !== null) },
        mark: { type: 'rule', color: COLOUR.down, strokeWidth: 1.4 },
        encoding: { x, y: { ...y, field: 'lower' }, y2: { field: 'upper' } },
      },
      {
        data: { values: points },
        mark: { type: 'point', filled: true, size: 34, opacity: 1, color: COLOUR.down },
        encoding: { x, y },
      },
    ],
  };
}

/** 'changed: −6 points', '(−9 to −3)'; why there is no verdict where there is none. */
function verdictLines({ sessions, change }: WeekSeriesRows): string[] {
  const words = said(change?.verdict) || 'no verdict';
  if (!change || !known(change.change)) return [words, ''];
  return [words, changeText(change, sessions[0].measure)];
}

/** The change of last less first; of a ratio the factor. */
export function changeText(change: WeekChangeRow, measure: string): string {
  const estimated = { value: change.change, lower: change.change_lower, upper: change.change_upper };
  if (change.scale === 'ratio') return effectText(estimated, { factor: 1, unit: '×', decimals: 2 }, 1);
  return effectText(estimated, shownDifference(measure, change.unit));
}

/** Title of the value axes, for the caption. */
export const weekQuantity = ({ sessions: [first] }: WeekSeriesRows): string => axisOfOutcome(first, first.unit);
