import { closeSync, openSync, readFileSync, readSync } from 'node:fs';
import { join } from 'node:path';
import { keptDamaged } from '../../messages/study-run.ts';
import type { Appending } from './disk.ts';
import { digestOf } from './input-files.ts';
import { recordingFolder } from './places.ts';

/** One recording's file, with the digest it was written with. */
export interface RecordedFile {
  readonly id: string;
  readonly name: string;
  readonly sha256: string;
}

/** A file of a recording's folder; throws a DataError where it is not as it was written. */
export function readRecorded(out: string, { id, name, sha256 }: RecordedFile): Buffer {
  let bytes: Buffer;
  try {
    bytes = readFileSync(join(recordingFolder(out, id), name));
  } catch {
    throw keptDamaged(id, name);
  }
  if (digestOf(bytes) !== sha256) throw keptDamaged(id, name);
  return bytes;
}

/**
 * One table of all recordings, as `combineTables` and `csvOf` of src/study/csv.ts would make it, one recording in memory at a
 * time: rows in the order of `files`, columns the union in the order of first appearance, empty where a recording does not
 * have one. A table without rows adds no column; where none has rows, the first one's header stands alone.
 *
 * @param files of one table, in the order of the ids
 */
export function appendTables(sink: Appending, out: string, files: readonly RecordedFile[]): void {
  const heads = headsOf(out, files);
  const filled = new Set(heads.filter((head) => head.filled).map(({ header }) => header));
  const columns = [...new Set([...filled].flatMap(cellsOf))];
  const whole = filled.size > 0 ? columns.join(',') : (heads[0]?.header ?? '');
  sink.append(`${whole}\n`);
  files.forEach((file, i) => {
    if (!heads[i].filled) return;
    const { header, body } = split(readRecorded(out, file));
    if (header === whole) {
      sink.append(body);
      return;
    }
    const own = cellsOf(header);
    const places = columns.map((name) => own.indexOf(name));
    for (const row of rawRows(body.toString('utf8'))) {
      sink.append(`${places.map((place) => (place < 0 ? '' : row[place])).join(',')}\n`);
    }
  });
}

/** Read of a file to find its header, bytes: more than any header is long. */
const HEAD = 1 << 16;

interface Head {
  readonly header: string;
  /** Whether rows follow. */
  readonly filled: boolean;
}

/** Headers of tables; the files are read whole only where their rows are wanted. What is alike is held once. */
function headsOf(out: string, files: readonly RecordedFile[]): Head[] {
  const buffer = Buffer.alloc(HEAD);
  const held = new Map<string, Head>();
  return files.map((file) => {
    const head = headOf(out, file, buffer);
    const key = `${head.filled} ${head.header}`;
    if (!held.has(key)) held.set(key, head);
    return held.get(key)!;
  });
}

function headOf(out: string, { id, name }: RecordedFile, buffer: Buffer): Head {
  let file: number;
  try {
    file = openSync(join(recordingFolder(out, id), name), 'r');
  } catch {
    throw keptDamaged(id, name);
  }
  try {
    const read = buffer.subarray(0, readSync(file, buffer));
    if (!read.includes(0x0a)) throw keptDamaged(id, name);
    const { header, body } = split(read);
    return { header, filled: body.length > 0 };
  } finally {
    closeSync(file);
  }
}

/** No name of a column holds a line end. */
function split(bytes: Buffer): { readonly header: string; readonly body: Buffer } {
  const end = bytes.indexOf(0x0a);
  return { header: bytes.toString('utf8', 0, end), body: bytes.subarray(end + 1) };
}

const cellsOf = (header: string): string[] => [...rawRows(`${header}\n`)][0];

/** Rows of a CSV text (RFC 4180, LF, an LF at the end) as their cells, quotes and all: they go into the new table as they are. */
export function* rawRows(text: string): Generator<string[]> {
  let row: string[] = [];
  let from = 0;
  let quoted = false;
  for (let at = 0; at < text.length; at++) {
    const code = text.charCodeAt(at);
    // A doubled quote ends the quoted part and begins it again.
    if (code === 0x22) quoted = !quoted;
    else if (!quoted && (code === 0x2c || code === 0x0a)) {
      row.push(text.slice(from, at));
      from = at + 1;
      if (code === 0x0a) {
        yield row;
        row = [];
      }
    }
  }
}
