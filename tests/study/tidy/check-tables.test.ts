import { createHash } from 'node:crypto';
import { describe, expect, test } from '@jest/globals';
import { checkTables } from '../../../src/study/tidy/check-tables.ts';
import { sourceOfTexts } from '../../../src/study/tidy/table-source.ts';
import { readCsv } from '../read-csv.ts';
import { makeTables } from './make-tables.ts';

const texts = makeTables();
/** The small ones: frames and curves take the tests long. */
const small = new Map([...texts].filter(([file]) => !/^(frames|moments|curves|causes)\.csv$/.test(file)));

const check = (changed: ReadonlyMap<string, string>) =>
  checkTables(sourceOfTexts('demo', new Map([...small, ...changed])));

/** A table with one cell changed; `row` 1 is the first below the header. */
function withCell(file: string, row: number, column: string, cell: string): Map<string, string> {
  const rows = readCsv(texts.get(file)!);
  rows[row][rows[0].indexOf(column)] = cell;
  return new Map([[file, textOf(rows)]]);
}

const textOf = (rows: readonly (readonly string[])[]): string =>
  `${rows.map((cells) => cells.map((cell) => (/[",\n]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell)).join(',')).join('\n')}\n`;

describe('the tables as written', () => {
  test('have no departure, with bytes and digest of each', () => {
    const { faults, departures, tables } = checkTables(sourceOfTexts('demo', texts));
    expect(faults.map(({ message }) => message)).toEqual([]);
    expect(departures).toBe(0);
    expect(tables.length).toBe(texts.size);
    for (const { schema, bytes, sha256, rows } of tables) {
      const text = texts.get(schema.file)!;
      expect(rows).toBe(readCsv(text).length - 1);
      expect(bytes).toBe(Buffer.byteLength(text));
      expect(sha256).toBe(createHash('sha256').update(text).digest('hex'));
    }
  });
});

