import { renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { outputNotWritable } from '../../messages.ts';
import { holdInterrupt } from '../hold-interrupt.ts';
import { makeFolder, removeIfEmpty } from '../write-files.ts';

/**
 * Files that are written beside their places, each as large as it likes, and come into them all together at the end: as
 * `writeFiles`, which holds them in memory.
 */
export interface Stage {
  /** Place to write a file at, for the time being. @param name path inside the folder */
  placeFor(name: string): string;
  write(name: string, content: string): void;
}

/**
 * Runs `make`, then puts all its files into place. Where it fails, none is there and the folders made for them are gone; an
 * interrupt (Ctrl-C) waits until it is done.
 */
export function staged<T>(folder: string, make: (stage: Stage) => T): T {
  const pending: { readonly temporary: string; readonly final: string }[] = [];
  const made: string[] = [];
  const placeFor = (name: string): string => {
    const final = join(folder, name);
    makeFolder(dirname(final), made);
    const temporary = `${final}.tmp-${process.pid}`;
    pending.push({ temporary, final });
    return temporary;
  };
  const release = holdInterrupt();
  try {
    const result = make({ placeFor, write: (name, content) => writeFileSync(placeFor(name), content) });
    // A folder standing where a file must go would fail half-way through the renaming: look before the first one.
    const inTheWay = pending.find(({ final }) => statSync(final, { throwIfNoEntry: false })?.isDirectory());
    if (inTheWay) throw outputNotWritable(folder, 'EISDIR', inTheWay.final);
    for (const { temporary, final } of pending) renameSync(temporary, final);
    return result;
  } catch (error) {
    for (const { temporary } of pending) rmSync(temporary, { force: true });
    for (const empty of made.reverse()) removeIfEmpty(empty);
    const { code, path, syscall } = error as NodeJS.ErrnoException;
    throw syscall === undefined ? error : outputNotWritable(folder, code ?? '', path ?? folder);
  } finally {
    release();
  }
}
