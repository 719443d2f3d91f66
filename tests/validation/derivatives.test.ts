import { expect, test } from '@jest/globals';
import { validation } from './derivatives.validate.ts';
import { passes } from './result.ts';

test('short version: one fast lift, exact pixels and 1 px', async () => {
  const { rows } = await validation.run(0.1, () => {});
  const judged = rows.filter(({ from, to }) => from !== null || to !== null);
  expect(judged.length).toBeGreaterThanOrEqual(9);
  for (const row of judged) expect([row.what, row.value, passes(row)]).toEqual([row.what, row.value, true]);
});
