import { DataError, UsageError } from '../errors.ts';

const at = (file: string, line: number) => `${file}, line ${line}`;

/* The form of the file. */

export const tidyOpenQuote = (file: string, line: number) =>
  new DataError(
    'tidy-open-quote',
    `${at(file, line)}: a quote is opened and never closed. Was the file cut off? Write it again (kneeward study).`,
    { file, line },
  );

export const tidyQuoteInCell = (file: string, line: number) =>
  new DataError(
    'tidy-quote-in-cell',
    `${at(file, line)}: text follows a closing quote. A cell with a comma or a quote in it stands in quotes whole, its own quotes doubled.`,
    { file, line },
  );

export const tidyNotUtf8 = (file: string) =>
  new DataError(
    'tidy-not-utf8',
    `${file}: this is not UTF-8. A spreadsheet saved it in another encoding? Choose "CSV UTF-8" there, or write the file again.`,
    { file },
  );

export const tidyNoHeader = (file: string) =>
  new DataError('tidy-no-header', `${file}: the file is empty; not even its column names are there. Write it again.`, {
    file,
  });

export const tidySeparator = (file: string, separator: 'semicolons' | 'tabs') =>
  new DataError(
    'tidy-separator',
    `${file}: the columns are parted by ${separator}, and must be parted by commas. A spreadsheet of a country with decimal commas does so when it saves: write the file again, and read it by import (docs/method/tables.md).`,
    { file, separator },
  );

export const tidyRowLength = (file: string, line: number, cells: number, columns: number) =>
  new DataError(
    'tidy-row-length',
    `${at(file, line)}: ${cells} ${cells === 1 ? 'cell' : 'cells'} under ${columns} columns. Each row has one cell a column, empty where unknown.`,
    { file, line, cells, columns },
  );

/* Columns. */

export const tidyColumnUnknown = (file: string, column: string, meant: string | null) =>
  new DataError(
    'tidy-column-unknown',
    `${file}: no column "${column}" is declared for this table.${meant === null ? '' : ` Is "${meant}" meant?`} Take it out, or keep it in a table of your own that is joined by id (docs/data-dictionary.md has all columns).`,
    { file, column, meant: meant ?? '' },
  );

export const tidyColumnMissing = (file: string, column: string) =>
  new DataError('tidy-column-missing', `${file}: the column "${column}" is not there. Write the table again.`, {
    file,
    column,
  });

export const tidyColumnTwice = (file: string, column: string) =>
  new DataError('tidy-column-twice', `${file}: the column "${column}" stands twice. Take one of them out.`, {
    file,
    column,
  });

/* Cells. */

const WANTED = {
  string: 'text',
  integer: 'a whole number, as 12',
  number: 'a number with a decimal point, as 12.5 or 1.2e-7',
  boolean: 'true or false, in small letters',
  date: 'a day, as 2026-03-14',
} as const;

export const tidyWrongType = (file: string, line: number, column: string, cell: string, type: keyof typeof WANTED) =>
  new DataError(
    'tidy-wrong-type',
    `${at(file, line)}, ${column}: "${shortened(cell)}" is not ${WANTED[type]}. What is not known is an empty cell (no NA, no NaN). Did a spreadsheet change it? Write the file again.`,
    { file, line, column, cell: shortened(cell), type },
  );

export const tidyEmptyCell = (file: string, line: number, column: string) =>
  new DataError(
    'tidy-empty-cell',
    `${at(file, line)}, ${column}: empty, and this column always has a value: it says what the row is about.`,
    { file, line, column },
  );

export const tidyValueNotAllowed = (
  file: string,
  line: number,
  column: string,
  cell: string,
  allowed: readonly string[],
) =>
  new DataError(
    'tidy-value-not-allowed',
    `${at(file, line)}, ${column}: "${shortened(cell)}"; it can be ${allowed.join(', ')}, or empty where that is declared.`,
    { file, line, column, cell: shortened(cell), allowed: allowed.join('|') },
  );

export const tidyOutOfRange = (
  file: string,
  line: number,
  column: string,
  value: number,
  unit: string,
  least: number | undefined,
  most: number | undefined,
) =>
  new DataError(
    'tidy-out-of-range',
    `${at(file, line)}, ${column}: ${value}${unit.length > 1 ? ` (${unit})` : ''} is ${least !== undefined && value < least ? `below ${least}` : `above ${most}`}. Was it written in another unit, or typed in?`,
    { file, line, column, value, least: least ?? '', most: most ?? '' },
  );

export const tidyIntervalUpsideDown = (file: string, line: number, lower: string, upper: string) =>
  new DataError(
    'tidy-interval-upside-down',
    `${at(file, line)}: ${lower} is above ${upper}. The two ends of an interval were exchanged.`,
    { file, line, lower, upper },
  );

