import {
  appendFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from '@jest/globals';
import { LIFT_FILES } from '../../src/cli/study/lift-names.ts';
import { COHORT_FILES, STUDY_FILES } from '../../src/cli/study/overwriting.ts';
import { pointsCsv, stickLifter } from '../capture/stick-lifter.ts';
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
  // Every file of a result is one that is looked for before a run writes.
  const looked = new Set([
    ...[...STUDY_FILES, ...COHORT_FILES],
    ...['r0000', 'r0001', 'r0002'].flatMap((id) => LIFT_FILES.map((name) => `recordings/${id}/${name}`)),
  ]);
  expect(Object.keys(found).filter((name) => !looked.has(name))).toEqual([]);
  expect(JSON.parse(readFileSync(join(two, 'quality.json'), 'utf8')).failures).toEqual([
    {
      recording: 'r0003.yaml',
      message: expect.stringMatching(/^r0003\.yaml, line 7: landmarks_3d\.file: absent\.csv:/),
    },
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

test('a predictor that one recording does not state stops nothing, of whichever kind it is', async () => {
  const file = writeSmallStudy(join(folder, 'unknown'), 5, 120);
  for (let i = 0; i < 5; i++) {
    const path = join(folder, 'unknown', `r000${i}.yaml`);
    const stated = readFileSync(path, 'utf8');
    // A lifter each, so that every kind of predictor is unknown in a recording of its own.
    const changed = stated
      .replace(/id: L\d, mass_kg: 80/, `id: L${i}, mass_kg: 80${i === 0 ? '' : `, sex: ${i % 2 ? 'male' : 'female'}`}`)
      .replace(/^date: .*\n/m, i === 1 ? '' : '$&')
      .replace(/kind: squat/, i === 2 ? 'kind: squat' : `kind: squat, set: ${i + 1}`);
    const rest = [i === 3 ? '' : `condition: { heel: ${i % 2 ? 'raised' : 'flat'} }\n`];
    writeFileSync(path, `${changed}${rest}${i === 4 ? '' : `shoes: { heel_height_m: 0.0${i} }\n`}`);
  }
  appendFileSync(
    file,
    'comparison: { predictors: [sex, week, set, condition_heel, heel_height_mm, stance_per_hip_width] }\n',
  );
  const out = join(folder, 'unknown-out');
  const ran = await run('study', file, '--out', out, '--workers', '1', '--no-intervals', '--quiet');
  expect(ran).toMatchObject({ code: 0, stderr: expect.stringMatching(/^Results in/) });
  const [header, ...rows] = readFileSync(join(out, 'cohort-rows.csv'), 'utf8').trimEnd().split('\n');
  const place = header.split(',').indexOf('sex');
  expect(rows.filter((row) => row.split(',')[place] === '').length).toBeGreaterThan(0);
  // What tidy wrote of these tables is said to be older once they change.
  expect((await run('tidy', out)).code).toBe(0);
  expect((await run('tidy', out, '--check')).code).toBe(0);
  writeFileSync(join(folder, 'unknown', 'points.csv'), pointsCsv(stickLifter(118)));
  const changed = await run('study', file, '--out', out, '--workers', '1', '--no-intervals', '--quiet');
  expect(changed).toMatchObject({ code: 0, stderr: expect.stringContaining(join(out, 'datapackage.json')) });
}, 120_000);

test('what is likely a slip in the recording files is said by check, study and analyse', async () => {
  const file = writeSmallStudy(join(folder, 'slips'), 2, 120);
  appendFileSync(join(folder, 'slips', 'r0000.yaml'), 'condition: { hel: flat }\n');
  appendFileSync(join(folder, 'slips', 'r0001.yaml'), 'condition: { heel: flat }\n');
  const slip = /r0000\.yaml, line 8: condition\.hel /;
  expect((await run('check', file)).stdout).toMatch(slip);
  const args = [file, '--out', join(folder, 'slips-out'), '--no-intervals', '--quiet'];
  expect((await run('study', ...args, '--workers', '1')).stderr).toMatch(slip);
  expect((await run('analyse', ...args)).stderr).toMatch(slip);
}, 120_000);

describe('what analyse does to a folder', () => {
  test('tables of a comparison that study made are gone: they are not of these results', async () => {
    const file = writeSmallStudy(join(folder, 'compared'), 4, 120);
    appendFileSync(file, 'comparison: { predictors: [load_kg] }\n');
    const out = join(folder, 'compared-out');
    expect((await run('study', file, '--out', out, '--workers', '1', '--no-intervals', '--quiet')).code).toBe(0);
    expect(existsSync(join(out, 'cohort-rows.csv'))).toBe(true);
    expect((await run('analyse', file, '--out', out, '--no-intervals', '--quiet')).code).toBe(0);
    expect(Object.keys(resultsIn(out)).filter((name) => name.startsWith('cohort-'))).toEqual([]);
  }, 120_000);

  test('one recording alone: neither its own points, nor a file of the user, nor a study is written over', async () => {
    const lab = join(folder, 'alone');
    const study = writeSmallStudy(lab, 1, 120);
    const file = join(lab, 'r0000.yaml');
    const alone = (out: string) => run('analyse', file, '--out', out, '--no-intervals', '--quiet');
    renameSync(join(lab, 'points.csv'), join(lab, 'frames.csv'));
    writeFileSync(file, readFileSync(file, 'utf8').replace('points.csv', 'frames.csv'));
    const before = resultsIn(lab);
    expect(await alone(lab)).toMatchObject({ code: 1, stderr: expect.stringMatching(/frames\.csv.*--out/) });
    expect(resultsIn(lab)).toEqual(before);
    const out = join(folder, 'alone-out');
    mkdirSync(out);
    writeFileSync(join(out, 'means.csv'), 'mine');
    expect(await alone(out)).toMatchObject({ code: 1, stderr: expect.stringMatching(/means\.csv.*--out/) });
    expect(resultsIn(out)).toEqual({ 'means.csv': 'mine' });
    rmSync(join(out, 'means.csv'));
    for (let i = 0; i < 2; i++) expect((await alone(out)).code).toBe(0);
    const whole = join(folder, 'whole');
    expect((await run('analyse', study, '--out', whole, '--no-intervals', '--quiet')).code).toBe(0);
    expect(await alone(whole)).toMatchObject({ code: 1, stderr: expect.stringMatching(/"small".*"r0000"/) });
  }, 120_000);
});
