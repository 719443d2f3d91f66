import { expect, test } from '@jest/globals';
import { validation } from './camera-parameter-sd.validate.ts';

test('short version: camera parameters lie in their intervals', async () => {
  const { rows } = await validation.run(0.015, () => {});
  const judged = rows.filter(({ from }) => from !== null);
  expect(judged).toHaveLength(6);
  for (const { what, value, runs } of judged) {
    expect(runs).toBe(30);
    // One parameter's count of 30 scatters by 4 %; groups are means of 3 to 4, correlated. Four of that: 79 %.
    // Standard deviations too small by half would give 67 %.
    expect([what, value > 79]).toEqual([what, true]);
  }
  // Twice too great would give 99.99 % throughout: some of the 22 parameters must be missed now and then.
  const mean = judged.reduce((sum, { value }) => sum + value, 0) / judged.length;
  expect(mean).toBeLessThan(98.5);
});
