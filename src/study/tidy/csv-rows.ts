import { tidyNotUtf8, tidyOpenQuote, tidyQuoteInCell } from '../../messages/tidy.ts';

export interface CsvRow {
  /** Line of the file the row begins on, from 1. */
  readonly line: number;
  readonly cells: readonly string[];
}

const QUOTE = 0x22;
const COMMA = 0x2c;
const CR = 0x0d;
const LF = 0x0a;

/**
 * Rows of a CSV file (RFC 4180: commas, LF or CRLF, UTF-8 with or without byte order mark) that comes in pieces, the header
 * among them; one row in memory at a time. Cells stay as they are: no space is taken off, nothing is guessed. Blank lines are
 * left out.
 *
 * @param file named in messages only
 * @throws tidy-not-utf8, tidy-open-quote, tidy-quote-in-cell
 */
export function* csvRows(file: string, pieces: Iterable<Uint8Array>): Generator<CsvRow> {
  const reader = new RowSplitter(file);
  const decoder = new TextDecoder('utf-8', { fatal: true });
  const decode = (piece?: Uint8Array): string => {
    try {
      return piece ? decoder.decode(piece, { stream: true }) : decoder.decode();
    } catch {
      throw tidyNotUtf8(file);
    }
  };
  for (const piece of pieces) yield* reader.rows(decode(piece), false);
  yield* reader.rows(decode(), true);
}

/** Splits text into rows, and keeps the begun row for the next piece. */
class RowSplitter {
  private readonly file: string;
  private text = '';
  private line = 1;

  constructor(file: string) {
    this.file = file;
  }

  *rows(piece: string, last: boolean): Generator<CsvRow> {
    this.text += piece;
    let from = 0;
    while (from < this.text.length) {
      const found = this.rowFrom(from, last);
      if (found === null) break;
      const { cells, next, lines } = found;
      const line = this.line;
      this.line += lines;
      from = next;
      if (cells.length > 1 || cells[0] !== '') yield { line, cells };
    }
    this.text = this.text.slice(from);
  }

  /** The row that begins at `from`; null where its end has not come yet. */
  private rowFrom(from: number, last: boolean): { cells: string[]; next: number; lines: number } | null {
    const { text, file } = this;
    const cells: string[] = [];
    let at = from;
    let lines = 0;
    for (;;) {
      let cell: string;
      if (text.charCodeAt(at) === QUOTE) {
        const open = at + 1;
        const close = this.closing(open, last);
        if (close < 0 && last) throw tidyOpenQuote(file, this.line + lines);
        if (close < 0) return null;
        cell = text.slice(open, close);
        for (let i = open; i < close; i++) if (text.charCodeAt(i) === LF) lines++;
        if (cell.includes('"')) cell = cell.replaceAll('""', '"');
        at = close + 1;
      } else {
        const begin = at;
        while (at < text.length && text.charCodeAt(at) !== COMMA && text.charCodeAt(at) !== LF) at++;
        const end = text.charCodeAt(at) === LF && at > begin && text.charCodeAt(at - 1) === CR ? at - 1 : at;
        cell = text.slice(begin, end);
      }
      // A CR at the very end may have its LF in the next piece.
      if (at >= text.length || (text.charCodeAt(at) === CR && at + 1 >= text.length)) {
        if (!last) return null;
        cells.push(cell);
        return { cells, next: text.length, lines: lines + 1 };
      }
      cells.push(cell);
      if (text.charCodeAt(at) === CR && text.charCodeAt(at + 1) === LF) at++;
      const code = text.charCodeAt(at);
      if (code === LF) return { cells, next: at + 1, lines: lines + 1 };
      if (code !== COMMA) throw tidyQuoteInCell(file, this.line + lines);
      at++;
    }
  }

  /** The quote that closes a cell; a doubled one stands for a quote inside. −1 where it has not come yet. */
  private closing(from: number, last: boolean): number {
    const { text } = this;
    for (let at = text.indexOf('"', from); at >= 0; at = text.indexOf('"', at + 2)) {
      if (at + 1 >= text.length) return last ? at : -1;
      if (text.charCodeAt(at + 1) !== QUOTE) return at;
    }
    return -1;
  }
}
