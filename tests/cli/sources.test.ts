import { spawnSync } from 'node:child_process';
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, beforeAll, expect, test } from '@jest/globals';

/* How the command line starts: on a copy of the sources, with the packages of this one. */

let folder: string;
let cache: string;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'kneeward-sources-'));
  cache = join(folder, 'node_modules/.cache/kneeward');
  cpSync('src', join(folder, 'src'), { recursive: true, preserveTimestamps: true });
  cpSync('package.json', join(folder, 'package.json'));
  mkdirSync(join(folder, 'node_modules'));
  for (const name of readdirSync('node_modules').filter((one) => !one.startsWith('.'))) {
    symlinkSync(resolve('node_modules', name), join(folder, 'node_modules', name), 'junction');
  }
});

afterAll(() => rmSync(folder, { recursive: true, force: true }));

function versionSaid(): string {
  const { stdout, stderr, status } = spawnSync(process.execPath, ['src/cli/kneeward.mjs', '--version'], {
    cwd: folder,
    encoding: 'utf8',
  });
  expect([status, stderr]).toEqual([0, '']);
  return stdout.trim();
}

/** The one-file forms that are kept, state by state. */
const kept = () =>
  readdirSync(cache).flatMap((state) => readdirSync(join(cache, state)).map((name) => join(cache, state, name)));

test('the sources are put into one file, which the next start uses; it leaves nothing half done', () => {
  expect(versionSaid()).toMatch(/^\d+\.\d+\.\d+$/);
  const files = kept();
  expect(files.map((file) => file.slice(file.lastIndexOf('cli-')))).toEqual(['cli-main.mjs', 'cli-main.mjs.map']);
  // What the next start runs is this file: it says so.
  writeFileSync(files[0], `process.stdout.write('from the one file\\n');\n${readFileSync(files[0], 'utf8')}`);
  expect(versionSaid()).toMatch(/^from the one file\n\d/);
});

test('a source that changes is run as it is now', () => {
  const file = join(folder, 'src/cli/package-files.ts');
  writeFileSync(file, readFileSync(file, 'utf8').replace(').version;', ').version.concat("-changed");'));
  expect(versionSaid()).toMatch(/-changed$/);
  expect(kept()).toHaveLength(4);
});

test('where nothing can be kept the sources are read one by one', () => {
  rmSync(cache, { recursive: true });
  writeFileSync(cache, 'in the way');
  expect(versionSaid()).toMatch(/-changed$/);
  expect(existsSync(join(cache, 'anything'))).toBe(false);
});
