import { ByteWriter, ParquetWriter, type Writer } from 'hyparquet-writer';
import { countedPieces } from './check-tables.ts';
import type { Cell } from './read-cell.ts';
import { frictionlessSchema } from './resource-schema.ts';
import type { Field, TableSchema } from './table-schema.ts';
import { typedRows } from './typed-rows.ts';

type SchemaElement = ConstructorParameters<typeof ParquetWriter>[0]['schema'][number];

/**
 * Types in Parquet. Text is UTF-8 and never a number; a day is a DATE (days since 1970-01-01, no time zone); whole numbers have
 * 32 bits, which is more than any frame or count needs.
 */
const ELEMENTS: Readonly<Record<Field['type'], Pick<SchemaElement, 'type' | 'converted_type'>>> = {
  string: { type: 'BYTE_ARRAY', converted_type: 'UTF8' },
  integer: { type: 'INT32' },
  number: { type: 'DOUBLE' },
  boolean: { type: 'BOOLEAN' },
  date: { type: 'INT32', converted_type: 'DATE' },
};

/** Cells in memory at once: rows of a row group times columns. */
const CELLS = 1_000_000;
const MOST_ROWS = 100_000;

export interface ParquetWritten {
  readonly rows: number;
  /** Of the CSV file it was made from, hexadecimal. */
  readonly sha256: string;
}

/**
 * A CSV table as Parquet by its declared schema, Snappy compressed, null where unknown. The same table gives the same bytes: no
 * time is in them. Unit and meaning of every column stand in the file's metadata: `kneeward:schema` (a Frictionless table
 * schema, JSON). One row group in memory at a time.
 *
 * @param pieces the CSV file
 * @param rowGroupRows rows of a row group; when left out, so many that a group has a million cells
 * @param sourceSha256 of the CSV file, where it is known: told as `kneeward:source_sha256`
 * @throws the first departure from the schema (codes `tidy-…`)
 */
export function writeParquet(
  schema: TableSchema,
  pieces: Iterable<Uint8Array>,
  writer: Writer,
  { rowGroupRows, sourceSha256 }: { readonly rowGroupRows?: number; readonly sourceSha256?: string } = {},
): ParquetWritten {
  const counted = countedPieces(pieces);
  const { fields, rows } = typedRows(schema, counted.pieces);
  const groupRows = rowGroupRows ?? Math.min(MOST_ROWS, Math.ceil(CELLS / fields.length));
  const into = (of: Writer) =>
    new ParquetWriter({
      writer: of,
      schema: [{ name: schema.name, num_children: fields.length }, ...fields.map(element)],
      createdBy: 'kneeward',
      kvMetadata: [
        { key: 'kneeward:schema', value: JSON.stringify(frictionlessSchema(schema, fields)) },
        ...(sourceSha256 === undefined ? [] : [{ key: 'kneeward:source_sha256', value: sourceSha256 }]),
      ],
    });
  let columns: Cell[][] = fields.map(() => []);
  let count = 0;
  let parquet = null as ParquetWriter | null;
  const flush = () => {
    if (columns[0].length === 0) return;
    parquet ??= into(writer);
    const columnData = fields.map(({ name }, i) => ({ name, data: columns[i] }));
    parquet.write({ columnData, rowGroupSize: columns[0].length });
    columns = fields.map(() => []);
  };
  for (const { cells } of rows) {
    fields.forEach(({ type }, i) => {
      columns[i].push(type === 'date' ? dayNumber(cells[i]) : cells[i]);
    });
    count++;
    if (columns[0].length === groupRows) flush();
  }
  flush();
  if (parquet === null) {
    const bytes = new ByteWriter();
    into(bytes).finish();
    writer.appendBytes(withTypedGroups(bytes.getBytes()));
    writer.finish();
  } else parquet.finish();
  return { rows: count, sha256: counted.seen().sha256 };
}

/** Of the footer without rows: number of rows (an i64: 0), list of row groups (of 0 elements, their type left open), metadata. */
const UNTYPED_GROUPS = Uint8Array.of(0x16, 0, 0x19, 0, 0x19);
const GROUPS_AT = 3;
const NO_STRUCTS = 0x0c;

/**
 * hyparquet-writer 0.17 leaves the type of an empty list open, and a table without rows has an empty list of row groups: Arrow's reader in
 * Rust refuses that. The one byte is set: `struct`, as the format declares (Thrift's compact protocol, list header).
 */
function withTypedGroups(file: Uint8Array): Uint8Array {
  // No text of the footer holds these bytes: control characters are escaped in JSON, and no name has them.
  const at = Buffer.from(file.buffer, file.byteOffset, file.byteLength).indexOf(UNTYPED_GROUPS);
  const typed = Uint8Array.from(file);
  if (at >= 0) typed[at + GROUPS_AT] = NO_STRUCTS;
  return typed;
}

const element = ({ name, type, required }: Field): SchemaElement => ({
  name,
  ...ELEMENTS[type],
  repetition_type: required ? 'REQUIRED' : 'OPTIONAL',
});

const MS_PER_DAY = 86_400_000;

/** Days since 1970-01-01 of a day as text. */
function dayNumber(day: Cell): number | null {
  return day === null ? null : Date.parse(`${day}T00:00:00Z`) / MS_PER_DAY;
}
