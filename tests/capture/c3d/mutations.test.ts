import { expect, test } from '@jest/globals';
import { runMutations } from './mutations.ts';

const MUTATIONS = 450;

test(`${MUTATIONS} spoilt C3D and force files: a value or a DataError, each within a second`, () => {
  const { read, refused, faults, slowestS } = runMutations(20261, MUTATIONS);
  expect(faults).toEqual([]);
  expect(slowestS).toBeLessThan(1);
  // Both ends are reached: the mutations are neither all harmless nor all fatal, and fail in many ways.
  const failed = [...refused.values()].reduce((sum, count) => sum + count, 0);
  expect(read).toBeGreaterThan(MUTATIONS / 10);
  expect(failed).toBeGreaterThan(MUTATIONS / 5);
  expect(refused.size).toBeGreaterThan(10);
}, 60_000);
