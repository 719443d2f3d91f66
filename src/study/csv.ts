import { type ColumnTable, table } from 'arquero';

/** Digits kept of a number that is not an integer. Seven are finer than any measurement here and survive every reader. */
const SIGNIFICANT_DIGITS = 7;

/** A cell as text: numbers short and stable, unknown (null, NaN, ±Infinity) empty, true and false as words. */
export function cellText(value: unknown): string {
  if (value === null || value === undefined) return '';
  if (typeof value !== 'number') return String(value);
  if (!Number.isFinite(value)) return '';
  if (Number.isInteger(value)) return String(value === 0 ? 0 : value);
  return String(Number(value.toPrecision(SIGNIFICANT_DIGITS)));
}

/** A table as CSV (RFC 4180 quoting), header first, LF line ends, UTF-8 text; empty where unknown. Ids are text and stay as they are. */
export function csvOf(from: ColumnTable): string {
  const names = from.columnNames();
  return from.toCSV({ format: Object.fromEntries(names.map((name) => [name, cellText])) });
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
