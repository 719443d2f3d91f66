import {
  csvCellInfinite,
  csvCellManyLines,
  csvCellMissing,
  csvCellNotInteger,
  csvCellNotNumber,
  csvColumnMissing,
  csvColumnRepeated,
  csvColumnUnknown,
  csvNoRows,
  csvOpenQuote,
  csvQuoteInField,
  csvRowLength,
  csvSeparator,
} from '../messages/capture.ts';
import { type InputLedger, readText } from './input-file.ts';
import { nearestName } from './nearest-name.ts';

/** A CSV file as read: RFC 4180 with commas, a header line, LF or CRLF, blank lines skipped. */
export interface CsvTable {
  readonly file: string;
  readonly header: readonly string[];
  readonly rows: number;
  /** Row-major, `row * header.length + column`; spaces around an unquoted cell removed. */
  readonly cells: readonly string[];
  /** Line in the file on which each row begins, from 1. */
  readonly lines: readonly number[];
}

export interface CsvColumns {
  readonly required: readonly string[];
  readonly optional: readonly string[];
}

/** Reads a CSV file (`.gz` too) whose columns must be those named, in any order. At least one row. */
export function readCsv(path: string, columns: CsvColumns, ledger: InputLedger | null): CsvTable {
  const table = parseCsv(path, readText(path, ledger));
  checkColumns(table, columns);
  return table;
}

/** Refuses a table that lacks a column, has one twice or one too many, or has no row. */
export function checkColumns(table: CsvTable, columns: CsvColumns): void {
  checkHeader(table, columns);
  if (table.rows === 0) throw csvNoRows(table.file);
}

const COMMA = 44;
const QUOTE = 34;
const CR = 13;
const LF = 10;

/** Splits CSV text into cells. `file` is named in messages only. */
export function parseCsv(file: string, text: string): CsvTable {
  const header: string[] = [];
  const cells: string[] = [];
  const lines: number[] = [];
  let row: string[] = [];
  let line = 1;
  let at = text.charCodeAt(0) === 0xfeff ? 1 : 0;
  while (at < text.length) {
    const rowLine = line;
    row = [];
    for (;;) {
      let cell: string;
      if (text.charCodeAt(at) === QUOTE) {
        const close = closingQuote(text, at);
        if (close < 0) throw csvOpenQuote(file, line);
        cell = text.slice(at + 1, close).replaceAll('""', '"');
        for (let i = at; i < close; i++) if (text.charCodeAt(i) === LF) line++;
        at = close + 1;
        if (!endsCell(text, at)) throw csvQuoteInField(file, line);
      } else {
        const from = at;
        while (!endsCell(text, at)) at++;
        cell = text.slice(from, at).trim();
      }
      row.push(cell);
      if (text.charCodeAt(at) !== COMMA) break;
      at++;
    }
    if (text.charCodeAt(at) === CR) at++;
    if (text.charCodeAt(at) === LF) at++;
    line++;
    if (row.length === 1 && row[0] === '') continue;
    if (header.length === 0) {
      header.push(...row);
      if (header.some((name) => /[\r\n]/.test(name))) throw csvCellManyLines(file, rowLine, 'header');
      checkSeparator(file, header);
    } else {
      if (row.length !== header.length) throw csvRowLength(file, rowLine, row.length, header.length);
      for (const cell of row) cells.push(cell);
      lines.push(rowLine);
    }
  }
  return { file, header, rows: lines.length, cells, lines };
}

function endsCell(text: string, at: number): boolean {
  if (at >= text.length) return true;
  const code = text.charCodeAt(at);
  return code === COMMA || code === LF || code === CR;
}

/** Position of the quote that closes the one at `open`, or −1; a doubled quote stands for one inside. */
function closingQuote(text: string, open: number): number {
  for (let at = open + 1; at < text.length; at++) {
    if (text.charCodeAt(at) !== QUOTE) continue;
    if (text.charCodeAt(at + 1) !== QUOTE) return at;
    at++;
  }
  return -1;
}

function checkSeparator(file: string, header: readonly string[]): void {
  if (header.length > 1) return;
  if (header[0].includes(';')) throw csvSeparator(file, 'semicolons');
  if (header[0].includes('\t')) throw csvSeparator(file, 'tabs');
}

function checkHeader(table: CsvTable, columns: CsvColumns): void {
  const known = [...columns.required, ...columns.optional];
  const missing = columns.required.filter((name) => !table.header.includes(name));
  const unknown = table.header.filter((name) => !known.includes(name));
  if (missing.length > 0)
    throw csvColumnMissing(table.file, missing[0], table.header, nearestName(missing[0], unknown));
  const repeated = table.header.find((name, i) => table.header.indexOf(name) !== i);
  if (repeated !== undefined) throw csvColumnRepeated(table.file, repeated);
  if (unknown.length > 0) throw csvColumnUnknown(table.file, unknown[0], known, nearestName(unknown[0], known));
}

const NUMBER = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/;

/**
 * One column as numbers, `rows` long. An empty cell or NaN is NaN; infinity, text, and decimal commas are refused with
 * line and column. `empty: 'refused'` refuses missing cells too.
 */
export function numberColumn(table: CsvTable, name: string, empty: 'is NaN' | 'refused'): Float64Array {
  const column = table.header.indexOf(name);
  const width = table.header.length;
  const values = new Float64Array(table.rows);
  for (let row = 0; row < table.rows; row++) {
    const cell = table.cells[row * width + column];
    if (NUMBER.test(cell)) {
      values[row] = Number(cell);
      if (!Number.isFinite(values[row])) throw csvCellInfinite(table.file, table.lines[row], name, cell, empty);
    } else if (cell === '' || /^[+-]?nan$/i.test(cell)) {
      if (empty === 'refused') throw csvCellMissing(table.file, table.lines[row], name, cell);
      values[row] = Number.NaN;
    } else if (/^[+-]?inf(inity)?$/i.test(cell)) {
      throw csvCellInfinite(table.file, table.lines[row], name, cell, empty);
    } else {
      refuseManyLines(table, row, name, cell);
      throw csvCellNotNumber(table.file, table.lines[row], name, cell, empty);
    }
  }
  return values;
}

/** A column of whole numbers from 0 up, such as frames. */
export function countColumn(table: CsvTable, name: string): Float64Array {
  const values = numberColumn(table, name, 'refused');
  for (let row = 0; row < table.rows; row++) {
    if (!Number.isSafeInteger(values[row]) || values[row] < 0) {
      throw csvCellNotInteger(table.file, table.lines[row], name, values[row]);
    }
  }
  return values;
}

/** A column as text. A cell that runs over several lines is refused: a quote has opened that nobody meant. */
export function textColumn(table: CsvTable, name: string): string[] {
  const column = table.header.indexOf(name);
  return Array.from({ length: table.rows }, (_, row) => {
    const cell = table.cells[row * table.header.length + column];
    refuseManyLines(table, row, name, cell);
    return cell;
  });
}

function refuseManyLines(table: CsvTable, row: number, column: string, cell: string): void {
  if (/[\r\n]/.test(cell)) throw csvCellManyLines(table.file, table.lines[row], column);
}
