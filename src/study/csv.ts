import { type ColumnTable, table } from 'arquero';
import { sevenDigits } from './seven-digits.ts';

/** A cell as text: numbers short and stable, unknown (null, NaN, ±Infinity) empty, true and false as words. */
export function cellText(value: unknown): string {
  if (value === null || value === undefined) return '';
  if (typeof value !== 'number') return String(value);
  if (!Number.isFinite(value)) return '';
  if (Number.isInteger(value)) return String(value === 0 ? 0 : value);
  return String(sevenDigits(value));
}

/** A table as CSV (RFC 4180 quoting), header first, LF line ends, UTF-8 text; empty where unknown. Ids are text and stay as they are. */
export function csvOf(from: ColumnTable): string {
  const names = from.columnNames();
  const columns = names.map((name) => from.array(name) as ArrayLike<unknown>);
  const lines = [names.map(quoted).join(',')];
  const cells = new Array<string>(names.length);
  for (let row = 0; row < from.numRows(); row++) {
    for (let column = 0; column < cells.length; column++) {
      const value = columns[column][row];
      cells[column] = typeof value === 'number' ? cellText(value) : quoted(cellText(value));
    }
    lines.push(cells.join(','));
  }
  return `${lines.join('\n')}\n`;
}

/** A cell that holds a comma, a quote or a line end stands in quotes, its own quotes doubled. */
function quoted(text: string): string {
  return /[",\n\r]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

/** A table from rows of cells in the order of `columns`; zero rows keep their columns. */
export function tableOf(columns: readonly string[], rows: readonly Readonly<Record<string, unknown>>[]): ColumnTable {
  return table(columns.map((name) => [name, rows.map((row) => row[name] ?? null)] as [string, unknown[]]));
}

/**
 * All recordings of a study in one table: rows sorted by `recording_id` (then in the order they came), columns the
 * union in the order of first appearance after sorting, empty where a recording does not have one.
 */
export function combineTables(tables: readonly ColumnTable[]): ColumnTable {
  const nonEmpty = tables.filter((one) => one.numRows() > 0);
  if (nonEmpty.length === 0) return tables[0] ?? table({});
  const keyed = nonEmpty.map((one) => ({ id: String(one.get('recording_id', 0)), one }));
  keyed.sort((a, b) => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0));
  const names = [...new Set(keyed.flatMap(({ one }) => one.columnNames()))];
  return table(
    names.map((name): [string, unknown[]] => [
      name,
      keyed.flatMap(({ one }): unknown[] =>
        one.columnNames().includes(name)
          ? Array.from(one.array(name) as ArrayLike<unknown>)
          : new Array(one.numRows()).fill(null),
      ),
    ]),
  );
}
