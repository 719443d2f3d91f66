import { createHash } from 'node:crypto';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, jest, test } from '@jest/globals';
import { Command } from 'commander';
import { asyncBufferFromFile, parquetMetadataAsync, parquetReadObjects } from 'hyparquet';
import { filePieces, folderTables } from '../../src/cli/tidy/folder-tables.ts';
import { DATA_PACKAGE, olderFiles } from '../../src/cli/tidy/older-files.ts';
import { registerTidy, tidy } from '../../src/cli/tidy.ts';
import { tidyStudy } from '../../src/study/tidy/tidy-study.ts';
import { recordsOf } from '../study/read-csv.ts';
import { makeTables } from '../study/tidy/make-tables.ts';

const texts = makeTables();
const small = [...texts].filter(([file]) => !/^(frames|moments|curves|causes)\.csv$/.test(file));
let folder: string;
let said: { stdout: string; stderr: string };

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'kneeward-tidy-'));
  for (const [file, text] of small) writeFileSync(join(folder, file), text);
  writeFileSync(join(folder, 'provenance.json'), '{"study": "demo study", "recordings": []}');
  said = { stdout: '', stderr: '' };
  for (const stream of ['stdout', 'stderr'] as const) {
    jest.spyOn(process[stream], 'write').mockImplementation((text) => {
      said[stream] += String(text);
      return true;
    });
  }
});

afterEach(() => {
  jest.restoreAllMocks();
  rmSync(folder, { recursive: true, force: true });
});

/** The command line as the program reads it. */
async function run(...args: string[]): Promise<number> {
  let code = -1;
  const program = new Command('kneeward').exitOverride();
  registerTidy(program, (found) => {
    code = found;
  });
  await program.parseAsync(['tidy', ...args], { from: 'user' });
  return code;
}

const digest = (file: string) =>
  createHash('sha256')
    .update(readFileSync(join(folder, file)))
    .digest('hex');
const written = () => JSON.parse(readFileSync(join(folder, DATA_PACKAGE), 'utf8'));
const codeOf = (act: () => unknown): unknown => {
  try {
    act();
  } catch (error) {
    return (error as { code: string }).code;
  }
  return null;
};

