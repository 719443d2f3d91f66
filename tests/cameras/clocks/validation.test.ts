import { expect, test } from '@jest/globals';
import { validation } from '../../validation/clocks.validate.ts';
import { passes } from '../../validation/result.ts';

/** The short version of `npm run validate clocks`: few runs, so coverage has the wide range of few runs. */
test('clocks: a few runs of every case stay within the limits of the long check', async () => {
  const { rows } = await validation.run(0.002, () => {});
  expect(rows.filter((row) => !passes(row))).toEqual([]);
});
