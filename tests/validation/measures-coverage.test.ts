import { expect, test } from '@jest/globals';
import { MEASURES } from '../../src/lift/measures/index.ts';
import { CAUSE_GROUPS } from '../../src/uncertainty/causes/cause.ts';
import { coverageOf } from './coverage-runs.ts';
import { measureResults, NOT_JUDGED, withHabits } from './measures-judged.ts';

/** Short version of measures-coverage.validate.ts: a measure whose interval is of another size altogether shows here. */
test('every measure has a truth or a reason for none, and intervals hold most truths of one lifter', () => {
  const results = measureResults(new Map(MEASURES.map(({ name, unit }) => [name, unit])));
  const known = new Set(results.list.map(({ name }) => name.split(',')[0]));
  for (const { name } of MEASURES) expect([name, known.has(name) !== name in NOT_JUDGED]).toEqual([name, true]);

  const found = coverageOf(
    results,
    { styles: 1, firstStyle: 2, seeds: 2, groups: CAUSE_GROUPS, intervalsEvery: 2, curves: false, changed: withHabits },
    () => {},
  );
  const judged = found.filter(({ againstTruth }) => againstTruth.runs > 0);
  expect(judged.length).toBeGreaterThan(200);
  // Errors of one lift hang together: the share scatters far more than that of as many lifts.
  const held = judged.reduce((sum, { againstTruth }) => sum + againstTruth.covered, 0) / judged.length;
  expect(held).toBeGreaterThan(0.85);
  // Four repetitions at the most: an error of six standard deviations is no chance.
  for (const { name, againstTruth } of judged) {
    expect([name, Math.abs(againstTruth.meanZ) < 6]).toEqual([name, true]);
  }
});
