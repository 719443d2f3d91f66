import { expect, test } from '@jest/globals';
import { sameValue } from '../../notebooks/show.ts';

test.each([
  ['one that rounds to the print', [1.34], [1.336], 0.005, 'same value'],
  ['exactly half a unit off', [2.65], [2.655], 0.005, 'same value'],
  ['more than half a unit off', [2.65], [2.65529], 0.005, 'no'],
  ['a wrong print', [99.99], [-22.991], 0.005, 'no'],
  ['several with a unit each', [21.5, 60], [21.46, 59.6], [0.05, 0.5], 'same value'],
  ['one wrong of several', [21.5, 60], [21.46, 59.4], [0.05, 0.5], 'no'],
  ['one missing', [21.5, 60], [21.46], 0.05, 'no'],
  ['unknown', [21.5], [Number.NaN], 0.05, 'no'],
  ['nothing compared', [], [], 0.05, 'no'],
] as const)('%s', (_, printed, here, halfUnit, verdict) => {
  expect(sameValue(printed, here, halfUnit)).toBe(verdict);
});
