import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from '@jest/globals';
import { recordsOf } from '../study/read-csv.ts';
import { run } from './run.ts';
import { writeShortRecording } from './short-recording.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneeward-intervals-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const RECORDING = writeShortRecording(join(folder, 'recording'), 2);
const analyse = async (name: string, ...options: string[]) => {
  const out = join(folder, name);
  const ran = await run('analyse', RECORDING, '--out', out, '--quiet', ...options);
  const text = (file: string) => readFileSync(join(out, file), 'utf8');
  return { ...ran, text };
};
let withoutIntervals: Awaited<ReturnType<typeof analyse>>;
beforeAll(async () => {
  withoutIntervals = await analyse('without', '--no-intervals');
}, 120_000);

describe('--draws and --seed', () => {
  test('equal seeds give equal files; intervals change no value', async () => {
    const one = await analyse('one', '--draws', '80', '--seed', '7');
    const again = await analyse('again', '--draws', '80', '--seed', '7');
    for (const file of ['measures.csv', 'curves.csv', 'causes.csv', 'provenance.json']) {
      expect(again.text(file)).toBe(one.text(file));
    }
    const [a, b] = [one, withoutIntervals].map(({ text }) => recordsOf(text('measures.csv')));
    expect(a.map((row) => row.value)).toEqual(b.map((row) => row.value));
    expect(a.filter((row) => row.lower !== '').length).toBeGreaterThan(100);
    expect(JSON.parse(one.text('provenance.json'))).toMatchObject({
      seed: 7,
      intervals: { mode: 'draws', draws: 80, noise_draws: 40 },
    });
  }, 240_000);

  test.each([
    ['--draws', '79'],
    ['--draws', '100.5'],
    ['--draws', 'many'],
    ['--seed', '-1'],
    ['--seed', ''],
  ])('%s %s is a matter of usage', async (option, value) => {
    const { code, stderr } = await run('analyse', RECORDING, option, value);
    expect(code).toBe(2);
    expect(stderr).toMatch(/whole number/);
  });

  test('draws without intervals are a matter of usage', async () => {
    const { code, stderr } = await run('analyse', RECORDING, '--draws', '80', '--no-intervals');
    expect(code).toBe(2);
    expect(stderr).toMatch(/--draws and --no-intervals exclude each other/);
  });
});

test('--no-intervals leaves lower and upper empty and says so', () => {
  const { text, code } = withoutIntervals;
  expect(code).toBe(0);
  const rows = recordsOf(text('measures.csv'));
  expect(rows.length).toBeGreaterThan(100);
  expect(rows.every((row) => row.lower === '' && row.upper === '')).toBe(true);
  expect(recordsOf(text('causes.csv'))).toEqual([]);
  expect(JSON.parse(text('provenance.json')).intervals).toBeNull();
  expect(JSON.parse(text('quality.json')).intervals).toBeNull();
});