describe('kneeward tidy', () => {
  test('writes the data package: each table with its digest, no place of this machine', async () => {
    expect(await run(folder, '--title', 'Two lifters', '--licence', 'CC0-1.0')).toBe(0);
    const found = written();
    expect(found).toMatchObject({
      name: 'demo-study',
      title: 'Two lifters',
      synthetic: true,
      licenses: [{ name: 'CC0-1.0' }],
    });
    expect(found.resources.map(({ path }: { path: string }) => path).sort()).toEqual(
      small.map(([file]) => file).sort(),
    );
    for (const { path, hash } of found.resources) expect(hash).toBe(`sha256:${digest(path)}`);
    expect(readFileSync(join(folder, DATA_PACKAGE), 'utf8')).not.toContain(folder);
    expect(readdirSync(folder)).not.toContain('parquet');
    expect(said.stdout.trimEnd().split('\n').length).toBe(small.length);
  });

  test('--parquet writes every table, twice the same, and its digest into the package', async () => {
    expect(await run(folder, '--parquet')).toBe(0);
    const path = 'parquet/repetitions.parquet';
    const first = digest(path);
    const file = await asyncBufferFromFile(join(folder, path));
    const rows = await parquetReadObjects({ file });
    expect(rows.map(({ recording_id, athlete_id, repetition }) => [recording_id, athlete_id, repetition])).toEqual(
      recordsOf(texts.get('repetitions.csv')!).map((row) => [row.recording_id, row.athlete_id, Number(row.repetition)]),
    );
    const { key_value_metadata } = await parquetMetadataAsync(file);
    expect(key_value_metadata).toContainEqual({ key: 'kneeward:source_sha256', value: digest('repetitions.csv') });
    expect(written().resources).toContainEqual(expect.objectContaining({ path, hash: `sha256:${first}` }));
    expect(readdirSync(join(folder, 'parquet')).sort()).toEqual(
      small.map(([name]) => name.replace('.csv', '.parquet')).sort(),
    );
    expect(await run(folder, '--parquet')).toBe(0);
    expect(digest(path)).toBe(first);
    // Left out the next time, the older files are named.
    said.stderr = '';
    expect(await run(folder)).toBe(0);
    expect(said.stderr).toContain(join('parquet', 'repetitions.parquet'));
    expect(written().resources.length).toBe(small.length);
  });

  test('--check writes nothing', async () => {
    const before = readdirSync(folder);
    expect(await run(folder, '--check')).toBe(0);
    expect(readdirSync(folder)).toEqual(before);
  });

  test('--check names what is of other tables than those there now', async () => {
    expect(await run(folder, '--parquet')).toBe(0);
    expect(await run(folder, '--check')).toBe(0);
    const table = join(folder, 'repetitions.csv');
    const text = readFileSync(table, 'utf8');
    // The same table with its last row taken out.
    writeFileSync(table, text.slice(0, text.trimEnd().lastIndexOf('\n') + 1));
    said.stderr = '';
    expect(await run(folder, '--check')).toBe(1);
    expect(said.stderr.trimEnd().split('\n')).toEqual(
      [DATA_PACKAGE, join('parquet', 'repetitions.parquet')].map((name) => expect.stringContaining(join(folder, name))),
    );
    expect(olderFiles(folder)).toEqual([DATA_PACKAGE, 'parquet/repetitions.parquet']);
    writeFileSync(table, text);
    writeFileSync(join(folder, 'parquet', 'repetitions.parquet'), 'PAR1');
    expect(olderFiles(folder)).toEqual([DATA_PACKAGE]);
    rmSync(join(folder, DATA_PACKAGE));
    expect(await run(folder, '--check')).toBe(0);
  });

  test('--parquet takes away those of tables that are there no more, and no file of the user', async () => {
    expect(await run(folder, '--parquet')).toBe(0);
    rmSync(join(folder, 'means.csv'));
    writeFileSync(join(folder, 'parquet', 'cohort-rows.parquet'), 'mine');
    expect(olderFiles(folder)).toEqual([DATA_PACKAGE, 'parquet/means.parquet']);
    expect(await run(folder, '--parquet')).toBe(0);
    const left = readdirSync(join(folder, 'parquet'));
    expect(left).not.toContain('means.parquet');
    expect(left).toContain('cohort-rows.parquet');
    expect(await run(folder, '--check')).toBe(0);
  });

  test('a departure: told with file and line, exit code 1, nothing written', async () => {
    writeFileSync(join(folder, 'recordings.csv'), texts.get('recordings.csv')!.replace(',007,', ',7,'));
    const before = readdirSync(folder);
    expect(await run(folder, '--parquet')).toBe(1);
    expect(said.stderr).toContain('repetitions.csv, line 2');
    expect(readdirSync(folder)).toEqual(before);
  });

  test('where a file cannot be put into its place, nothing is', async () => {
    mkdirSync(join(folder, DATA_PACKAGE));
    expect(codeOf(() => tidy({ folder, parquet: true, check: false }))).toBe('output-not-writable');
    expect(readdirSync(folder)).not.toContain('parquet');
    expect(readdirSync(join(folder, DATA_PACKAGE))).toEqual([]);
  });

  test('bad usage, a folder without tables, and no folder', () => {
    expect(codeOf(() => tidy({ folder, parquet: true, check: true }))).toBe('tidy-check-or-parquet');
    mkdirSync(join(folder, 'empty'));
    expect(codeOf(() => tidy({ folder: join(folder, 'empty'), parquet: false, check: true }))).toBe('tidy-no-tables');
    expect(codeOf(() => tidy({ folder: join(folder, 'none'), parquet: false, check: true }))).toBe('tidy-not-readable');
  });

  test('tidyStudy reads a folder', () => {
    const tables = tidyStudy(folderTables(folder), ['recordings']);
    expect(tables.get('recordings')!.array('athlete_id')).toEqual(['007', '08']);
  });

  test('a file of several pieces comes whole', () => {
    const long = 'x'.repeat((1 << 20) + 7);
    writeFileSync(join(folder, 'long'), long);
    let text = '';
    for (const piece of filePieces(join(folder, 'long'))) text += Buffer.from(piece).toString('latin1');
    expect(text).toBe(long);
  });
});
