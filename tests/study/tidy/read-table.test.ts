import { describe, expect, test } from '@jest/globals';
import { readTable } from '../../../src/study/tidy/read-table.ts';
import { fieldOf, tableSchema } from '../../../src/study/tidy/table-schema.ts';
import { sourceOfTexts } from '../../../src/study/tidy/table-source.ts';
import { tidyStudy } from '../../../src/study/tidy/tidy-study.ts';
import { recordsOf } from '../read-csv.ts';
import { makeTables } from './make-tables.ts';

const texts = makeTables();
const source = sourceOfTexts('demo', texts);

describe('tables by their schema', () => {
  test('every cell of every table is what a reader of the text sees, in its declared type', () => {
    const tables = tidyStudy(source);
    expect([...tables.keys()].map((name) => `${name}.csv`).sort()).toEqual([...texts.keys()].sort());
    for (const [name, table] of tables) {
      const rows = recordsOf(texts.get(`${name}.csv`)!);
      expect(table.numRows()).toBe(rows.length);
      const wrong: unknown[] = [];
      for (const column of table.columnNames()) {
        const { type } = fieldOf(tableSchema(`${name}.csv`)!, column)!;
        rows.forEach((row, i) => {
          const cell = row[column];
          const wanted =
            type === 'number' || type === 'integer'
              ? cell === ''
                ? Number.NaN
                : Number.parseFloat(cell)
              : cell === ''
                ? null
                : type === 'boolean'
                  ? cell === 'true'
                  : cell;
          if (!Object.is(table.get(column, i), wanted)) wrong.push([name, column, i, cell, table.get(column, i)]);
        });
      }
      expect(wrong).toEqual([]);
    }
  });

  test('only rows that are kept, by the cell of a column', () => {
    const schema = tableSchema('measures.csv')!;
    const all = readTable(schema, source.pieces('measures.csv'));
    const kept = readTable(schema, source.pieces('measures.csv'), (cell) => cell('measure') === 'hip_share');
    const wanted = recordsOf(texts.get('measures.csv')!).filter(({ measure }) => measure === 'hip_share');
    expect(wanted.length).toBeGreaterThan(0);
    expect(all.numRows()).toBeGreaterThan(wanted.length);
    expect(Array.from(kept.array('value'), Number)).toEqual(
      wanted.map(({ value }) => (value === '' ? Number.NaN : Number(value))),
    );
    expect(readTable(schema, source.pieces('measures.csv'), (cell) => cell('no such column') !== null).numRows()).toBe(
      0,
    );
  });

  test('ids that look like numbers stay text', () => {
    const { recordings } = Object.fromEntries(tidyStudy(source, ['recordings']));
    expect(recordings.array('recording_id')).toEqual(['0012', '2e3']);
    expect(recordings.array('athlete_id')).toEqual(['007', '08']);
    expect(recordings.array('date')).toEqual(['2026-03-04', null]);
  });

  test('a table of a header alone has its columns', () => {
    const header = texts.get('causes.csv')!.split('\n')[0];
    const table = readTable(tableSchema('causes.csv')!, [new TextEncoder().encode(`${header}\n`)]);
    expect([table.numRows(), table.numCols()]).toEqual([0, header.split(',').length]);
  });

  test('a wanted table that is not there, and a folder without tables, are refused', () => {
    expect(() => tidyStudy(source, ['findings'])).toThrow(expect.objectContaining({ code: 'tidy-table-missing' }));
    expect(() => tidyStudy(sourceOfTexts('x', new Map([['a.csv', 'b\n']])))).toThrow(
      expect.objectContaining({ code: 'tidy-no-tables' }),
    );
  });
});