/* Keys. */

export const tidyKeyTwice = (file: string, line: number, first: number, key: string) =>
  new DataError(
    'tidy-key-twice',
    `${at(file, line)}: ${key} stands a second time (first in line ${first}). Was the table put together of two runs? Take one of the rows out, or write the table again.`,
    { file, line, first, key },
  );

export const tidyRowsApart = (file: string, line: number, recording: string) =>
  new DataError(
    'tidy-rows-apart',
    `${at(file, line)}: rows of recording ${recording} come again after those of another. Sort the table by recording_id, or write it again.`,
    { file, line, recording },
  );

export const tidyNoPartner = (file: string, line: number, columns: string, value: string, table: string) =>
  new DataError(
    'tidy-no-partner',
    `${at(file, line)}: ${columns} ${value} is not in ${table}.csv. The tables are not of one run (kneeward study --merge makes them anew), or an id was changed by hand (007 into 7?).`,
    { file, line, columns, value, table },
  );

/* The folder. */

export const tidyNoTables = (folder: string) =>
  new DataError(
    'tidy-no-tables',
    `${folder}: none of Kneeward's tables is there. Name the output folder of kneeward study or analyse, as out/demo.`,
    { folder },
  );

export const tidyTableMissing = (table: string) =>
  new DataError('tidy-table-missing', `${table}.csv is needed for this, and is not in the folder.`, { table });

export const tidyChangedMeanwhile = (file: string) =>
  new DataError(
    'tidy-changed-meanwhile',
    `${file}: it changed while it was being read. Is a study being written there? Try again when that is done.`,
    { file },
  );

export const tidyNotReadable = (path: string, code: string) =>
  new DataError('tidy-not-readable', `${path}: it could not be read (${code}).`, { path, reason: code });

export const tidyCheckOrParquet = () =>
  new UsageError('tidy-check-or-parquet', '--check writes nothing, --parquet writes: leave one of them out.');

/* Wide measures. */

export const tidyMeasureUnknown = (measure: string, side: string, place: string, there: readonly string[]) =>
  new DataError(
    'tidy-measure-unknown',
    `No measure "${measure}"${side === '' ? '' : `, side ${side}`}${place === '' ? '' : `, at "${place}"`} in these tables. ${there.length === 0 ? 'There is no measure of that name.' : `There is: ${there.join('; ')}.`}`,
    { measure, side, at: place },
  );

export const tidyMeasureSeveral = (measure: string, places: readonly string[]) =>
  new DataError(
    'tidy-measure-several',
    `The measure "${measure}" is meant in several ways: ${places.join('; ')}. Choose one by side and at.`,
    { measure, places: places.join('|') },
  );

export const tidyCovariateUnknown = (column: string, there: readonly string[]) =>
  new DataError(
    'tidy-covariate-unknown',
    `No column "${column}" in recordings.csv or athletes.csv. There is: ${there.join(', ')}.`,
    { column },
  );

export const tidyColumnNameTwice = (column: string) =>
  new DataError(
    'tidy-column-name-twice',
    `Two choices give the column "${column}". Give one of them a name of its own with "as".`,
    { column },
  );

export const tidyUnitsDiffer = (measure: string, units: readonly string[]) =>
  new DataError(
    'tidy-units-differ',
    `The measure "${measure}" comes in several units (${units.join(', ')}), which cannot stand in one column.`,
    { measure, units: units.join(' ') },
  );

/* What the command says. */

/** Departures of one kind are told a few at a time. */
export const tidyMoreLikeIt = (file: string, column: string, count: number) =>
  `${file}${column === '' ? '' : `, ${column}`}: ${count} more like it.`;
export const tidyTableLine = (file: string, rows: number, columns: number, departures: number) =>
  `${file}  ${rows} rows, ${columns} columns  ${departures === 0 ? 'as declared' : `${departures} departures`}`;
export const tidyWritten = (folder: string, files: number) => `${folder}: ${files} files written.`;
export const tidyNothingWritten = (departures: number) =>
  `${departures} departures from the declared schema: nothing was written.`;
export const tidyOlder = (file: string) =>
  `${file} was made of other tables than those there now. Make it anew (kneeward tidy, with --parquet for Parquet), or remove it.`;
export const tidyParquetOlder = (file: string) =>
  `${file} is of an earlier run, may be of other tables than those now there, and is not in datapackage.json. Make it again with --parquet, or remove it.`;

function shortened(cell: string): string {
  return cell.length > 60 ? `${cell.slice(0, 60)}…` : cell;
}
