import { describe, expect, test } from '@jest/globals';
import fc from 'fast-check';
import { countColumn, numberColumn, parseCsv, readCsv, textColumn } from '../../src/capture/csv.ts';
import { DataError } from '../../src/errors.ts';
import { reference } from '../reference.ts';
import { dataError, temporaryFolder, write } from './written-files.ts';

const folder = temporaryFolder();
const standards = reference<never>('capture-text-standards');
const rfc = standards.csv as { rule: string; text: string; rows: string[][] }[];

const rowsOf = (text: string) => {
  const table = parseCsv('t.csv', text);
  const width = table.header.length;
  return Array.from({ length: table.rows }, (_, row) => table.cells.slice(row * width, (row + 1) * width));
};

describe('splitting (RFC 4180)', () => {
  test.each(rfc)('rule $rule', ({ text, rows }) => expect(rowsOf(text)).toEqual(rows));

  test('byte order mark, lone CR, blank lines, spaces around cells', () => {
    const table = parseCsv('t.csv', '\ufeffa,b\r\n\r\n 1 ,2\r3,4\n\n');
    expect(table.header).toEqual(['a', 'b']);
    expect(table.cells).toEqual(['1', '2', '3', '4']);
    expect(table.lines).toEqual([3, 4]);
  });

  test('a name that runs over several lines is refused: a quote opened that nobody meant', () => {
    const table = parseCsv('t.csv', 'a,b\n"x,1\ny",2\n');
    expect(dataError(() => textColumn(table, 'a'))).toMatchObject({ code: 'csv-many-lines', facts: { line: 2 } });
    expect(dataError(() => numberColumn(parseCsv('t.csv', 'a,b\n"1\n2",3\n'), 'a', 'is NaN')).code).toBe(
      'csv-many-lines',
    );
    expect(dataError(() => parseCsv('t.csv', '"a\nb",c\n1,2\n')).code).toBe('csv-many-lines');
  });

  test('lines count through quoted line ends', () => {
    expect(parseCsv('t.csv', 'a,b\n"x\ny",1\n2,3\n').lines).toEqual([2, 4]);
  });

  const cell = fc.string({ maxLength: 8, unit: fc.constantFrom('a', '1', ',', '"', '\n', '\r', ' ', ';', 'é', '.') });
  test('whatever is written with quotes is read back', () => {
    const tables = fc
      .integer({ min: 2, max: 4 })
      .chain((width) =>
        fc.array(fc.array(cell, { minLength: width, maxLength: width }), { minLength: 1, maxLength: 6 }),
      );
    fc.assert(
      fc.property(tables, fc.constantFrom('\n', '\r\n'), (rows, lineEnd) => {
        const quote = (text: string) => `"${text.replaceAll('"', '""')}"`;
        const header = rows[0].map((_, i) => `h${i}`);
        const text = [header, ...rows].map((row) => row.map(quote).join(',')).join(lineEnd);
        expect(rowsOf(text)).toEqual(rows);
      }),
      { numRuns: 300, seed: 4180 },
    );
  });

  test('any text gives a table or a DataError', () => {
    fc.assert(
      fc.property(fc.string({ unit: fc.constantFrom('a', ',', '"', '\n', '\r', '1', ';') }), (text) => {
        try {
          const table = parseCsv('t.csv', text);
          return table.cells.length === table.rows * table.header.length;
        } catch (error) {
          return error instanceof DataError;
        }
      }),
      { numRuns: 500, seed: 1 },
    );
  });
});

describe('what is refused, and where', () => {
  const columns = { required: ['frame', 'x'], optional: ['y'] };
  const read = (text: string) => dataError(() => readCsv(write(folder, 'bad.csv', text), columns, null));

  test.each([
    ['frame;x\n0;1\n', 'csv-separator', {}],
    ['frame\tx\n0\t1\n', 'csv-separator', {}],
    ['frame,xx\n0,1\n', 'csv-column-missing', { column: 'x' }],
    ['frame,x,frame\n0,1,2\n', 'csv-column-repeated', { column: 'frame' }],
    ['frame,x,Y\n0,1,2\n', 'csv-column-unknown', { column: 'Y', suggestion: 'y' }],
    ['frame,x\n', 'csv-no-rows', {}],
    ['frame,x\n0,1\n1,2,5\n', 'csv-row-length', { line: 3, cells: 3, expected: 2 }],
    ['frame,x\n0,1\n1', 'csv-row-length', { line: 3, cells: 1, expected: 2 }],
    ['frame,x\n0,"1\n', 'csv-open-quote', { line: 2 }],
    ['frame,x\n0,"1"2\n', 'csv-quote', { line: 2 }],
  ])('%j: %s', (text, code, facts) => {
    const error = read(text);
    expect(error.code).toBe(code);
    expect(error.facts).toMatchObject(facts);
    expect(error.message).toContain('bad.csv');
  });

  const column = (cell: string) => numberColumn(parseCsv('t.csv', `frame,x\n0,1\n1,${cell}\n`), 'x', 'is NaN');
  test.each([
    ['abc', 'csv-not-a-number'],
    ['"1,5"', 'csv-not-a-number'],
    ['0x10', 'csv-not-a-number'],
    ['1e', 'csv-not-a-number'],
    ['inf', 'csv-infinite'],
    ['-Infinity', 'csv-infinite'],
    ['1e999', 'csv-infinite'],
  ])('cell %s: %s on line 3, column x', (cell, code) => {
    const error = dataError(() => column(cell));
    expect(error.code).toBe(code);
    expect(error.facts).toMatchObject({ line: 3, column: 'x' });
  });

  test.each(['', 'NaN', 'nan'])('cell %j is missing, and refused where a number is needed', (cell) => {
    expect(column(cell)[1]).toBeNaN();
    const table = parseCsv('t.csv', `frame,x\n0,${cell}\n`);
    expect(dataError(() => numberColumn(table, 'x', 'refused')).code).toBe('csv-cell-missing');
  });

  test.each(['-1', '0.5', '1e300'])('frame %s is not a count', (cell) => {
    const table = parseCsv('t.csv', `frame,x\n${cell},0\n`);
    expect(dataError(() => countColumn(table, 'frame')).facts).toMatchObject({ line: 2, column: 'frame' });
  });
});

test('numbers keep every digit', () => {
  fc.assert(
    fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (value) => {
      const text = Object.is(value, -0) ? '-0' : String(value);
      return Object.is(numberColumn(parseCsv('t.csv', `x\n${text}\n`), 'x', 'refused')[0], value);
    }),
    { numRuns: 300, seed: 2 },
  );
});

test('text columns', () => {
  expect(textColumn(parseCsv('t.csv', 'a,b\n1,x\n2,y\n'), 'b')).toEqual(['x', 'y']);
});
