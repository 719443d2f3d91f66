import type { LiftComparison, MeasureDifference } from '../study/compare/compare-lifts.ts';
import { decimalsOf, numberText, type Shown } from '../study/shown.ts';
import { COACH_MEASURES, type CoachMeasure } from './coach-measures.ts';
import { POINTS } from './compare-figures.ts';
import * as say from './compare-wording.ts';

/* The lines of a comparison that a coach reads, and how their numbers are written. */

export interface CoachRow {
  readonly line: CoachMeasure;
  readonly row: MeasureDifference;
}

/** Lines of the coach's table that A or B has. A measure of the set says nothing about two repetitions of it. */
export function coachRows({ measures }: LiftComparison): CoachRow[] {
  const find = (measure: string, { at, side }: CoachMeasure) =>
    measures.find((row) => row.measure === measure && row.at === at && row.side === side);
  return COACH_MEASURES.flatMap((line) => {
    const row = find(line.measure, line);
    if (!row) return [];
    const other = line.insteadOf === undefined ? undefined : find(line.insteadOf, line);
    return other && Number.isFinite(other.difference) ? [] : [{ line, row }];
  });
}

/** A share is shown in per cent and differs by points. */
export const differenceShown = ({ shown }: CoachMeasure): Shown => (shown.unit === '%' ? POINTS : shown);

export function signed(value: number, decimals: number): string {
  const text = numberText(value, decimals);
  return value > 0 && Number(text) !== 0 ? `+${text}` : text;
}

export const withUnit = (text: string, unit: string) =>
  unit === '' ? text : unit === '°' ? `${text}°` : `${text} ${unit}`;

/** The decimals that a difference is worth; of an interval without width (a thing against itself) those usual for the unit. */
export const decimalsIn = (row: MeasureDifference, shown: Shown): number =>
  row.lower === row.upper ? shown.decimals : decimalsOf(estimated(row), shown);

/** '(−15 to −10)'; '' without an interval. */
export function intervalIn(row: MeasureDifference, shown: Shown): string {
  if (!Number.isFinite(row.lower) || !Number.isFinite(row.upper)) return '';
  const [low, high] = [row.lower, row.upper].map((end) => numberText(end * shown.factor, decimalsIn(row, shown)));
  return `(${low} to ${high})`;
}

/** '−12 points (−15 to −10)'. */
export function differenceText(row: MeasureDifference, shown: Shown): string {
  if (!Number.isFinite(row.difference)) return '';
  const value = signed(row.difference * shown.factor, decimalsIn(row, shown));
  return `${withUnit(value, shown.unit)} ${intervalIn(row, shown)}`.trim();
}

/** A side's value, to the digits that the difference is worth, so that the three add up. */
export function sideText(row: MeasureDifference, side: 'a' | 'b', shown: Shown): string {
  const { value } = row[side];
  const decimals = Number.isFinite(row.difference) ? decimalsIn(row, shown) : shown.decimals;
  return Number.isFinite(value) ? withUnit(numberText(value * shown.factor, decimals), shown.unit) : '–';
}

/** Lines that read different, the surest first. */
export function surestFirst(rows: readonly CoachRow[]): CoachRow[] {
  const sureness = ({ row }: CoachRow) => (row.sd > 0 ? Math.abs(row.difference) / row.sd : Number.POSITIVE_INFINITY);
  return rows.filter(({ row }) => row.verdict === 'different').sort((one, other) => sureness(other) - sureness(one));
}

export const countOf = (rows: readonly { readonly row: Pick<MeasureDifference, 'verdict'> }[]) => ({
  judged: rows.filter(({ row }) => row.verdict !== 'unknown').length,
  different: rows.filter(({ row }) => row.verdict === 'different').length,
});

const shareRow = ({ measures }: LiftComparison, at: 'parallel' | 'bottom') =>
  measures.find((row) => row.measure === 'hip_share' && row.at === at && row.side === 'both');

/** The number of the first sentence: the hips' part at parallel, or at the bottom where parallel is unknown. */
export function headlineRow(comparison: LiftComparison): { at: 'parallel' | 'bottom'; row: MeasureDifference } | null {
  for (const at of ['parallel', 'bottom'] as const) {
    const row = shareRow(comparison, at);
    if (row && Number.isFinite(row.difference)) return { at, row };
  }
  return null;
}

export function headlineOf(comparison: LiftComparison): string {
  const sides = say.sideWords(comparison);
  const found = headlineRow(comparison);
  if (!found) return say.headlineUnknown(shareRow(comparison, 'parallel')?.reason ?? '');
  return say.headline(found.at, found.row.verdict, estimated(found.row), POINTS, sides);
}

export const estimated = ({ difference, lower, upper }: MeasureDifference) => ({ value: difference, lower, upper });

/** Lines in the terminal, at most; the page has all. */
const MOST_LINES = 12;

/** The sentence and the lines that differ as aligned text, for a terminal. */
export function formatComparison(comparison: LiftComparison): string {
  const sides = say.sideWords(comparison);
  const rows = coachRows(comparison);
  const { judged, different } = countOf(rows);
  const lines = surestFirst(rows)
    .slice(0, MOST_LINES)
    .map(({ line, row }) => [
      line.words,
      sideText(row, 'a', line.shown),
      sideText(row, 'b', line.shown),
      differenceText(row, differenceShown(line)),
    ]);
  const header = [...say.tableColumns()].slice(0, 4);
  const widths = header.map((title, i) => Math.max(title.length, ...lines.map((cells) => cells[i].length)));
  const text = (cells: readonly string[]) =>
    cells
      .map((cell, i) => (i === 0 ? cell.padEnd(widths[i]) : cell.padStart(widths[i])))
      .join('  ')
      .trimEnd();
  const table = [text(header), text(widths.map((width) => '-'.repeat(width))), ...lines.map(text)];
  return `${[
    headlineOf(comparison),
    '',
    `A: ${say.nameOf(comparison.a)} (${sides.a})`,
    `B: ${say.nameOf(comparison.b)} (${sides.b})`,
    '',
    ...(lines.length > 0 ? [say.differentLines(lines.length, different), '', ...table, ''] : []),
    say.tableNote(judged, different),
  ].join('\n')}\n`;
}
