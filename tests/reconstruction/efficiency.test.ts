import { expect, test } from '@jest/globals';
import { efficiencyOf, SET_UPS } from './efficiency.ts';

// The short version of tests/validation/points.validate.ts: 2,850 draws of a recording of 2.5 s.
test.each([2, 7])('weights estimated from the recording lose little: set-up %i', (index) => {
  const { ofWeights, ofBound, generalised } = efficiencyOf(SET_UPS[index], 1, 150, 5 + index);
  // Against the same draws solved with the true weights: 150 frames tell a variance to 13 %, a weight ratio to 19 %, which
  // costs its square over four, 1 %; slow noise of 2.5 s is told worse.
  for (const value of ofWeights) expect(value).toBeGreaterThan(0.95);
  // Against the bound 2,850 draws scatter by 2.6 % an axis (more where noise is slow).
  for (const value of ofBound) expect(Math.abs(value - 1)).toBeLessThan(0.15);
  expect(Math.abs(generalised - 1)).toBeLessThan(0.1);
});
