import { nearestName } from '../../capture/nearest-name.ts';
import type { DataError } from '../../errors.ts';
import {
  tidyColumnMissing,
  tidyColumnTwice,
  tidyColumnUnknown,
  tidyIntervalUpsideDown,
  tidyNoHeader,
  tidyRowLength,
  tidySeparator,
} from '../../messages/tidy.ts';
import { type CsvRow, csvRows } from './csv-rows.ts';
import { type Cell, readCell } from './read-cell.ts';
import { type Field, fieldOf, type TableSchema } from './table-schema.ts';

export interface TypedRow {
  readonly line: number;
  /** In the order of `fields`. */
  readonly cells: readonly Cell[];
}

export interface TypedRows {
  /** Declared columns of this file, in its order; undeclared ones are left out. */
  readonly fields: readonly Field[];
  readonly rows: Generator<TypedRow>;
}

/** A departure ends the reading. */
export const refuse = (fault: DataError): never => {
  throw fault;
};

/**
 * A table by its declared schema, one row in memory at a time.
 *
 * @param pieces the CSV file
 * @param depart told of every departure of columns and cells; the default throws it
 * @throws what makes the file unreadable: tidy-no-header, tidy-separator, tidy-not-utf8, tidy-open-quote, tidy-quote-in-cell
 */
export function typedRows(
  schema: TableSchema,
  pieces: Iterable<Uint8Array>,
  depart: (fault: DataError) => void = refuse,
): TypedRows {
  const { file } = schema;
  const all = csvRows(file, pieces);
  const header = all.next();
  if (header.done) throw tidyNoHeader(file);
  const names = header.value.cells;
  if (names.length === 1 && names[0].includes(';')) throw tidySeparator(file, 'semicolons');
  if (names.length === 1 && names[0].includes('\t')) throw tidySeparator(file, 'tabs');
  const fields = fieldsOf(schema, names, depart);
  const known = fields.filter((field) => field !== null);
  return { fields: known, rows: rowsOf(file, all, fields, intervals(known), depart) };
}

/** The field of every column of the header; null for one that is not declared or stands twice. */
function fieldsOf(
  schema: TableSchema,
  names: readonly string[],
  depart: (fault: DataError) => void,
): readonly (Field | null)[] {
  const { file } = schema;
  const declared = schema.fields.map(({ name }) => name);
  const fields = names.map((name, i) => {
    if (names.indexOf(name) < i) {
      depart(tidyColumnTwice(file, name));
      return null;
    }
    const field = fieldOf(schema, name);
    if (!field) depart(tidyColumnUnknown(file, name, nearestName(name, declared)));
    return field ?? null;
  });
  for (const name of declared) {
    if (!names.includes(name) && !schema.isOptional(name)) depart(tidyColumnMissing(file, name));
  }
  return fields;
}

function* rowsOf(
  file: string,
  rows: Iterable<CsvRow>,
  fields: readonly (Field | null)[],
  ends: readonly Ends[],
  depart: (fault: DataError) => void,
): Generator<TypedRow> {
  for (const { line, cells } of rows) {
    if (cells.length !== fields.length) {
      depart(tidyRowLength(file, line, cells.length, fields.length));
      continue;
    }
    const typed: Cell[] = [];
    for (let i = 0; i < cells.length; i++) {
      const field = fields[i];
      if (field !== null) typed.push(readCell(field, cells[i], file, line, depart));
    }
    for (const { lower, upper, names } of ends) {
      const [low, high] = [typed[lower], typed[upper]];
      if (low !== null && high !== null && low > high) depart(tidyIntervalUpsideDown(file, line, ...names));
    }
    yield { line, cells: typed };
  }
}

interface Ends {
  readonly lower: number;
  readonly upper: number;
  readonly names: readonly [string, string];
}

/** Pairs of columns that are the two ends of an interval. */
function intervals(fields: readonly Field[]): readonly Ends[] {
  const names = fields.map(({ name }) => name);
  return names.flatMap((name, lower) => {
    if (!/(^|_)lower(_|$)/.test(name)) return [];
    const other = name.replace('lower', 'upper');
    const upper = names.indexOf(other);
    return upper < 0 ? [] : [{ lower, upper, names: [name, other] as const }];
  });
}
