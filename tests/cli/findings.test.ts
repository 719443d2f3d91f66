import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from '@jest/globals';
import { BUILT_IN_RULES } from '../../src/lift/findings/rules/index.ts';
import { recordsOf } from '../study/read-csv.ts';
import { run } from './run.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneeward-cli-findings-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const at = (name: string) => join(folder, name);

describe('kneeward findings', () => {
  test('--list: a line a rule, with its measure and its basis', async () => {
    const { code, stdout } = await run('findings', '--list');
    expect(code).toBe(0);
    for (const { name, measure } of BUILT_IN_RULES) {
      expect(stdout.split('\n').some((line) => line.startsWith(`${name} `) && line.includes(` ${measure} `))).toBe(
        true,
      );
    }
  });

  test('--write makes a file that --check accepts, and never writes over one', async () => {
    const file = at('rules.yaml');
    expect((await run('findings', '--write', file)).code).toBe(0);
    const { code, stdout } = await run('findings', '--check', file);
    expect([code, stdout]).toEqual([0, expect.stringContaining('0 added, 0 changed, 0 switched off')]);
    const before = readFileSync(file, 'utf8');
    expect((await run('findings', '--write', file)).code).toBe(1);
    expect(readFileSync(file, 'utf8')).toBe(before);
  });

  test('--check names file, line, rule and the nearest name of what is wrong', async () => {
    const file = at('wrong.yaml');
    writeFileSync(file, 'kneeward: 1\nfindings: x\nrules:\n  double_bounce: { measure: double_bonce }\n');
    const { code, stderr } = await run('findings', '--check', file);
    expect(code).toBe(1);
    for (const part of [file, 'line 4', 'double_bounce', '"double_bonce"', 'Did you mean'])
      expect(stderr).toContain(part);
  });

  test('wants exactly one of its options', async () => {
    expect((await run('findings')).code).toBe(2);
    expect((await run('findings', '--list', '--check', 'x')).code).toBe(2);
  });
});

describe('kneeward analyse with own rules', () => {
  const recording = 'datasets/demo-study/recordings/A03-knees-raised/recording.yaml';

  test('findings.csv has the rules of the file, and provenance its digest; an unknown measure stops before the work', async () => {
    const file = at('ours.yaml');
    writeFileSync(
      file,
      'kneeward: 1\nfindings: ours\nswitch_off: [double_bounce]\nrules:\n  hips_rise_first: { threshold: 3, unit: deg }\n',
    );
    const out = at('out');
    const { code } = await run('analyse', recording, '--out', out, '--no-intervals', '--quiet', '--findings', file);
    expect(code).toBe(0);
    const rows = recordsOf(readFileSync(join(out, 'findings.csv'), 'utf8'));
    expect(rows.filter(({ finding }) => finding === 'double_bounce')).toEqual([]);
    expect(rows.find(({ finding }) => finding === 'hips_rise_first')).toMatchObject({ threshold: '3', word: 'open' });
    expect(readFileSync(join(out, 'provenance.json'), 'utf8')).toContain('ours.yaml');
    const lift = JSON.parse(readFileSync(join(out, 'lift.json'), 'utf8'));
    expect(lift.findings).toHaveLength(rows.length);

    writeFileSync(file, 'kneeward: 1\nfindings: ours\nrules:\n  double_bounce: { measure: no_such_thing }\n');
    const wrong = await run('analyse', recording, '--out', at('none'), '--quiet', '--findings', file);
    expect([wrong.code, existsSync(at('none'))]).toEqual([1, false]);
  }, 120_000);
});
