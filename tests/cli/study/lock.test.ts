import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeEach, expect, test } from '@jest/globals';
import { realDisk } from '../../../src/cli/study/disk.ts';
import { isAlive, type LockHolder, takeLock, thisProcess } from '../../../src/cli/study/lock.ts';
import { DataError } from '../../../src/errors.ts';

const root = mkdtempSync(join(tmpdir(), 'kneeward-lock-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));
let out: string;
let count = 0;
beforeEach(() => {
  out = join(root, String(count++));
});

const take = (part: number | null = null, of: number | null = null) => takeLock(realDisk, out, part, of);
const refusal = (part: number | null = null, of: number | null = null): DataError | null => {
  try {
    take(part, of).release();
    return null;
  } catch (error) {
    if (error instanceof DataError) return error;
    throw error;
  }
};
/** A lock that some other process left, with a work folder. */
function leave(changes: Partial<LockHolder>): string {
  const holder: LockHolder = { token: 'other', ...thisProcess(), part: null, of: null, ...changes };
  const folder = join(out, '.study');
  mkdirSync(join(folder, `work-${holder.token}`), { recursive: true });
  const file = join(folder, `lock-${holder.token}.json`);
  writeFileSync(file, JSON.stringify(holder));
  return file;
}
/** The id of a process that has ended. */
const deadPid = () => spawnSync(process.execPath, ['--version']).pid!;

test('a second run is refused while the first holds the folder, and not after', () => {
  const held = take();
  expect(existsSync(held.work)).toBe(true);
  const error = refusal();
  expect(error).toMatchObject({ code: 'study-locked', facts: { folder: out } });
  expect(error!.message).toContain(String(process.pid));
  held.release();
  expect(readdirSync(join(out, '.study'))).toEqual([]);
  expect(refusal()).toBeNull();
});

test.each([
  [[1, 4], [2, 4], false],
  [[1, 4], [1, 4], true],
  [[1, 4], [2, 8], true],
  [[1, 4], [null, null], true],
  [[null, null], [3, 4], true],
] as const)('%j beside %j: refused %s', (first, second, refused) => {
  const held = take(...first);
  expect(refusal(...second) !== null).toBe(refused);
  held.release();
});

test('the lock of a process that ended is cleared away with its work folder', () => {
  const file = leave({ pid: deadPid(), began: '1' });
  expect(refusal()).toBeNull();
  expect(existsSync(file)).toBe(false);
  expect(readdirSync(join(out, '.study'))).toEqual([]);
});

test('a work folder whose lock is gone is cleared away; that of a part that runs stays', () => {
  mkdirSync(join(out, '.study', 'work-nobody'), { recursive: true });
  const held = take(1, 2);
  writeFileSync(join(held.work, 'x'), '');
  take(2, 2).release();
  expect(existsSync(join(held.work, 'x'))).toBe(true);
  expect(existsSync(join(out, '.study', 'work-nobody'))).toBe(false);
  held.release();
});

test('another process under the same number is not the one that has the lock', () => {
  if (!existsSync('/proc/self/stat')) return;
  leave({ began: '12345' });
  expect(isAlive({ token: '', part: null, of: null, ...thisProcess() })).toBe(true);
  expect(refusal()).toBeNull();
});

test('of another computer nothing is known: refused with its name and the file, and nothing removed', () => {
  const file = leave({ host: 'node-17', pid: deadPid() });
  const error = refusal();
  expect(error).toMatchObject({ code: 'study-locked-elsewhere', facts: { host: 'node-17', lock: file } });
  expect(existsSync(file)).toBe(true);
  expect(readdirSync(join(out, '.study')).sort()).toEqual(['lock-other.json', 'work-other']);
  rmSync(file);
  expect(refusal()).toBeNull();
});

test('a lock says nothing of a folder on this machine', () => {
  const held = take();
  const name = readdirSync(join(out, '.study')).find((one) => one.startsWith('lock-'))!;
  expect(readFileSync(join(out, '.study', name), 'utf8')).not.toContain(root);
  held.release();
});
