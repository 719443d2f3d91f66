import {
  existsSync,
  linkSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, beforeEach, describe, expect, jest, test } from '@jest/globals';
import type { doJob } from '../../../src/cli/study/jobs.ts';
import { madeRecordings, resultsIn, runMade, writeMadeStudy } from './made-lifts.ts';

/* What a run must not write over. */

const root = mkdtempSync(join(tmpdir(), 'kneeward-overwriting-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));

const RECORDINGS = madeRecordings(2);
const [FIRST] = RECORDINGS;
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

/** Nothing may be analysed before a refusal: that may take hours. */
const noWork: typeof doJob = async () => {
  throw new Error('a job was begun');
};
const refused = (to: string, how: Parameters<typeof runMade>[2] = {}) => runMade(file, to, how, { work: noWork });

function write(path: string, text: string): string {
  mkdirSync(dirname(path), { recursive: true });
  writeFileSync(path, text);
  return path;
}

/** The first recording takes its points from `points`, a path from the study's folder. */
function pointsFrom(points: string): void {
  const manifest = join(folder, `${FIRST.id}.yaml`);
  writeFileSync(manifest, readFileSync(manifest, 'utf8').replace(`${FIRST.id}.csv`, points));
}

describe('an input where a result goes is refused, and nothing is written', () => {
  test.each([
    ['points in the folder of their recording', `recordings/${FIRST.id}/frames.csv`],
    ['points beside the study', 'frames.csv'],
    ['points under the name of a figure table', 'cohort-rows.csv'],
  ])('%s', async (_, points) => {
    const path = write(join(folder, points), 'raw\n');
    pointsFrom(points);
    const before = resultsIn(folder);
    for (const fresh of [false, true]) {
      await expect(refused(folder, { fresh, takesOver: fresh })).rejects.toMatchObject({
        code: 'output-is-input',
        facts: { file: path },
      });
    }
    expect(resultsIn(folder)).toEqual(before);
  });

  test('also by another way to the same file, and where a record of this folder names it', async () => {
    await runMade(file, out);
    rmSync(join(out, 'means.csv'));
    linkSync(join(folder, `${FIRST.id}.csv`), join(out, 'means.csv'));
    await expect(refused(out)).rejects.toMatchObject({ code: 'output-is-input' });
    symlinkSync(folder, join(root, 'link'));
    pointsFrom('frames.csv');
    write(join(folder, 'frames.csv'), 'raw\n');
    await expect(refused(join(root, 'link'))).rejects.toMatchObject({ code: 'output-is-input' });
  });
});

describe('a file that Kneeward did not write is refused', () => {
  test.each(['means.csv', 'cohort-rows.csv', 'figures/forest.png', `recordings/${FIRST.id}/frames.csv`])(
    '%s',
    async (name) => {
      const path = write(join(out, name), 'mine\n');
      for (const fresh of [false, true]) {
        await expect(refused(out, { fresh, takesOver: fresh })).rejects.toMatchObject({
          code: 'output-is-foreign',
          facts: { file: path },
        });
      }
      expect(resultsIn(out)).toEqual({ [name]: 'mine\n' });
    },
  );

  test('beside results of an earlier run too, where its records do not name it', async () => {
    await runMade(file, out);
    write(join(out, 'recordings', FIRST.id, 'lift.c3d'), 'mine');
    await expect(refused(out)).rejects.toMatchObject({ code: 'output-is-foreign' });
  });

  test('results whose records were removed are known by their provenance', async () => {
    await runMade(file, out);
    for (const place of [out, ...RECORDINGS.map(({ id }) => join(out, 'recordings', id))]) {
      rmSync(join(place, '.study'), { recursive: true });
    }
    // An option of that run is not one of this: its file goes, and is not taken for one of the user.
    writeFileSync(join(out, 'recordings', FIRST.id, 'lift.c3d'), 'of the earlier run');
    expect(await runMade(file, out)).toMatchObject({ analysed: 2 });
    expect(existsSync(join(out, 'recordings', FIRST.id, 'lift.c3d'))).toBe(false);
    expect(await runMade(file, out)).toMatchObject({ unchanged: 2 });
  });
});

test('the results of another study are not taken over unasked', async () => {
  await runMade(file, out);
  const other = join(folder, 'other.yaml');
  writeFileSync(other, readFileSync(file, 'utf8').replace('study: made', 'study: other'));
  file = other;
  await expect(refused(out)).rejects.toMatchObject({
    code: 'output-of-another',
    facts: { folder: out, held: 'made', wanted: 'other' },
  });
  expect(await runMade(file, out, { fresh: true, takesOver: true })).toMatchObject({ analysed: 2 });
  expect(await runMade(file, out)).toMatchObject({ unchanged: 2 });
});
