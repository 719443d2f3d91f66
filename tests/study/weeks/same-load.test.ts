import { expect, test } from '@jest/globals';
import { sameLoadGroups } from '../../../src/study/weeks/same-load.ts';
import { dayAfter, madeSession } from './made-sessions.ts';

const rowsAt = (loads: readonly number[]) => loads.map((loadKg, s) => madeSession({ date: dayAfter(s), loadKg }));
const loadsOf = (loads: readonly number[], share = 0.025) =>
  sameLoadGroups(rowsAt(loads), share).map(({ rows }) => rows.map(({ loadKg }) => loadKg));

test('the most days first; no two loads of a group further apart than the share', () => {
  // 98 with 100 is 4 days, 100 with 102.5 (2.5 % exactly) also 4: the heavier one.
  expect(loadsOf([98, 100, 100, 100, 102.5])).toEqual([[100, 100, 100, 102.5], [98]]);
  expect(loadsOf([100, 60, 102.6, 61, 60.5])).toEqual([[60, 61, 60.5], [102.6], [100]]);
});

test('no bar at all is a load; other loads are named', () => {
  expect(loadsOf([0, 0, 20])).toEqual([[0, 0], [20]]);
  const groups = sameLoadGroups(rowsAt([100, 120, 100]), 0.025);
  expect(groups.map(({ otherLoads }) => otherLoads)).toEqual([[120], [100]]);
});

test('several sets of one day count as one day', () => {
  const sameDay = [80, 80, 80].map((loadKg) => madeSession({ loadKg }));
  const groups = sameLoadGroups([...sameDay, ...rowsAt([100, 100])], 0.025);
  expect(groups[0].rows.map(({ loadKg }) => loadKg)).toEqual([100, 100]);
});
