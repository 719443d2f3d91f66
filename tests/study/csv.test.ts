import { describe, expect, test } from '@jest/globals';
import { cellText, combineTables, csvOf, tableOf } from '../../src/study/csv.ts';
import { readCsv, recordsOf } from './read-csv.ts';

describe('csvOf', () => {
  test('quotes commas, quotes and line breaks after RFC 4180, and ids stay text', () => {
    const rows = [
      { recording_id: '007', reason: 'a, "b"' },
      { recording_id: '1e3', reason: 'two\nlines' },
      { recording_id: 'é ü 深', reason: '' },
    ];
    const text = csvOf(tableOf(['recording_id', 'reason'], rows));
    expect(recordsOf(text)).toEqual(rows);
    expect(text).not.toContain('\r');
  });

  test('unknown is an empty cell: null, undefined, NaN and infinities', () => {
    const values = [null, undefined, Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
    const text = csvOf(
      tableOf(
        ['k', 'v'],
        values.map((v, k) => ({ k, v })),
      ),
    );
    expect(readCsv(text).slice(1)).toEqual(values.map((_, k) => [String(k), '']));
  });

  test('a table without rows keeps its header', () => {
    expect(csvOf(tableOf(['a', 'b'], []))).toBe('a,b\n');
  });
});

test.each([
  [-0, '0'],
  [123456789, '123456789'],
  [1 / 3, '0.3333333'],
  [-0.1 - 0.2, '-0.3'],
  [1234.56789, '1234.568'],
  [true, 'true'],
])('cellText(%p) is %s', (value, text) => {
  expect(cellText(value)).toBe(text);
});

describe('combineTables', () => {
  const of = (id: string, columns: readonly string[], value: number) =>
    tableOf(
      ['recording_id', ...columns],
      [0, 1].map((i) => ({ recording_id: id, ...Object.fromEntries(columns.map((name) => [name, value + i])) })),
    );

  test('sorts by recording id, keeps the order inside, takes the union of columns and leaves the rest empty', () => {
    const text = csvOf(combineTables([of('b', ['x', 'z'], 10), of('a', ['x', 'y'], 20)]));
    expect(text).toBe('recording_id,x,y,z\na,20,20,\na,21,21,\nb,10,,10\nb,11,,11\n');
  });

  test('empty tables give a header and no rows', () => {
    expect(csvOf(combineTables([tableOf(['recording_id', 'x'], []), tableOf(['recording_id', 'x'], [])]))).toBe(
      'recording_id,x\n',
    );
  });

  test('a typed-array column joins an ordinary one', () => {
    const other = of('a', ['x'], 1).assign(tableOf(['x'], [{ x: 5 }, { x: 6 }]));
    expect(csvOf(combineTables([of('b', ['x'], 3), other]))).toBe('recording_id,x\na,5\na,6\nb,3\nb,4\n');
  });
});
