import { closeSync, openSync, renameSync, rmSync, writeFileSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { outputNotWritable } from '../../messages.ts';
import { makeFolder } from '../write-files.ts';

/**
 * Every change that a study makes to its folder, one function each, so that a test can let the power fail after any of them.
 * What the operating system refuses is a DataError.
 */
export interface Disk {
  /** With those above it; nothing where it is there. */
  makeFolder(path: string): void;
  /** Not yet whole while it lasts: only for files that nobody reads under that name. */
  write(path: string, content: string | Uint8Array): void;
  /** Whole or not at all; takes the place of a file of that name. */
  rename(from: string, to: string): void;
  /**
   * A file, or a folder with all in it; nothing where it is not there. Tried again for a moment: a worker of a run that was
   * killed may still be writing there.
   */
  remove(path: string): void;
  open(path: string): Appending;
}

/** A file that is written piece by piece. */
export interface Appending {
  append(content: string | Uint8Array): void;
  close(): void;
}

/** A file, whole or not at all. @param work folder on the same disk, which nobody reads */
export function exchange(disk: Disk, work: string, path: string, content: string | Uint8Array): void {
  const written = join(work, 'exchanged');
  disk.write(written, content);
  disk.rename(written, path);
}

/** Text is gathered up to this many characters before it is written. */
const GATHERED = 1 << 20;

export const realDisk: Disk = {
  makeFolder: (path) => refusing(path, () => makeFolder(path, [])),
  write: (path, content) => refusing(path, () => writeFileSync(path, content)),
  rename: (from, to) => refusing(to, () => renameSync(from, to)),
  remove: (path) => refusing(path, () => rmSync(path, { recursive: true, force: true, maxRetries: 5, retryDelay: 50 })),
  open(path) {
    const file = refusing(path, () => openSync(path, 'w'));
    let gathered = '';
    const flush = () => {
      const text = gathered;
      gathered = '';
      refusing(path, () => writeWhole(file, Buffer.from(text, 'utf8')));
    };
    return {
      append(content) {
        if (typeof content === 'string') {
          gathered += content;
          if (gathered.length >= GATHERED) flush();
          return;
        }
        flush();
        refusing(path, () => writeWhole(file, content));
      },
      close() {
        flush();
        closeSync(file);
      },
    };
  },
};

/** The system may take less than it is given. */
function writeWhole(file: number, bytes: Uint8Array): void {
  for (let at = 0; at < bytes.length; ) at += writeSync(file, bytes, at);
}

function refusing<T>(place: string, act: () => T): T {
  try {
    return act();
  } catch (error) {
    const { code, path, syscall } = error as NodeJS.ErrnoException;
    throw syscall === undefined ? error : outputNotWritable(place, code ?? '', path ?? place);
  }
}
