import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll } from '@jest/globals';
import { DataError } from '../../src/errors.ts';

/** A folder of its own for one test file, removed at the end. */
export function temporaryFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'kneeward-capture-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** Writes one file (folders are made) and returns its path. */
export function write(folder: string, name: string, contents: string | Uint8Array): string {
  const path = join(folder, name);
  mkdirSync(dirname(path), { recursive: true });
  writeFileSync(path, contents);
  return path;
}

/** The DataError that `run` throws; anything else fails. */
export function dataError(run: () => unknown): DataError {
  try {
    run();
  } catch (error) {
    if (error instanceof DataError) return error;
    throw error;
  }
  throw new Error('expected a DataError, nothing was thrown');
}
