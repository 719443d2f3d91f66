import { expect, test } from '@jest/globals';
import { coverage } from '../validation/coverage-runs.ts';

/** Short version of tests/validation/coverage.validate.ts: sizes wrong by a factor of two, or missing causes, show here. */
const EXACT = { smoothing: { kind: 'none' } } as const;
const silent = () => {};

test('cameras, scale, vertical, mass and load together: intervals hold the truth, standardised errors have size one', () => {
  const found = coverage(
    {
      styles: 1,
      firstStyle: 24,
      seeds: 8,
      groups: ['calibration', 'vertical', 'body mass', 'load'],
      intervalsEvery: 8,
      settings: EXACT,
    },
    silent,
  );
  for (const name of [
    'hip moment at parallel, descent',
    'knee moment at parallel, descent',
    'hip share at parallel, descent',
    'trunk lean at parallel, descent',
  ]) {
    const { lessFilter, unknown } = found.find((one) => one.name === name)!;
    expect(unknown).toBe(0);
    expect(lessFilter.runs).toBeGreaterThanOrEqual(8);
    // Eight independent runs know a standard deviation to 25 %: three of those. Six of eight hold in 99 of 100 such checks.
    expect(lessFilter.sdZ).toBeGreaterThan(0.25);
    expect(lessFilter.sdZ).toBeLessThan(1.75);
    expect(lessFilter.covered).toBeGreaterThanOrEqual(0.75);
  }
});

test('a cause that the intervals do not know is found out', () => {
  const found = coverage(
    {
      styles: 1,
      firstStyle: 24,
      seeds: 4,
      groups: ['load'],
      causes: ['load', 'keypoints'],
      intervalsEvery: 4,
      settings: EXACT,
    },
    silent,
  );
  const { lessFilter } = found.find(({ name }) => name === 'hip moment at parallel, descent')!;
  expect(lessFilter.covered).toBeLessThan(0.7);
  expect(lessFilter.sdZ).toBeGreaterThan(2);
});
