import { describe, expect, test } from '@jest/globals';
import { mixedCoverage } from '../../../validation/mixed-model-runs.ts';
import { TRUTH } from './made-study.ts';

/**
 * The short version of `npm run validate mixed-model`. Of 300 intervals that hold with probability 0.95, at least 272 and at
 * most 295 do, but for 1 in 1,000 on each side (binomial distribution).
 */
const RUNS = 300;
const [LEAST, MOST] = [272 / RUNS, 295 / RUNS];

describe('300 made studies of 10 athletes', () => {
  test('intervals hold the truth, also with an error that the whole study shares', () => {
    const {
      without,
      with: added,
      unsettled,
    } = mixedCoverage({ truth: TRUTH, sharedPerMm: 0.2, sharedOfRig: 0 }, RUNS, 1);
    expect(unsettled).toBe(0);
    for (const share of added) {
      expect(share).toBeGreaterThanOrEqual(LEAST);
      expect(share).toBeLessThanOrEqual(MOST);
    }
    // Intercept and stance are not moved by that error; the slope is, and without the shared part its interval is too short.
    for (const j of [0, 2]) expect(without[j]).toBeGreaterThanOrEqual(LEAST);
    expect(without[1]).toBeLessThan(LEAST);
  });
});
