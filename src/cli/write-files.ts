import { mkdirSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { outputNotWritable } from '../messages.ts';

/**
 * Writes files so that each is there whole or not at all: every one is first written under a temporary name beside its
 * place, and only when all are on disk are they renamed. Files of the folder that are not in `files` are left alone.
 *
 * @param folder output folder, made where absent
 * @param files path inside the folder → content
 */
export function writeFiles(folder: string, files: ReadonlyMap<string, string | Uint8Array>): void {
  const pending: { temporary: string; final: string }[] = [];
  try {
    for (const [name, content] of files) {
      const final = join(folder, name);
      mkdirSync(dirname(final), { recursive: true });
      const temporary = `${final}.tmp-${process.pid}`;
      pending.push({ temporary, final });
      writeFileSync(temporary, content);
    }
    // A folder standing where a file must go would fail half-way through the renaming: look before the first one.
    for (const { final } of pending) {
      if (statSync(final, { throwIfNoEntry: false })?.isDirectory()) throw new Error(`${final} is a folder`);
    }
    for (const { temporary, final } of pending) renameSync(temporary, final);
  } catch (error) {
    for (const { temporary } of pending) rmSync(temporary, { force: true });
    throw outputNotWritable(folder, error instanceof Error ? error.message : String(error));
  }
}

/** One file, whole or not at all; its folder is made where absent. */
export function writeFile(path: string, content: string | Uint8Array): void {
  writeFiles(dirname(path), new Map([[basename(path), content]]));
}
