import type { ColumnTable } from 'arquero';
import { tidyNoTables, tidyTableMissing } from '../../messages/tidy.ts';
import { readTable } from './read-table.ts';
import { TABLE_SCHEMAS } from './table-schema.ts';
import type { TableSource } from './table-source.ts';

/** Tables by name (`measures`), in the order of the dictionary. */
export type TidyTables = ReadonlyMap<string, ColumnTable>;

/**
 * All tables of a study as Arquero tables by their declared schema (readTable says which column is what).
 *
 * @param names tables wanted, as `measures`; all that are there when left out. frames and moments are large: leave them out
 *   where they are not needed
 * @throws tidy-no-tables; tidy-table-missing where a wanted one is not there; the first departure from a schema
 */
export function tidyStudy(source: TableSource, names?: readonly string[]): TidyTables {
  const there = TABLE_SCHEMAS.filter(({ file }) => source.files.includes(file));
  if (there.length === 0) throw tidyNoTables(source.name);
  for (const name of names ?? []) if (!there.some((schema) => schema.name === name)) throw tidyTableMissing(name);
  const wanted = names ? there.filter(({ name }) => names.includes(name)) : there;
  return new Map(wanted.map((schema) => [schema.name, readTable(schema, source.pieces(schema.file))]));
}

/** A table of the study; throws tidy-table-missing where it is not there. */
export function theTable(tables: TidyTables, name: string): ColumnTable {
  const found = tables.get(name);
  if (!found) throw tidyTableMissing(name);
  return found;
}
