import type { ColumnTable } from 'arquero';
import { type Shown, valueWithInterval } from '../../study/shown.ts';
import { type IntervalRow, intervalPanel } from './interval-rows.ts';
import { type OutcomeName, outcomeName, shownDifference } from './names.ts';
import { cannot, groupsOf, known, type Made, made, rowsOf, said } from './publication.ts';

/** Rows at most. */
export const RELIABILITY_ROWS = 14;

export interface ReliabilityRow extends OutcomeName {
  readonly lift_kind: string | null;
  readonly bar_position: string | null;
  readonly condition: string | null;
  readonly scale: string;
  readonly unit: string;
  readonly icc: number;
  readonly icc_lower: number;
  readonly icc_upper: number;
  readonly icc_exact: boolean | null;
  readonly sem: number;
  readonly sem_lower: number;
  readonly sem_upper: number;
  readonly mdc: number;
  readonly mdc_lower: number;
  readonly mdc_upper: number;
  readonly athletes: number;
  readonly athletes_repeated: number;
  readonly recordings: number;
  readonly sessions: number;
  readonly repetitions: number;
  readonly missing: number;
  readonly reason: string | null;
}

export const conditionOf = (row: ReliabilityRow): string =>
  [said(row.lift_kind), said(row.bar_position), said(row.condition)].filter((part) => part !== '').join(', ');

/** The condition that is drawn: the one with most repeated recordings; its rows that have numbers. */
export function drawnReliability(table: ColumnTable): {
  readonly rows: ReliabilityRow[];
  readonly conditions: number;
  readonly reason: string;
} {
  const all = rowsOf<ReliabilityRow>(table);
  const conditions = groupsOf(
    all.filter(({ icc }) => known(icc)),
    conditionOf,
  );
  const most = (own: readonly ReliabilityRow[]) =>
    Math.max(...own.map(({ recordings, athletes }) => recordings - athletes));
  const [best] = [...conditions].sort((a, b) => most(b) - most(a));
  return { rows: best ?? [], conditions: conditions.length, reason: said(all[0]?.reason) };
}

/**
 * How alike recordings of one athlete are: the intraclass correlation with its 95 % interval, a line a measure; in words the standard
 * error of measurement and the minimal detectable change.
 *
 * @param table table with the columns of reliability.csv
 */
export function reliability(table: ColumnTable): Made {
  const { rows, reason } = drawnReliability(table);
  if (rows.length === 0) return cannot(reason === '' ? 'no recording has a followed measure' : reason);
  const drawn = rows.slice(0, RELIABILITY_ROWS).map(
    (row): IntervalRow => ({
      name: outcomeName(row),
      words: `SEM ${errorText(row, 'sem', false)}, MDC ${errorText(row, 'mdc', true)}, n ${row.recordings} / ${row.athletes}`,
      value: row.icc,
      lower: row.icc_lower,
      upper: row.icc_upper,
      barLower: Number.NaN,
      barUpper: Number.NaN,
      full: true,
    }),
  );
  const least = Math.min(0, ...rows.map(({ icc }) => icc));
  return made({
    vconcat: [
      intervalPanel({
        title: conditionOf(rows[0]),
        subtitle: ['n: recordings / athletes'],
        axis: 'intraclass correlation, ICC(1,1)',
        rows: drawn,
        level: null,
        domain: [least < 0 ? Math.floor(10 * least) / 10 : 0, 1],
        ticks: [0, 0.2, 0.4, 0.6, 0.8, 1],
      }),
    ],
  });
}

/** '4.1° (3.0 to 6.5)'; of a ratio the factor. */
export function errorText(row: ReliabilityRow, of: 'sem' | 'mdc', withInterval: boolean): string {
  const shown: Shown =
    row.scale === 'ratio' ? { factor: 1, unit: '×', decimals: 2 } : shownDifference(row.measure, row.unit);
  const estimated = { value: row[of], lower: row[`${of}_lower`], upper: row[`${of}_upper`] };
  const text = valueWithInterval(estimated, shown);
  return withInterval ? text : text.replace(/ \(.*\)$/, '');
}
