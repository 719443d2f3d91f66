import { cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, describe, expect, test } from '@jest/globals';
import { recordsOf } from '../study/read-csv.ts';
import { run } from './run.ts';
import { writeShortRecording } from './short-recording.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneeward-compare-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const STUDY = 'datasets/demo-study/study.yaml';
/** Two repetitions, of the lifter of A03-knees-flat. */
const SHORT = writeShortRecording(join(folder, 'one'), 2);
const demo = (id: string) => resolve('datasets/demo-study/recordings', id, 'recording.yaml');
const reader = (out: string) => (name: string) => readFileSync(join(out, name), 'utf8');

describe('kneeward compare', () => {
  test('two repetitions of one recording: sure, since they share nearly everything; files whole, no folder of this machine', async () => {
    const out = join(folder, 'repetitions');
    const ran = await run(...['compare', SHORT, '--repetition-a', '1', '--repetition-b', '2', '--out', out, '--quiet']);
    expect(ran.stderr).not.toMatch(/error it does not know/);
    expect(ran.code).toBe(0);
    const text = reader(out);
    expect(readdirSync(out).sort()).toEqual([
      'compare.html',
      'curve-differences.csv',
      'figures',
      'measure-differences.csv',
      'provenance.json',
    ]);
    const rows = recordsOf(text('measure-differences.csv'));
    const lean = rows.find(({ measure, at }) => measure === 'trunk_lean' && at === 'parallel')!;
    expect([lean.recording_a, lean.repetition_a, lean.repetition_b]).toEqual(['A03-knees-flat', '1', '2']);
    expect(Number(lean.cancelled_share)).toBeGreaterThan(0.8);
    expect(rows.some(({ at }) => at === 'set')).toBe(false);
    const about = JSON.parse(text('provenance.json'));
    expect([about.a.repetition, about.b.repetition, about.difference]).toEqual([1, 2, 'B less A']);
    for (const name of ['compare.html', 'provenance.json']) expect(text(name)).not.toContain(folder);
    expect(text('compare.html')).toMatch(/<strong>SYNTHETIC<\/strong>/);
    expect(ran.stdout).toMatch(/^In B \(repetition 2\)/);
  }, 300_000);

  test('a copy of a recording under its own name differs in nothing; one id for two recordings does not mix them up', async () => {
    cpSync(join(folder, 'one'), join(folder, 'copy'), { recursive: true });
    const copy = join(folder, 'copy/recording.yaml');
    const out = join(folder, 'copies');
    const alike = await run('compare', SHORT, copy, '--out', out, '--quiet', '--no-intervals');
    expect(alike.code).toBe(0);
    for (const row of recordsOf(reader(out)('measure-differences.csv')))
      expect([row.difference === '' || Number(row.difference) === 0, row.verdict]).toEqual([true, '']);
    writeFileSync(copy, readFileSync(copy, 'utf8').replace(/total_kg: \d+/, 'total_kg: 66'));
    const other = await run('compare', SHORT, copy, '--out', out, '--quiet', '--no-intervals');
    expect(other.code).toBe(0);
    expect(other.stderr).toMatch(/The loads differ/);
    const rows = recordsOf(reader(out)('measure-differences.csv'));
    expect(rows.some((row) => row.measure === 'hip_moment_peak' && Number(row.difference) !== 0)).toBe(true);
    // The set's own measures are there: it is not the same recording.
    expect(rows.some(({ at }) => at === 'set')).toBe(true);
  }, 120_000);
});

describe('what it refuses', () => {
  const refused = async (...args: string[]) => {
    const out = join(folder, 'refused');
    const ran = await run('compare', ...args, '--quiet', '--out', out);
    expect(existsSync(out)).toBe(false);
    return ran;
  };

  test('help says how it is used', async () => {
    const { code, stdout } = await run('compare', '--help');
    expect(code).toBe(0);
    expect(stdout).toMatch(/--repetition-a 1 --repetition-b 3/);
    expect(stdout).toMatch(/B less A/);
  });

  test('one lift only, the same lift twice, draws without intervals', async () => {
    expect((await refused(demo('A03-knees-flat'))).code).toBe(2);
    expect((await refused(demo('A03-knees-flat'), '--repetition-a', '1')).code).toBe(2);
    expect((await refused(demo('A03-knees-flat'), demo('A03-knees-flat'))).code).toBe(1);
    const twice = ['--repetition-a', '2', '--repetition-b', '2'];
    expect((await refused(demo('A03-knees-flat'), ...twice)).code).toBe(1);
    const pair = [demo('A03-knees-flat'), demo('A03-knees-raised')];
    expect((await refused(...pair, '--draws', '100', '--no-intervals')).code).toBe(2);
  });

  test.each(['0', '-1', '1.5', 'first', ''])('--repetition-a %s is a matter of usage', async (value) => {
    expect((await refused(demo('A03-knees-flat'), demo('A03-knees-raised'), '--repetition-a', value)).code).toBe(2);
  });

  test('a repetition that is not there, with those that are', async () => {
    const { code, stderr } = await refused(demo('A03-knees-flat'), demo('A03-knees-raised'), '--repetition-b', '9');
    expect(code).toBe(1);
    expect(stderr).toMatch(/no repetition 9 \(found: 1, 2, 3\).*--repetition-b/);
  }, 120_000);

  test('a study, a rig, a file that is not there, an id that the study does not have', async () => {
    expect((await refused(STUDY, demo('A03-knees-flat'))).code).toBe(1);
    expect((await refused('datasets/demo-study/rig.json', demo('A03-knees-flat'))).code).toBe(1);
    expect((await refused(join(folder, 'none.yaml'), demo('A03-knees-flat'))).code).toBe(1);
    const { code, stderr } = await refused('--study', STUDY, 'A01-knees-flat', 'A01-knees-raisd');
    expect(code).toBe(1);
    expect(stderr).toMatch(/Did you mean "A01-knees-raised"/);
  });
});
