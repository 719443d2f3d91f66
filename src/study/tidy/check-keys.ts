import type { DataError } from '../../errors.ts';
import { tidyKeyTwice, tidyNoPartner, tidyRowsApart } from '../../messages/tidy.ts';
import type { ForeignKey } from './keys.ts';
import type { Cell } from './read-cell.ts';
import type { Field, TableSchema } from './table-schema.ts';

type Row = { readonly line: number; readonly cells: readonly Cell[] };
type Depart = (fault: DataError) => void;

/** Told of every row of a table. */
export type RowCheck = (row: Row) => void;

/** Parts the cells of a key: no text holds it. */
const BETWEEN = '\u001f';

const cellText = (cell: Cell | undefined): string => (cell === null || cell === undefined ? '' : String(cell));
export const keyText = (cells: readonly Cell[], places: readonly number[]): string =>
  places.map((place) => cellText(cells[place])).join(BETWEEN);

/** Places of columns among the fields; null where one of them is not there. */
export function placesOf(fields: readonly Field[], names: readonly string[]): readonly number[] | null {
  const places = names.map((name) => fields.findIndex((field) => field.name === name));
  return places.includes(-1) ? null : places;
}

/**
 * Every key stands once. Of a table whose recordings stand together, the keys of one recording are in memory at a time; there
 * a recording that comes again is a departure by itself.
 */
export function keyCheck(schema: TableSchema, fields: readonly Field[], depart: Depart): RowCheck {
  const { file, key, grouped } = schema;
  const places = placesOf(fields, key);
  if (places === null || key.length === 0) return () => {};
  const lines = new Map<string, number>();
  const done = new Set<string>();
  let group: string | null = null;
  return ({ line, cells }) => {
    const own = grouped ? cellText(cells[places[0]]) : '';
    if (own !== group) {
      if (done.has(own)) depart(tidyRowsApart(file, line, own));
      lines.clear();
      done.add(own);
      group = own;
    }
    const text = keyText(cells, places);
    const first = lines.get(text);
    if (first === undefined) lines.set(text, line);
    else
      depart(tidyKeyTwice(file, line, first, key.map((name, i) => `${name} ${cellText(cells[places[i]])}`).join(', ')));
  };
}

/** Keys of the tables that others refer to. */
export class References {
  private readonly sets = new Map<string, Set<string>>();

  /** Tables referred to, each before those that refer to it. */
  static readonly TABLES: readonly string[] = ['athletes', 'recordings', 'repetitions'];

  /** Gathers from a table what any of the foreign keys refers to. */
  gather(schema: TableSchema, fields: readonly Field[], foreignKeys: readonly ForeignKey[]): RowCheck {
    const wanted = new Map<string, { places: readonly number[]; set: Set<string> }>();
    for (const { table, reference } of foreignKeys) {
      const places = table === schema.name ? placesOf(fields, reference) : null;
      if (places) wanted.set(setName(table, reference), { places, set: new Set() });
    }
    for (const [name, { set }] of wanted) this.sets.set(name, set);
    return ({ cells }) => {
      for (const { places, set } of wanted.values()) set.add(keyText(cells, places));
    };
  }

  /** Every foreign key has its partner, as far as the table referred to is there. A key with an empty cell refers to nothing. */
  check(schema: TableSchema, fields: readonly Field[], depart: Depart): RowCheck {
    const checks = schema.foreignKeys.flatMap(({ fields: names, table, reference }) => {
      const partners = this.sets.get(setName(table, reference));
      const places = placesOf(fields, names);
      return partners && places ? [{ names: names.join(', '), table, partners, places }] : [];
    });
    return ({ line, cells }) => {
      for (const { names, table, partners, places } of checks) {
        if (places.some((place) => cells[place] === null) || partners.has(keyText(cells, places))) continue;
        depart(
          tidyNoPartner(schema.file, line, names, places.map((place) => cellText(cells[place])).join(', '), table),
        );
      }
    };
  }
}

const setName = (table: string, reference: readonly string[]): string => [table, ...reference].join(BETWEEN);
