import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, describe, expect, test } from '@jest/globals';
import { recordsOf } from '../study/read-csv.ts';
import { writeMeasuredByMarkers } from '../synthetic/measured-by-markers.ts';
import { run } from './run.ts';
import { writeShortRecording } from './short-recording.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneeward-validate-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const demo = (id: string) => resolve('datasets/demo-study/recordings', id, 'recording.yaml');
const PHONES = demo('A03-knees-flat');
const markers = writeMeasuredByMarkers(join(folder, 'markers'), 'A03-knees-flat', { startS: 0.4 });

describe('one lift filmed by two phones and measured by markers and force plates', () => {
  test('every repetition pairs, clocks are matched, limits hold the known truth of the film’s errors, files agree with each other', async () => {
    const out = join(folder, 'out');
    const ran = await run('validate', PHONES, markers, '--out', out, '--quiet');
    expect(ran.stderr).not.toMatch(/error it does not know/);
    expect(ran.code).toBe(0);
    const text = (name: string) => readFileSync(join(out, name), 'utf8');
    const about = JSON.parse(text('agreement.json'));
    expect(about.pairs[0].repetitions).toEqual([
      [1, 1],
      [2, 2],
      [3, 3],
    ]);
    // The markers' clock begins 0.4 s later; a frame of the film is 17 ms, and middles are found between frames.
    expect(Math.abs(about.pairs[0].clock_offset_s + 0.4)).toBeLessThan(0.01);
    const rows = recordsOf(text('agreement.csv'));
    const share = rows.find(
      (row) => row.kind === 'measure' && row.name === 'hip_share' && row.at === 'parallel' && row.side === 'both',
    )!;
    expect(share.differences).toBe('3');
    // Phones at 1 px against exact joints: README states ± 0.06 for the film; the difference must lie well inside.
    expect(Math.abs(Number(share.bias))).toBeLessThan(0.06);
    expect(Number(share.limit_low)).toBeLessThan(Number(share.bias));
    expect(Number(share.stated_sd)).toBeGreaterThan(0);
    expect(Number(share.covered_share)).toBe(1);
    const depth = rows.filter(
      (row) => row.kind === 'curve' && row.name === 'hip_moment' && row.grid === 'thigh_elevation_deg',
    );
    expect(depth.length).toBeGreaterThan(10);
    const differences = recordsOf(text('differences.csv')).filter(
      (row) => row.measure === 'hip_share' && row.at === 'parallel' && row.side === 'both',
    );
    const mean = differences.reduce((sum, row) => sum + Number(row.difference), 0) / differences.length;
    expect(Math.abs(mean - Number(share.bias))).toBeLessThan(1e-6);
    for (const name of ['agreement.svg', 'agreement-depth.svg']) expect(text(name)).toMatch(/^<svg/);
    expect(text('agreement.json')).not.toContain(folder);
  }, 240_000);
});

describe('what it refuses', () => {
  test('help says how it is used', async () => {
    const { code, stdout } = await run('validate', '--help');
    expect(code).toBe(0);
    expect(stdout).toMatch(/kneeward validate phones\/monday\.yaml markers\/monday\.yaml/);
  });

  test('one file twice, another lifter, a rig, a file that is not there, one argument', async () => {
    expect((await run('validate', PHONES, PHONES)).code).toBe(1);
    const other = await run('validate', demo('A01-knees-flat'), markers, '--quiet', '--out', join(folder, 'no'));
    expect(other.code).toBe(1);
    expect(other.stderr).toMatch(/A01.*A03/);
    expect((await run('validate', 'datasets/demo-study/rig.json', markers)).code).toBe(1);
    expect((await run('validate', PHONES, join(folder, 'none.yaml'))).code).toBe(1);
    expect((await run('validate', PHONES)).code).toBe(2);
    expect((await run('validate', PHONES, markers, '--match', 'luck')).code).toBe(2);
  });

  test('a repetition that only one has: refused by name, left out when told', async () => {
    // Three repetitions filmed; the markers end before the third.
    const phones = writeShortRecording(join(folder, 'phones'), 3);
    const short = writeMeasuredByMarkers(join(folder, 'short'), 'A03-knees-flat', { endS: 9 });
    const out = ['--no-intervals', '--quiet', '--out', join(folder, 'short-out')];
    const refused = await run('validate', phones, short, '--match', 'order', ...out);
    expect(refused.code).toBe(1);
    expect(refused.stderr).toMatch(/the first has repetition/);
    const told = await run('validate', phones, short, '--match', 'order', '--leave-out-unpaired', ...out);
    expect(told.code).toBe(0);
    expect(told.stderr).toMatch(/Left out: repetition 3/);
    expect(JSON.parse(readFileSync(join(folder, 'short-out', 'agreement.json'), 'utf8')).pairs[0].unpaired_a).toEqual([
      3,
    ]);
  }, 120_000);

  test('a table of pairs with an unknown id', async () => {
    const pairs = join(folder, 'pairs.csv');
    writeFileSync(pairs, 'a,b\nnobody,A03-knees-flat\n');
    const { code, stderr } = await run('validate', PHONES, markers, '--pairs', pairs, '--quiet');
    expect(code).toBe(1);
    expect(stderr).toMatch(/pairs\.csv:2/);
  });
});