describe('a departure is found, with its place', () => {
  const cases: [string, Map<string, string>, Record<string, unknown>][] = [
    [
      'a word for a number',
      withCell('measures.csv', 3, 'value', 'NA'),
      { code: 'tidy-wrong-type', file: 'measures.csv', line: 4, column: 'value', cell: 'NA' },
    ],
    ['a decimal comma', withCell('measures.csv', 3, 'value', '1,5'), { code: 'tidy-wrong-type', cell: '1,5' }],
    ['infinity', withCell('measures.csv', 3, 'value', '1e999'), { code: 'tidy-wrong-type', cell: '1e999' }],
    [
      'a broken count',
      withCell('repetitions.csv', 1, 'top_frame', '12.5'),
      { code: 'tidy-wrong-type', type: 'integer' },
    ],
    [
      'TRUE of a spreadsheet',
      withCell('recordings.csv', 1, 'synthetic', 'TRUE'),
      { code: 'tidy-wrong-type', type: 'boolean' },
    ],
    [
      'a day of a spreadsheet',
      withCell('recordings.csv', 1, 'date', '04.03.2026'),
      { code: 'tidy-wrong-type', type: 'date' },
    ],
    [
      'a day that is none',
      withCell('recordings.csv', 1, 'date', '2026-02-29'),
      { code: 'tidy-wrong-type', type: 'date' },
    ],
    [
      'a side that is none',
      withCell('measures.csv', 1, 'side', 'Left'),
      { code: 'tidy-value-not-allowed', column: 'side' },
    ],
    [
      'a share above 1',
      withCell('repetitions.csv', 2, 'moments_known_share', '1.2'),
      { code: 'tidy-out-of-range', line: 3, value: 1.2, most: 1 },
    ],
    [
      'a mass in grams',
      withCell('athletes.csv', 1, 'mass_kg', '63000'),
      { code: 'tidy-out-of-range', value: 63000, most: 300 },
    ],
    [
      'an empty id',
      withCell('measures.csv', 1, 'measure', ''),
      { code: 'tidy-empty-cell', column: 'measure', line: 2 },
    ],
    [
      'an unknown recording',
      withCell('means.csv', 1, 'recording_id', '12'),
      { code: 'tidy-no-partner', file: 'means.csv', table: 'recordings', line: 2 },
    ],
    [
      'another lifter than the recording has',
      withCell('repetitions.csv', 1, 'athlete_id', '7'),
      { code: 'tidy-no-partner', value: '0012, 7' },
    ],
    [
      'a lifter without description',
      withCell('athletes.csv', 1, 'athlete_id', '7'),
      { code: 'tidy-no-partner', file: 'recordings.csv', table: 'athletes' },
    ],
    [
      'a key twice',
      withCell('repetitions.csv', 2, 'repetition', '1'),
      { code: 'tidy-key-twice', file: 'repetitions.csv', line: 3, first: 2 },
    ],
  ];
  test.each(cases)('%s', (_, changed, wanted) => {
    const { faults } = check(changed);
    expect(faults.map(({ code, facts }) => ({ code, ...facts }))).toContainEqual(expect.objectContaining(wanted));
  });

  const measures = readCsv(texts.get('measures.csv')!);
  const lower = measures[0].indexOf('lower');
  const estimated = measures.findIndex((row, i) => i > 0 && row[lower] !== '' && row[lower] !== row[lower + 1]);

  test('an interval upside down', () => {
    const changed = withCell('measures.csv', estimated, 'lower', '1e9');
    expect(check(changed).faults).toContainEqual(
      expect.objectContaining({
        code: 'tidy-interval-upside-down',
        facts: { file: 'measures.csv', line: estimated + 1, lower: 'lower', upper: 'upper' },
      }),
    );
  });

  test('columns: unknown (with what was meant), missing, twice', () => {
    const renamed = new Map([['measures.csv', texts.get('measures.csv')!.replace('athlete_id', 'athleet_id')]]);
    expect(check(renamed).faults.map(({ code, facts }) => [code, facts.column, facts.meant])).toEqual([
      ['tidy-column-unknown', 'athleet_id', 'athlete_id'],
      ['tidy-column-missing', 'athlete_id', undefined],
    ]);
    const twice = new Map([['measures.csv', texts.get('measures.csv')!.replace(',upper,', ',lower,')]]);
    expect(check(twice).faults.map(({ code }) => code)).toContain('tidy-column-twice');
  });

  test('rows: of another length, of one recording apart, and a file cut off', () => {
    const [header, ...rows] = texts.get('repetitions.csv')!.trimEnd().split('\n');
    const file = (lines: readonly string[]) => new Map([['repetitions.csv', `${lines.join('\n')}\n`]]);
    expect(check(file([header, `${rows[0]},`, ...rows.slice(1)])).faults[0]).toMatchObject({
      code: 'tidy-row-length',
      facts: { line: 2, columns: header.split(',').length, cells: header.split(',').length + 1 },
    });
    expect(
      check(file([header, rows[0], rows[2], rows[1], rows[3]])).faults.map(({ code, facts }) => [code, facts.line]),
    ).toEqual([
      ['tidy-rows-apart', 4],
      ['tidy-rows-apart', 5],
    ]);
    expect(check(new Map([['measures.csv', '']])).faults[0].code).toBe('tidy-no-header');
    expect(check(new Map([['measures.csv', 'a;b\n1;2\n']])).faults[0].code).toBe('tidy-separator');
  });

  test('many of one kind are told a few times and counted', () => {
    const rows = readCsv(texts.get('measures.csv')!);
    const value = rows[0].indexOf('value');
    const changed = new Map([['measures.csv', textOf(rows.map((row, i) => (i === 0 ? row : row.with(value, 'x'))))]]);
    const { faults, more, departures } = check(changed);
    expect(faults.length).toBe(5);
    expect(more).toEqual([
      { file: 'measures.csv', column: 'value', code: 'tidy-wrong-type', count: rows.length - 1 - 5 },
    ]);
    expect(departures).toBe(rows.length - 1);
  });

  test('a folder of one recording has no recordings.csv: keys to it are not asked for', () => {
    const one = new Map([['measures.csv', texts.get('measures.csv')!]]);
    expect(checkTables(sourceOfTexts('one', one)).departures).toBe(0);
  });
});
