import { appendFileSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, relative } from 'node:path';
import { afterAll, beforeEach, describe, expect, jest, test } from '@jest/globals';
import type { Job } from '../../../src/cli/study/jobs.ts';
import { madeJob, madeRecordings, resultsIn, runMade, writeMadeStudy } from './made-lifts.ts';

/* What a run computes, and what it leaves, on made-up lifts. */

const root = mkdtempSync(join(tmpdir(), 'kneeward-study-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));

jest.setTimeout(300_000);
const RECORDINGS = madeRecordings(6);
let folder: string;
let file: string;
let out: string;
let count = 0;

beforeEach(() => {
  jest.spyOn(process.stderr, 'write').mockImplementation(() => true);
  folder = join(root, `study-${count++}`);
  file = writeMadeStudy(folder, RECORDINGS);
  out = join(folder, 'out');
});

/** Runs and returns the ids of the recordings analysed and of the reports written again. */
async function jobsOf(how: Parameters<typeof runMade>[2] = {}) {
  const done: Job[] = [];
  const result = await runMade(file, out, how, {
    work: (job, setting, progress) => {
      done.push(job);
      return madeJob(job, setting, progress);
    },
  });
  const analysed = done.flatMap((job) => (job.kind === 'lift' ? [job.lift.recording.id] : [])).sort();
  const reported = done.flatMap((job) => (job.kind === 'report' ? [job.recording.id] : [])).sort();
  return { analysed, reported, result };
}

/** The same study from the start, elsewhere. */
async function fromTheStart() {
  const elsewhere = join(folder, 'elsewhere');
  rmSync(elsewhere, { recursive: true, force: true });
  await runMade(file, elsewhere);
  return resultsIn(elsewhere);
}

const allIds = RECORDINGS.map(({ id }) => id).sort();

describe('what is computed', () => {
  test('everything once, and nothing the second time', async () => {
    const first = await jobsOf();
    expect(first.analysed).toEqual(allIds);
    // All but each lifter's first lift have one before them.
    expect(first.reported).toHaveLength(RECORDINGS.length - 3);
    const before = resultsIn(out);
    const second = await jobsOf();
    expect(second).toMatchObject({ analysed: [], reported: [], result: { analysed: 0, unchanged: 6, failed: 0 } });
    expect(resultsIn(out)).toEqual(before);
  });

  test('comparison and figures: once, and again where lifts, study or files changed', async () => {
    let made = 0;
    const cohort: Parameters<typeof runMade>[2] = {
      comparison: async (_, to) => to.put(new Map([['cohort-made.csv', 'a\n']])),
      figures: async ({ lifts }, to) => {
        made++;
        to.put(new Map([['figures/made.svg', `<svg>${lifts.map(({ key }) => key).join()}</svg>`]]));
      },
    };
    const madeBy = async (how = cohort) => {
      made = 0;
      await jobsOf(how);
      return made;
    };
    expect([await madeBy(), await madeBy()]).toEqual([1, 0]);
    // The same call from another folder names the study by another path.
    [file, out] = [file, out].map((path) => relative('.', path));
    expect(await madeBy()).toBe(0);
    appendFileSync(join(folder, `${RECORDINGS[0].id}.csv`), 'one more\n');
    expect([await madeBy(), await madeBy()]).toEqual([1, 0]);
    rmSync(join(out, 'figures', 'made.svg'));
    expect([await madeBy(), await madeBy()]).toEqual([1, 0]);
    appendFileSync(file, 'title: Another one\n');
    expect([await madeBy(), await madeBy()]).toEqual([1, 0]);
    expect([await madeBy({ ...cohort, fresh: true }), await madeBy()]).toEqual([1, 0]);
    // Figures without a comparison do not pass for those with one.
    expect(await madeBy({ figures: cohort.figures })).toBe(1);
  });

  test('a changed input: its own recording, and the report of the lift after it', async () => {
    await jobsOf();
    const lifter = RECORDINGS.filter(({ athlete }) => athlete === 'L0').sort((a, b) => (a.date < b.date ? -1 : 1));
    appendFileSync(join(folder, `${lifter[0].id}.csv`), 'one more\n');
    const again = await jobsOf();
    expect(again.analysed).toEqual([lifter[0].id]);
    expect(again.reported).toEqual([lifter[1].id]);
    expect(resultsIn(out)).toEqual(await fromTheStart());
  });

  test('a changed option or seed: all; a changed title: none, and the index says it', async () => {
    await jobsOf();
    expect((await jobsOf({ options: { intervals: false, seed: 9 } })).analysed).toEqual(allIds);
    expect((await jobsOf({ options: { intervals: false, smoothing: { kind: 'none' } } })).analysed).toEqual(allIds);
    await jobsOf();
    appendFileSync(file, 'title: Another one\n');
    expect((await jobsOf()).analysed).toEqual([]);
    expect(readFileSync(join(out, 'index.html'), 'utf8')).toContain('Another one');
  });

  test('--fresh: all, and the same bytes', async () => {
    await jobsOf();
    const before = resultsIn(out);
    expect((await jobsOf({ fresh: true })).analysed).toEqual(allIds);
    expect(resultsIn(out)).toEqual(before);
  });

  test('a recording taken out disappears from the tables, and from the report of the lift after it', async () => {
    await jobsOf();
    const [gone, ...rest] = RECORDINGS;
    writeMadeStudy(folder, rest);
    const again = await jobsOf();
    expect(again.analysed).toEqual([]);
    expect(again.result.total).toBe(5);
    for (const name of ['frames.csv', 'recordings.csv', 'comparisons.csv', 'quality.json', 'index.html']) {
      expect([name, readFileSync(join(out, name), 'utf8').includes(gone.id)]).toEqual([name, false]);
    }
    const clean = await fromTheStart();
    const now = resultsIn(out);
    for (const name of Object.keys(clean)) expect([name, now[name]]).toEqual([name, clean[name]]);
  });

  test('a result that somebody removed or cut is made anew', async () => {
    await jobsOf();
    const before = resultsIn(out);
    rmSync(join(out, 'recordings', 'r07', 'frames.csv'));
    writeFileSync(join(out, 'recordings', 'r14', 'report.html'), '');
    writeFileSync(join(out, 'recordings', 'r21', '.study', 'completion.json'), '{"state":"complete","fi');
    expect((await jobsOf()).analysed).toEqual(['r07', 'r14', 'r21']);
    expect(resultsIn(out)).toEqual(before);
  });

  test('a table changed without changing its length is noticed when it is read, said, and made anew by the next call', async () => {
    await jobsOf();
    const before = resultsIn(out);
    const table = join(out, 'recordings', 'r07', 'frames.csv');
    writeFileSync(table, readFileSync(table, 'utf8').replace('r07', 'r08'));
    appendFileSync(file, 'title: New tables\n');
    await expect(jobsOf()).rejects.toMatchObject({ code: 'kept-result-damaged', facts: { recording: 'r07' } });
    expect((await jobsOf()).analysed).toEqual(['r07']);
    expect(resultsIn(out)['frames.csv']).toBe(before['frames.csv']);
  });
});

describe('what is refused', () => {
  test('one bad recording is named in the tables, the others are there; mended, it is analysed', async () => {
    writeFileSync(join(folder, 'r07.csv'), 'bad\n');
    const { result } = await jobsOf();
    expect(result).toMatchObject({ failed: 1, analysed: 5, total: 6 });
    const { failures } = JSON.parse(readFileSync(join(out, 'quality.json'), 'utf8'));
    // Named from the study, wherever the command was called.
    expect(failures).toEqual([{ recording: 'r07.yaml', message: 'r07.yaml: made to be refused' }]);
    // Known to be bad: not tried again, said again.
    const again = await jobsOf();
    expect(again).toMatchObject({ analysed: [], result: { failed: 1 } });
    writeFileSync(join(folder, 'r07.csv'), 'points of r07\n');
    expect((await jobsOf()).analysed).toEqual(['r07']);
    expect(resultsIn(out)).toEqual(await fromTheStart());
  });

  test('an input that cannot be reached, as on a disk that is not there, costs no earlier result', async () => {
    await jobsOf();
    const before = resultsIn(out);
    const ofR07 = Object.keys(before).filter((name) => name.startsWith('recordings/r07/'));
    expect(ofR07.length).toBeGreaterThan(3);
    writeFileSync(join(folder, 'r07.csv'), 'bad\n');
    const work: typeof madeJob = async (job, setting, progress) => {
      const outcome = await madeJob(job, setting, progress);
      return outcome.state === 'refused' ? { ...outcome, code: 'file-missing' } : outcome;
    };
    expect(await runMade(file, out, {}, { work })).toMatchObject({ failed: 1, analysed: 0 });
    const now = resultsIn(out);
    for (const name of ofR07) expect([name, now[name]]).toEqual([name, before[name]]);
    expect(now['measures.csv']).not.toContain('r07');
    writeFileSync(join(folder, 'r07.csv'), 'points of r07\n');
    expect((await jobsOf()).analysed).toEqual(['r07']);
    expect(resultsIn(out)).toEqual(await fromTheStart());
  });

  test('an error that no message foresaw costs that recording alone, and is tried again', async () => {
    const work: typeof madeJob = async (job, setting, progress) =>
      job.kind === 'lift' && job.lift.recording.id === 'r07'
        ? { state: 'stopped', code: null, message: 'x is undefined', facts: {}, stack: '' }
        : madeJob(job, setting, progress);
    expect(await runMade(file, out, {}, { work })).toMatchObject({ failed: 1, analysed: 5 });
    expect((await jobsOf()).analysed).toEqual(['r07']);
    expect(resultsIn(out)).toEqual(await fromTheStart());
  });

  test('nothing that can be used: no table', async () => {
    for (const { id } of RECORDINGS) writeFileSync(join(folder, `${id}.csv`), 'bad\n');
    await expect(jobsOf()).rejects.toMatchObject({ code: 'no-recording-analysed', facts: { earlier: '' } });
    expect(existsSync(join(out, 'frames.csv'))).toBe(false);
  });

  test('nothing that can be used any more: the tables there are said to be of an earlier run', async () => {
    await jobsOf();
    for (const { id } of RECORDINGS) writeFileSync(join(folder, `${id}.csv`), 'bad\n');
    await expect(jobsOf()).rejects.toMatchObject({ code: 'no-recording-analysed', facts: { earlier: out } });
  });

  test.each([true, false])(
    'the result of earlier contents goes, the file of the user stays (resumable: %s)',
    async (resumable) => {
      await jobsOf({ fresh: true, resumable });
      const place = join(out, 'recordings', 'r07');
      writeFileSync(join(place, 'notes.txt'), 'mine');
      writeFileSync(join(folder, 'r07.csv'), 'bad\n');
      await jobsOf({ fresh: true, resumable });
      expect(Object.keys(resultsIn(place))).toEqual(['notes.txt']);
      expect(existsSync(join(place, 'figures'))).toBe(false);
      expect(existsSync(join(out, 'recordings', 'r14', 'report.html'))).toBe(true);
    },
  );
});

describe('parts', () => {
  test('four parts share nothing, are all, and merged are the bytes of one run', async () => {
    const parts: string[][] = [];
    for (let part = 4; part >= 1; part--) {
      const { analysed, reported } = await jobsOf({ part: { part, of: 4 } });
      expect(reported).toEqual([]);
      parts.push(analysed);
    }
    expect(existsSync(join(out, 'frames.csv'))).toBe(false);
    expect(parts.flat().sort()).toEqual(allIds);
    expect(Math.max(...parts.map((one) => one.length))).toBe(2);
    const merged = await jobsOf({ merge: true });
    expect(merged).toMatchObject({ analysed: [], result: { missing: 0, failed: 0 } });
    expect(resultsIn(out)).toEqual(await fromTheStart());
  });

  test('a missing part: tables of the others, and how many are missing; stale ones count as missing', async () => {
    for (const part of [1, 2]) await jobsOf({ part: { part, of: 3 } });
    expect((await jobsOf({ merge: true })).result).toMatchObject({ missing: 2, total: 6 });
    await jobsOf({ part: { part: 3, of: 3 } });
    appendFileSync(join(folder, 'r07.csv'), 'one more\n');
    const { result } = await jobsOf({ merge: true });
    expect(result).toMatchObject({ missing: 1, total: 6 });
    expect(readFileSync(join(out, 'recordings.csv'), 'utf8')).not.toContain('r07');
  });

  test('nothing there to merge is refused; recordings that were tried and failed are not said to wait', async () => {
    await expect(jobsOf({ merge: true })).rejects.toMatchObject({ code: 'nothing-to-merge' });
    for (const { id } of RECORDINGS) writeFileSync(join(folder, `${id}.csv`), 'bad\n');
    await jobsOf({ part: { part: 1, of: 1 } });
    await expect(jobsOf({ merge: true })).rejects.toMatchObject({ code: 'no-recording-analysed' });
  });

  test('what is stale is said with the first difference', async () => {
    await jobsOf({ part: { part: 1, of: 1 } });
    const missing = async (how: Parameters<typeof runMade>[2] = {}) => {
      const spy = jest.mocked(process.stderr.write);
      spy.mockClear();
      await jobsOf({ ...how, merge: true }).catch(() => {});
      return spy.mock.calls.map(([text]) => String(text)).filter((text) => text.includes('r07.yaml'))[0];
    };
    expect(await missing()).toBeUndefined();
    expect(await missing({ options: { intervals: false, seed: 9 } })).toMatch(/seed was 1 and is 9/);
    expect(await missing({ options: { intervals: false, smoothing: { kind: 'none' } } })).toMatch(
      /settings\.smoothing\.\w+ was/,
    );
    expect(await missing({ options: { intervals: false, c3d: true } })).toMatch(/c3d was false and is true/);
    appendFileSync(join(folder, 'r07.csv'), 'one more\n');
    expect(await missing()).toMatch(/r07\.csv was changed/);
    const completion = join(out, 'recordings', 'r07', '.study', 'completion.json');
    const record = readFileSync(completion, 'utf8');
    writeFileSync(join(folder, 'r07.csv'), 'points of r07\n');
    writeFileSync(
      completion,
      record.replace(/("tool_sha256": ?)"[0-9a-f]+"/, '$1"0"').replace(/("key": ?)"[0-9a-f]+"/, '$1"0"'),
    );
    expect(await missing()).toMatch(/the program was changed/);
  });
});

test('files of the user in the folder stay; those of an older result that the new one lacks go', async () => {
  const extra: typeof madeJob = async (job, setting, progress) => {
    const outcome = await madeJob(job, setting, progress);
    if (outcome.state !== 'done' || job.kind !== 'lift' || job.lift.recording.id !== 'r07') return outcome;
    writeFileSync(join(job.work, 'lift.c3d'), 'x');
    return { ...outcome, names: [...outcome.names, 'lift.c3d'] };
  };
  await runMade(file, out, {}, { work: extra });
  const place = join(out, 'recordings', 'r07');
  writeFileSync(join(place, 'notes.txt'), 'mine');
  const completion = join(place, '.study', 'completion.json');
  const record = JSON.parse(readFileSync(completion, 'utf8'));
  record.files.push({ name: 'lift.c3d', size: 1, sha256: '' }, { name: '../../../study.yaml', size: 1, sha256: '' });
  writeFileSync(completion, JSON.stringify(record));
  await jobsOf({ fresh: true });
  expect(existsSync(join(place, 'notes.txt'))).toBe(true);
  expect(existsSync(join(place, 'lift.c3d'))).toBe(false);
  expect(existsSync(file)).toBe(true);
});

test('not resumable: results alone are left, the same', async () => {
  await jobsOf();
  const before = resultsIn(out);
  await jobsOf({ fresh: true, resumable: false });
  expect(resultsIn(out)).toEqual(before);
  for (const place of [out, ...allIds.map((id) => join(out, 'recordings', id))]) {
    expect(existsSync(join(place, '.study'))).toBe(false);
  }
});
