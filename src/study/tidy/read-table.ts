import { type ColumnTable, table } from 'arquero';
import type { Cell } from './read-cell.ts';
import type { Field, TableSchema } from './table-schema.ts';
import { typedRows } from './typed-rows.ts';

/**
 * A CSV table as an Arquero table by its declared schema. Numbers and whole numbers are `Float64Array` columns with NaN where
 * unknown; text, booleans and days (as text, 2026-03-14) are arrays with null. An id "007" is text.
 *
 * @param pieces the CSV file
 * @param keep which rows to keep, by the cell of a column; all where left out
 * @throws the first departure from the schema (codes `tidy-…`), with file, line and column
 */
export function readTable(
  schema: TableSchema,
  pieces: Iterable<Uint8Array>,
  keep?: (cell: (column: string) => Cell) => boolean,
): ColumnTable {
  const { fields, rows } = typedRows(schema, pieces);
  const places = new Map(fields.map(({ name }, i) => [name, i]));
  const columns = fields.map((field) => (isNumeric(field) ? new Numbers() : new Cells()));
  for (const { cells } of rows) {
    if (keep && !keep((column) => cells[places.get(column) ?? -1] ?? null)) continue;
    for (let i = 0; i < columns.length; i++) columns[i].add(cells[i]);
  }
  return table(fields.map(({ name }, i): [string, unknown[]] => [name, columns[i].values() as unknown[]]));
}

const isNumeric = ({ type }: Field): boolean => type === 'number' || type === 'integer';

class Cells {
  private readonly cells: Cell[] = [];
  add(cell: Cell): void {
    this.cells.push(cell);
  }
  values(): ArrayLike<Cell> {
    return this.cells;
  }
}

/** Grows by doubling: how many rows come is not known before. */
class Numbers {
  private numbers = new Float64Array(256);
  private count = 0;
  add(cell: Cell): void {
    if (this.count === this.numbers.length) {
      const larger = new Float64Array(2 * this.count);
      larger.set(this.numbers);
      this.numbers = larger;
    }
    this.numbers[this.count++] = cell === null ? Number.NaN : Number(cell);
  }
  values(): ArrayLike<Cell> {
    return this.numbers.slice(0, this.count);
  }
}
