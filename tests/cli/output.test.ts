import { spawn } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, describe, expect, test } from '@jest/globals';
import { writeFiles } from '../../src/cli/write-files.ts';
import { DataError } from '../../src/errors.ts';
import { pointsCsv, stickLifter } from '../capture/stick-lifter.ts';
import { run } from './run.ts';

/* Where results go: whole or not at all, and one plain sentence where they cannot. */

const folder = mkdtempSync(join(tmpdir(), 'kneeward-output-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function refusal(to: string, files: Readonly<Record<string, string>>): DataError {
  try {
    writeFiles(to, new Map(Object.entries(files)));
  } catch (error) {
    if (error instanceof DataError) return error;
    throw error;
  }
  throw new Error('nothing was refused');
}

describe('writing', () => {
  test('a file where a folder must be: said in words, nothing made', () => {
    writeFileSync(join(folder, 'file'), '');
    const error = refusal(join(folder, 'file', 'deep'), { 'a.csv': 'a' });
    expect(error.code).toBe('output-not-writable');
    expect(error.message).not.toMatch(/E[A-Z]{4,}|mkdir/);
  });

  test('a folder where a file must be: the folders made before are gone again, what stood there stays', () => {
    const to = join(folder, 'clash');
    mkdirSync(join(to, 'z.csv'), { recursive: true });
    const error = refusal(to, { 'figures/deep/a.svg': 'a', 'z.csv': 'z' });
    expect(error.facts).toMatchObject({ reason: 'EISDIR' });
    expect(readdirSync(to)).toEqual(['z.csv']);
  });

  test('a file system that takes no folder is refused instead of tried for ever', () => {
    // /proc is such a one; where there is none, a file in the way stands in for it.
    const place = existsSync('/proc/self') ? '/proc/kneeward/deep' : join(folder, 'file', 'deep');
    expect(refusal(place, { 'a.csv': 'a' }).code).toBe('output-not-writable');
  });

  test('an empty --out is a matter of usage', async () => {
    const { code, stderr } = await run('analyse', 'x.yaml', '--out', '');
    expect(code).toBe(2);
    expect(stderr).toMatch(/--out/);
  });

  test('a study that cannot write says so once', async () => {
    const points = 'landmarks_3d: { file: p.csv, frame_rate_hz: 100, unit: m, axes: { forward: "+x", up: "+y" } }';
    const rest = 'athlete: { id: X, mass_kg: 80 }\nlift: { kind: squat }\nload: { total_kg: 0 }';
    for (const id of ['a', 'b'])
      writeFileSync(join(folder, `${id}.yaml`), `kneeward: 1\nrecording: ${id}\n${rest}\n${points}\n`);
    writeFileSync(join(folder, 'p.csv'), pointsCsv(stickLifter(300)));
    writeFileSync(join(folder, 'study.yaml'), 'kneeward: 1\nstudy: s\nrecordings: [a.yaml, b.yaml]\n');
    const { code, stderr } = await run('analyse', join(folder, 'study.yaml'), '--out', join(folder, 'file'), '--quiet');
    expect(code).toBe(1);
    expect(stderr.trimEnd().split('\n')).toHaveLength(1);
  });
});

/** Runs Node on its own and says how it ended; `read: false` closes its output before it says anything. */
function node(
  args: readonly string[],
  read: boolean,
): Promise<{ code: number | null; signal: string | null; stderr: string }> {
  return new Promise((resolve) => {
    const child = spawn(process.execPath, args, { stdio: ['ignore', 'pipe', 'pipe'] });
    let stderr = '';
    child.stderr.on('data', (text) => {
      stderr += String(text);
    });
    if (read) child.stdout.resume();
    else child.stdout.destroy();
    child.on('close', (code, signal) => resolve({ code, signal, stderr }));
  });
}

describe('the program on its own', () => {
  test('a reader that closes the pipe early (| head) is no fault', async () => {
    expect(await node(['src/cli/kneeward.mjs', '--help'], false)).toEqual({ code: 0, signal: null, stderr: '' });
  });

  test('Ctrl-C in the middle of writing: the set is finished, then the program ends', async () => {
    const to = join(folder, 'interrupted');
    const module = pathToFileURL('src/cli/write-files.ts').href;
    const script = `
      const { writeFiles } = await import(${JSON.stringify(module)});
      class Files extends Map {
        *[Symbol.iterator]() { yield ['a', '1']; process.kill(process.pid, 'SIGINT'); yield ['b', '2']; }
      }
      writeFiles(${JSON.stringify(to)}, new Files());
      await new Promise((resolve) => setTimeout(resolve, 5000));
    `;
    const { code } = await node(['--import', 'tsx', '--input-type=module', '--eval', script], true);
    expect(code).toBe(130);
    expect(readdirSync(to).sort()).toEqual(['a', 'b']);
  });
});

describe('files of another kind', () => {
  test('a rig is no recording, and check reads it', async () => {
    const analysed = await run('analyse', 'datasets/demo-study/rig.json');
    expect(analysed.code).toBe(1);
    expect(analysed.stderr).toMatch(/this is a rig/);
    const checked = await run('check', 'datasets/demo-study/rig.json');
    expect(checked).toMatchObject({ code: 0, stderr: '' });
    expect(checked.stdout).not.toMatch(/made by stated/);
  });

  test.each(['0.001', '1e9', '6,3', '51'])('--cutoff-hz %s is a matter of usage, as in the files', async (text) => {
    const { code, stderr } = await run('analyse', 'x.yaml', '--cutoff-hz', text);
    expect(code).toBe(2);
    expect(stderr).toMatch(/0\.5 to 50/);
  });
});
