import { mkdirSync, renameSync, rmdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { outputNotWritable } from '../messages.ts';
import { holdInterrupt } from './hold-interrupt.ts';

/**
 * Writes files so that each is there whole or not at all: every one is first written under a temporary name beside its
 * place, and only when all are on disk are they renamed. Files of the folder that are not in `files` are left alone. Where
 * it fails, the folders made for it are removed again; an interrupt (Ctrl-C) waits until it is done.
 *
 * @param folder output folder, made where absent
 * @param files path inside the folder → content
 */
export function writeFiles(folder: string, files: ReadonlyMap<string, string | Uint8Array>): void {
  const pending: { temporary: string; final: string }[] = [];
  const made: string[] = [];
  const release = holdInterrupt();
  try {
    for (const [name, content] of files) {
      const final = join(folder, name);
      makeFolder(dirname(final), made);
      const temporary = `${final}.tmp-${process.pid}`;
      pending.push({ temporary, final });
      writeFileSync(temporary, content);
    }
    // A folder standing where a file must go would fail half-way through the renaming: look before the first one.
    const inTheWay = pending.find(({ final }) => isFolder(final));
    if (inTheWay) throw outputNotWritable(folder, 'EISDIR', inTheWay.final);
    for (const { temporary, final } of pending) renameSync(temporary, final);
  } catch (error) {
    for (const { temporary } of pending) rmSync(temporary, { force: true });
    for (const empty of made.reverse()) removeIfEmpty(empty);
    const { code, path, syscall } = error as NodeJS.ErrnoException;
    throw syscall === undefined ? error : outputNotWritable(folder, code ?? '', path ?? folder);
  } finally {
    release();
  }
}

/** One file, whole or not at all; its folder is made where absent. */
export function writeFile(path: string, content: string | Uint8Array): void {
  writeFiles(dirname(path), new Map([[basename(path), content]]));
}

/**
 * Makes a folder and those above it, and adds those it made to `made`. One at a time: Node's own recursive call never
 * returns where a file system neither has a folder nor lets it be made (/proc).
 */
export function makeFolder(folder: string, made: string[]): void {
  if (isFolder(folder)) return;
  const above = dirname(folder);
  if (above !== folder) makeFolder(above, made);
  try {
    mkdirSync(folder);
    made.push(folder);
  } catch (error) {
    // Another run may have made it in between.
    if (!isFolder(folder)) throw error;
  }
}

const isFolder = (path: string): boolean => statSync(path, { throwIfNoEntry: false })?.isDirectory() ?? false;

export function removeIfEmpty(folder: string): void {
  try {
    rmdirSync(folder);
  } catch {
    // Something else stands in it, or it is not there: both are left as they are.
  }
}
