import { createHash } from 'node:crypto';
import { DataError } from '../../errors.ts';
import { tidyNoTables } from '../../messages/tidy.ts';
import { keyCheck, References, type RowCheck } from './check-keys.ts';
import { type Field, TABLE_SCHEMAS, type TableSchema } from './table-schema.ts';
import type { TableSource } from './table-source.ts';
import { typedRows } from './typed-rows.ts';

/** One table as found. */
export interface TableReport {
  readonly schema: TableSchema;
  /** Declared columns that are there, in the order of the file. */
  readonly fields: readonly Field[];
  readonly rows: number;
  readonly bytes: number;
  /** Of the file, hexadecimal. */
  readonly sha256: string;
  readonly departures: number;
}

export interface StudyCheck {
  /** In the order of the dictionary. */
  readonly tables: readonly TableReport[];
  /** The first few of every kind (code, file and column). */
  readonly faults: readonly DataError[];
  /** How many of a kind are not among `faults`. */
  readonly more: readonly {
    readonly file: string;
    readonly column: string;
    readonly code: string;
    readonly count: number;
  }[];
  /** All departures. */
  readonly departures: number;
}

/** Departures of one kind that are told one by one. */
const TOLD = 5;

/**
 * Checks every table against its declared schema: columns, types, values, ranges, keys, and foreign keys as far as the tables
 * they refer to are there. One row in memory at a time, beside the keys of one recording and those of athletes, recordings and
 * repetitions.
 *
 * @throws tidy-no-tables
 */
export function checkTables(source: TableSource): StudyCheck {
  const there = TABLE_SCHEMAS.filter(({ file }) => source.files.includes(file));
  if (there.length === 0) throw tidyNoTables(source.name);
  const departures = new Departures();
  const references = new References();
  const foreignKeys = there.flatMap((schema) => schema.foreignKeys);
  const reports = new Map<string, TableReport>();
  const referredTo = References.TABLES.flatMap((name) => there.filter((schema) => schema.name === name));
  for (const schema of [...referredTo, ...there.filter((one) => !referredTo.includes(one))]) {
    reports.set(
      schema.file,
      checkTable(schema, source, departures, (fields, depart) => [
        keyCheck(schema, fields, depart),
        references.gather(schema, fields, foreignKeys),
        references.check(schema, fields, depart),
      ]),
    );
  }
  const tables = there.map(({ file }) => reports.get(file)!);
  return { tables, ...departures.told() };
}

function checkTable(
  schema: TableSchema,
  source: TableSource,
  departures: Departures,
  checksFor: (fields: readonly Field[], depart: (fault: DataError) => void) => readonly RowCheck[],
): TableReport {
  const before = departures.count;
  const depart = (fault: DataError) => departures.add(schema.file, fault);
  const counted = countedPieces(source.pieces(schema.file));
  let fields: readonly Field[] = [];
  let rows = 0;
  try {
    const found = typedRows(schema, counted.pieces, depart);
    fields = found.fields;
    const checks = checksFor(fields, depart);
    for (const row of found.rows) {
      rows++;
      for (const check of checks) check(row);
    }
  } catch (fault) {
    // The file cannot be read on from here; what was found of it so far stands.
    if (!(fault instanceof DataError)) throw fault;
    depart(fault);
  }
  const { bytes, sha256 } = counted.seen();
  return { schema, fields, rows, bytes, sha256, departures: departures.count - before };
}

/** Pieces of a file that are counted and digested on their way. */
export function countedPieces(pieces: Iterable<Uint8Array>): {
  readonly pieces: Iterable<Uint8Array>;
  seen(): { readonly bytes: number; readonly sha256: string };
} {
  const hash = createHash('sha256');
  let bytes = 0;
  function* passing() {
    for (const piece of pieces) {
      hash.update(piece);
      bytes += piece.length;
      yield piece;
    }
  }
  return { pieces: passing(), seen: () => ({ bytes, sha256: hash.digest('hex') }) };
}

/** Keeps the first few departures of every kind, and counts the others. */
class Departures {
  count = 0;
  private readonly kinds = new Map<
    string,
    { file: string; column: string; code: string; faults: DataError[]; count: number }
  >();

  add(file: string, fault: DataError): void {
    this.count++;
    const { code, facts } = fault;
    const column = String(facts.column ?? facts.columns ?? '');
    const name = [file, code, column].join(' ');
    const kind = this.kinds.get(name) ?? { file, column, code, faults: [], count: 0 };
    if (kind.count < TOLD) kind.faults.push(fault);
    kind.count++;
    this.kinds.set(name, kind);
  }

  told(): Pick<StudyCheck, 'faults' | 'more' | 'departures'> {
    const kinds = [...this.kinds.values()];
    return {
      faults: kinds.flatMap(({ faults }) => faults),
      more: kinds
        .filter(({ faults, count }) => count > faults.length)
        .map(({ file, column, code, faults, count }) => ({ file, column, code, count: count - faults.length })),
      departures: this.count,
    };
  }
}
