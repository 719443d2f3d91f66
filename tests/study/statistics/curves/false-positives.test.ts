import { describe, expect, test } from '@jest/globals';
import { manyStudies, type StudySetting } from '../../../validation/curve-permutation-runs.ts';

/* The short version of `npm run validate curve-permutation`. */

const STUDIES = 400;
const cases: readonly (readonly [string, StudySetting])[] = [
  ['8 in pairs, skewed, some shallow', { design: 'paired', n: 8, scatter: 'skewed', shallow: true }],
  ['5 and 5 in groups, heavy tails', { design: 'groups', n: 5, scatter: 'heavy-tailed' }],
];

describe('null studies', () => {
  test.each(cases)('%s: called different about as often as the attainable level says', (_, setting) => {
    const { positive, attainable } = manyStudies(setting, STUDIES, 5);
    // Four standard deviations of a share of 400: 4.3 %; a test that ignored the family would be at about 40 %.
    expect(Math.abs(positive - attainable)).toBeLessThan(4 * Math.sqrt((attainable * (1 - attainable)) / STUDIES));
  });

  test('a large effect: the band holds the true curve about 19 times in 20, single intervals far less often', () => {
    const effect = (share: number) => 3 * share;
    const found = manyStudies({ design: 'paired', n: 8, scatter: 'normal', effect, band: true }, STUDIES, 6);
    expect(found.bandHolds).toBeGreaterThan(0.95 - 4 * Math.sqrt((0.95 * 0.05) / STUDIES));
    expect(found.eachDepthHolds).toBeLessThan(0.75);
  });
});
