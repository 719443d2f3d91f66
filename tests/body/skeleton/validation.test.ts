import { expect, test } from '@jest/globals';
import { passes } from '../../validation/result.ts';
import { validation } from '../../validation/skeleton.validate.ts';

test('short version: one film of 1 px reaches the goals of joint centres, lengths and moments', async () => {
  const { rows } = await validation.run(0.02, () => {});
  const judged = rows.filter(({ what, to }) => to !== null && what.startsWith('inside, 1 px white: '));
  // Pooled centres, spread of lengths, four moments; scatter and offsets need the long version.
  expect(judged).toHaveLength(6);
  for (const row of judged) expect([row.what, row.value, passes(row)]).toEqual([row.what, row.value, true]);
});
