import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, expect, test } from '@jest/globals';
import { bundledRun, killRuns } from './kill-runs.ts';
import { madeRecordings, writeMadeStudy } from './made-lifts.ts';

/* A run killed by the system at random instants, and started again. The long version: tests/validation/study-kill.validate.ts. */

const folder = mkdtempSync(join(tmpdir(), 'kneeward-kill-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

test('eight kills: the bytes of an undisturbed run', async () => {
  const file = writeMadeStudy(join(folder, 'study'), madeRecordings(12));
  const program = await bundledRun();
  try {
    const result = await killRuns((out, seed) => [program, file, out, String(seed)], folder, 8, 20260718, 'begins');
    expect(result.different).toEqual([]);
    expect(result.kills).toBe(8);
    // Most kills do fall into the writing: otherwise nothing was tested.
    expect(result.inTheMiddle).toBeGreaterThan(3);
  } finally {
    rmSync(dirname(program), { recursive: true, force: true });
  }
}, 1_200_000);
