import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, jest, test } from '@jest/globals';
import { crashRuns } from './crash-runs.ts';

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
