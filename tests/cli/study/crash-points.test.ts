import { cpSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, jest, test } from '@jest/globals';
import { crashRuns, failingAfter, forgetLocks, PowerFailure } from './crash-runs.ts';
import { madeRecordings, resultsIn, runMade, writeMadeStudy } from './made-lifts.ts';

/* The power fails before the k-th change of the folder, for every eleventh k; all of them: tests/validation/study-kill.validate.ts. */

const root = mkdtempSync(join(tmpdir(), 'kneeward-crash-'));
afterAll(() => rmSync(root, { recursive: true, force: true }));
beforeAll(() => {
  jest.spyOn(process.stderr, 'write').mockImplementation(() => true);
});

test.each([
  ['a first run', false, 3],
  ['a run over the results of other options', true, 5],
] as const)(
  '%s: what is complete is whole, and the next run ends with the same bytes',
  async (_, over, first) => {
    const result = await crashRuns(join(root, String(first)), over, first, 11);
    expect(result.faults).toEqual([]);
    expect(result.changes).toBeGreaterThan(100);
    expect(result.instants).toBeGreaterThan(9);
  },
  600_000,
);

test('a recording that fails over its old result: of that nothing is left, whenever the power failed in between', async () => {
  const folder = join(root, 'failing');
  const [out, kept, clean] = ['out', 'kept', 'clean'].map((name) => join(folder, name));
  const recordings = madeRecordings(2);
  const file = writeMadeStudy(folder, recordings);
  await runMade(file, kept);
  writeFileSync(join(folder, `${recordings[0].id}.csv`), 'bad\n');
  cpSync(kept, clean, { recursive: true });
  const counting = failingAfter(Number.POSITIVE_INFINITY);
  await runMade(file, clean, {}, { disk: counting.disk });
  const wanted = resultsIn(clean);
  expect(Object.keys(wanted).filter((name) => name.includes(recordings[0].id))).toEqual([]);
  for (let k = 2; k < counting.changes(); k += 5) {
    rmSync(out, { recursive: true, force: true });
    cpSync(kept, out, { recursive: true });
    await expect(runMade(file, out, {}, { disk: failingAfter(k).disk })).rejects.toThrow(PowerFailure);
    forgetLocks(out);
    await runMade(file, out);
    expect([k, resultsIn(out)]).toEqual([k, wanted]);
  }
}, 600_000);
