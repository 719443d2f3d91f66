import { expect, test } from '@jest/globals';
import { CAUSE_GROUPS } from '../../../src/uncertainty/causes/cause.ts';
import { drawnStyle } from '../../synthetic/styles.ts';
import { comparedPair, drawnPair, pairsCoverage } from '../../validation/compare-runs.ts';

/**
 * Short version of tests/validation/compare.validate.ts, with few kinds of doubt: vertical and body mass are shared by the two
 * films, noise and load are not. Shared causes that do not cancel, or own ones that do, show here.
 */
const GROUPS = ['noise', 'vertical', 'body mass', 'load'] as const;
const JUDGED_HERE = ['hip share at parallel, descent', 'hip share at the bottom', 'trunk lean at parallel, descent'];
const silent = () => {};
/** Fewer than the analysis takes: its intervals allow for the number (Student), here with factor 2.13 in place of 2.02. */
const NOISE_DRAWS = 16;
const setting = { styles: 1, firstStyle: 24, curves: false, groups: GROUPS, noiseDraws: NOISE_DRAWS };

test('two films of one lifter: intervals hold the true difference and are of the right size', () => {
  const { results } = pairsCoverage({ ...setting, seeds: 6, changed: true }, silent);
  for (const { pairs, covered, sdZ, unknown } of results.filter(({ name }) => JUDGED_HERE.includes(name))) {
    expect([pairs, unknown]).toEqual([6, 0]);
    // Four of six hold in 99.8 of 100 such checks of 95 % intervals.
    expect(covered).toBeGreaterThanOrEqual(4 / 6);
    // Six independent runs know a standard deviation to 30 %: three of those.
    expect(sdZ).toBeLessThan(1.9);
  }
});

test('a lift filmed twice: no more reads different than chance allows', () => {
  const { results } = pairsCoverage({ ...setting, seeds: 3, changed: false }, silent);
  const judged = results.filter(({ pairs }) => pairs > 0);
  expect(judged.length).toBeGreaterThanOrEqual(5);
  // At 5 % each, all three are wrong once in 8,000 checks.
  for (const { different } of judged) expect(different).toBeLessThan(1);
});

test('a lift filmed twice: what is shared acts alike and cancels, noise does not', () => {
  const { measures } = comparedPair(drawnPair(drawnStyle(24), 1, false, GROUPS), 1, false, GROUPS, NOISE_DRAWS);
  const [noise, vertical] = (['noise', 'vertical'] as const).map((group) => CAUSE_GROUPS.indexOf(group));
  const rows = measures.filter(
    // A vertical that is off turns the trunk's lean by itself, whatever else; on shares it acts through the moment of reading, as
    // steep as the noise happens to make the share there.
    ({ measure }) => measure === 'trunk_lean',
  );
  const withVertical = rows.filter(({ apartOf }) => apartOf[vertical] > 0);
  expect(withVertical.length).toBeGreaterThanOrEqual(4);
  for (const { leftOf, apartOf, measure, at } of withVertical) {
    const left = Math.sqrt(leftOf[vertical] / apartOf[vertical]);
    // The two films differ in their noise only, which moves a reading by a frame or two: a third of the effect at most.
    if (!(left < 1 / 3)) throw new Error(`${measure} ${at}: ${left} of the effect of the vertical is left`);
    expect(leftOf[noise]).toBe(apartOf[noise]);
  }
});
