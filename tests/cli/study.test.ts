import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from '@jest/globals';
import { writeSmallStudy } from '../cluster/small-study.ts';
import { run, runApart } from './run.ts';
import { resultsIn } from './study/made-lifts.ts';

/* The command itself, on real analyses of an invented stick figure. */

const folder = mkdtempSync(join(tmpdir(), 'kneeward-study-cli-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

test('two processes write the bytes of one, and of analyse; a bad recording stops nothing', async () => {
  const file = writeSmallStudy(join(folder, 'lab'), 4, 120, true);
  const [two, analysed] = [join(folder, 'two'), join(folder, 'analysed')];
  const parallel = await runApart('study', file, '--out', two, '--workers', '2', '--no-intervals', '--quiet');
  expect(parallel.code).toBe(1);
  expect(parallel.stderr).toMatch(/absent\.csv/);
  const single = await run('analyse', file, '--out', analysed, '--no-intervals', '--quiet');
  expect(single.code).toBe(1);
  expect(single.stdout).toBe(parallel.stdout);
  const [found, wanted] = [resultsIn(two), resultsIn(analysed)];
  expect(Object.keys(found)).toEqual(Object.keys(wanted));
  expect(Object.keys(found).filter((name) => found[name] !== wanted[name])).toEqual([]);
  expect(existsSync(join(analysed, '.study'))).toBe(false);
  expect(JSON.parse(readFileSync(join(two, 'quality.json'), 'utf8')).failures).toEqual([
    { recording: 'r0003.yaml', message: expect.stringMatching(/^absent\.csv/) },
  ]);
  // The lifter's earlier lift is drawn pale, and only there.
  expect(found['recordings/r0002/report.html']).toMatch(/data-sc="pale-data"/);
  expect(found['recordings/r0000/report.html']).not.toMatch(/data-sc="pale-data"/);
}, 300_000);

describe('usage', () => {
  test.each([
    ['--part', '1'],
    ['--of', '2'],
    ['--part', '3', '--of', '2'],
    ['--part', '0', '--of', '2'],
    ['--part', '1', '--of', '2', '--merge'],
    ['--merge', '--fresh'],
    ['--workers', 'two'],
    ['--no-intervals', '--draws', '200'],
  ])('%j %j %j %j %j', async (...args) => {
    const { code, stdout, stderr } = await run('study', 'x.yaml', ...args.filter(Boolean));
    expect(code).toBe(2);
    expect(stdout).toBe('');
    expect(stderr).not.toBe('');
  });

  test('a recording is no study', async () => {
    const { code, stderr } = await run('study', 'datasets/demo-study/recordings/A03-knees-flat/recording.yaml');
    expect(code).toBe(1);
    expect(stderr).toMatch(/kneeward analyse/);
  });
});
