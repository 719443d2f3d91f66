import { closeSync, openSync, readdirSync, readSync } from 'node:fs';
import { join } from 'node:path';
import { tidyNotReadable } from '../../messages/tidy.ts';
import type { TableSource } from '../../study/tidy/table-source.ts';

/** Bytes read at once. */
const PIECE = 1 << 20;

/** The tables of an output folder, for tidyStudy and checkTables. Throws tidy-not-readable. */
export function folderTables(folder: string): TableSource {
  const files = reading(folder, () => readdirSync(folder, { withFileTypes: true }))
    .filter((entry) => entry.isFile() || entry.isSymbolicLink())
    .map(({ name }) => name)
    .sort();
  return { name: folder, files, pieces: (file) => filePieces(join(folder, file)) };
}

/** A file, piece by piece; a piece is overwritten by the next one. */
export function* filePieces(path: string): Generator<Uint8Array> {
  const file = reading(path, () => openSync(path, 'r'));
  try {
    const buffer = new Uint8Array(PIECE);
    for (;;) {
      const read = reading(path, () => readSync(file, buffer));
      if (read === 0) return;
      yield buffer.subarray(0, read);
    }
  } finally {
    closeSync(file);
  }
}

function reading<T>(path: string, read: () => T): T {
  try {
    return read();
  } catch (error) {
    const { code, syscall } = error as NodeJS.ErrnoException;
    throw syscall === undefined ? error : tidyNotReadable(path, code ?? '');
  }
}
