import { expect, test } from '@jest/globals';
import { exactText, exactValue } from '../../../src/cli/study/exact-json.ts';
import { keptCurvesOf } from '../../../src/study/cohort/kept-curves.ts';
import { expectClose } from '../../expect-close.ts';
import { makeRecord } from '../make-record.ts';
import { makeUncertainty } from '../make-uncertainty.ts';

const record = makeRecord({ repetitions: 3, partialRepetition: 2 });
const kept = keptCurvesOf(record, makeUncertainty(record, { keypoints: 0.08, segments: 0.04 }));
const of = (quantity: string) => kept.find((curve) => curve.quantity === quantity)!;

test('full repetitions only, legs together, by thigh elevation, as in the record', () => {
  const { places, repetitions, values, side, unit } = of('hip_share');
  expect([repetitions, side, unit]).toEqual([[1, 3], 'both', '1']);
  expect(of('trunk_lean').side).toBe('');
  let known = 0;
  repetitions.forEach((repetition, row) => {
    places.forEach(({ phase, depth }, p) => {
      const point = record.curves.find(
        (one) =>
          one.quantity === 'hip_share' &&
          one.side === 'both' &&
          one.grid === 'thigh_elevation_deg' &&
          one.repetition === repetition &&
          one.phase === phase &&
          one.depth === depth,
      )!;
      expect(values[row * places.length + p]).toBe(point.value);
      if (Number.isFinite(point.value)) known++;
    });
  });
  expect(known).toBeGreaterThan(40);
});

test('an effect on the mean is the mean of the effects; of a ratio, on its logarithm; NaN where there is no mean', () => {
  // Effects are stated shares of each value: 0.08 of a share's mean, and 0.08 of any logarithm.
  for (const [quantity, wanted] of [
    ['hip_share', (a: number, b: number) => 0.04 * (a + b)],
    ['hip_knee_ratio', () => 0.08],
  ] as const) {
    const { places, values, effects } = of(quantity);
    const own = effects!.get(`${record.athleteId}/hip forward`)!;
    const count = places.length;
    let compared = 0;
    for (let p = 0; p < count; p++) {
      const [a, b] = [values[p], values[count + p]];
      if (!(Number.isFinite(a) && Number.isFinite(b))) expect(own[p]).toBeNaN();
      else {
        // Single precision: 2^-24 of the number.
        expectClose(own[p], wanted(a, b), 1e-7, `${quantity} ${p}`);
        compared++;
      }
    }
    expect(compared).toBeGreaterThan(20);
  }
});

test('without intervals there are values and no effects; what is kept reads back bit by bit', () => {
  expect(keptCurvesOf(record, null).map(({ effects }) => effects)).toEqual(kept.map(() => null));
  expect(exactValue(exactText(kept))).toEqual(kept);
});
