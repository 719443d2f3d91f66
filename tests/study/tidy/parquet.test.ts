import { describe, expect, test } from '@jest/globals';
import { parquetMetadata, parquetReadObjects } from 'hyparquet';
import { ByteWriter } from 'hyparquet-writer';
import { writeParquet } from '../../../src/study/tidy/parquet.ts';
import { fieldOf, tableSchema } from '../../../src/study/tidy/table-schema.ts';
import { recordsOf } from '../read-csv.ts';
import { makeTables } from './make-tables.ts';

const texts = makeTables();
const bytes = (text: string) => new TextEncoder().encode(text);

function parquetOf(file: string, text = texts.get(file)!, options = {}): ArrayBuffer {
  const writer = new ByteWriter();
  writeParquet(tableSchema(file)!, [bytes(text)], writer, options);
  return writer.getBuffer();
}

describe('tables as Parquet', () => {
  // Curves and causes have as many rows as all others together, and no type that the others do not have.
  const files = [...texts.keys()].filter((file) => file !== 'curves.csv' && file !== 'causes.csv');
  test.each(files)('%s read back by hyparquet is what the CSV says, null where empty', async (file) => {
    const rows = await parquetReadObjects({ file: parquetOf(file) });
    const wanted = recordsOf(texts.get(file)!);
    expect(rows.length).toBe(wanted.length);
    const wrong: unknown[] = [];
    wanted.forEach((cells, i) => {
      for (const [column, cell] of Object.entries(cells)) {
        const { type } = fieldOf(tableSchema(file)!, column)!;
        const read = rows[i][column] instanceof Date ? (rows[i][column] as Date).toISOString() : rows[i][column];
        const value =
          cell === ''
            ? null
            : type === 'string'
              ? cell
              : type === 'boolean'
                ? cell === 'true'
                : type === 'date'
                  ? `${cell}T00:00:00.000Z`
                  : Number.parseFloat(cell);
        if (!Object.is(read ?? null, value)) wrong.push([file, column, i, cell, read]);
      }
    });
    expect(wrong).toEqual([]);
  });

  test('a table without rows: its empty list of row groups says of what (Parquet format, FileMetaData: list<RowGroup>)', async () => {
    const file = parquetOf('repetitions.csv', `${texts.get('repetitions.csv')!.split('\n')[0]}\n`);
    expect(await parquetReadObjects({ file })).toEqual([]);
    expect(parquetMetadata(file).num_rows).toBe(0n);
    // Thrift's compact protocol: field 3, i64, 0; field 4, list, 0 elements of type 12 (struct); field 5, list.
    const footer = Buffer.from(file);
    expect(footer.indexOf(Uint8Array.of(0x16, 0, 0x19, 0x0c, 0x19))).toBeGreaterThan(0);
    expect(footer.subarray(-4).toString('latin1')).toBe('PAR1');
    expect(footer.readUInt32LE(footer.length - 8)).toBe(footer.length - 12);
  });

  test('types of the file are those declared', () => {
    const { schema } = parquetMetadata(parquetOf('recordings.csv'));
    const typeOf = (name: string) => {
      const { type, converted_type, repetition_type } = schema.find((element) => element.name === name)!;
      return [type, converted_type, repetition_type];
    };
    expect(typeOf('recording_id')).toEqual(['BYTE_ARRAY', 'UTF8', 'REQUIRED']);
    expect(typeOf('date')).toEqual(['INT32', 'DATE', 'OPTIONAL']);
    expect(typeOf('set')).toEqual(['INT32', undefined, 'OPTIONAL']);
    expect(typeOf('load_total_kg')).toEqual(['DOUBLE', undefined, 'OPTIONAL']);
    expect(typeOf('synthetic')).toEqual(['BOOLEAN', undefined, 'REQUIRED']);
  });

  test('row groups are written one by one, and the rows stay the same', async () => {
    const whole = await parquetReadObjects({ file: parquetOf('repetitions.csv') });
    const parted = parquetOf('repetitions.csv', undefined, { rowGroupRows: 3 });
    expect(parquetMetadata(parted).row_groups.map(({ num_rows }) => Number(num_rows))).toEqual([3, 1]);
    expect(await parquetReadObjects({ file: parted })).toEqual(whole);
  });

  test('the same table gives the same bytes; unit, meaning and source stand in the metadata', () => {
    const once = parquetOf('measures.csv', undefined, { sourceSha256: 'ab12' });
    expect(Buffer.from(once).equals(Buffer.from(parquetOf('measures.csv', undefined, { sourceSha256: 'ab12' })))).toBe(
      true,
    );
    const { key_value_metadata } = parquetMetadata(once);
    const value = (name: string) => key_value_metadata!.find(({ key }) => key === name)!.value!;
    expect(value('kneeward:source_sha256')).toBe('ab12');
    expect(JSON.parse(value('kneeward:schema')).fields).toContainEqual(
      expect.objectContaining({ name: 'value', type: 'number', unit: 'as in unit' }),
    );
  });

  test('a header alone is a file without rows', async () => {
    const empty = parquetOf('causes.csv', `${texts.get('causes.csv')!.split('\n')[0]}\n`);
    expect(await parquetReadObjects({ file: empty })).toEqual([]);
    expect(Number(parquetMetadata(empty).num_rows)).toBe(0);
  });

  test('a table that departs from its schema is not written', () => {
    expect(() => parquetOf('repetitions.csv', texts.get('repetitions.csv')!.replace(',full,', ',whole,'))).toThrow(
      expect.objectContaining({ code: 'tidy-value-not-allowed' }),
    );
  });
});
