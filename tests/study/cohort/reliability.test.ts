import { expect, test } from '@jest/globals';
import { seededRandom } from '../../../src/numerics/random.ts';
import { reliabilityRatio } from '../../../src/study/cohort/reliability.ts';
import { expectClose } from '../../expect-close.ts';

const value = (number: number | null, effects: Readonly<Record<string, number>> = {}, noiseVariance = 0) => ({
  value: number,
  doubt: { effects: new Map(Object.entries(effects)), noiseVariance },
});

test('by hand: values 1 3 5 have variance 4; noise of 1 leaves 3/4', () => {
  expectClose(reliabilityRatio([1, 3, 5].map((x) => value(x, {}, 1))), 0.75, 1e-15);
  expectClose(reliabilityRatio([1, 3, 5].map((x) => value(x))), 1, 0);
});

test('an error alike in all moves all: it attenuates nothing; one of each recording counts as noise', () => {
  expectClose(reliabilityRatio([1, 3, 5].map((x) => value(x, { rig: 2 }))), 1, 1e-15);
  expectClose(reliabilityRatio([1, 3, 5].map((x, i) => value(x, { [`r${i}`]: 1 }))), 0.75, 1e-15);
  // A scale: effects 1 3 5 of 10 %: sample variance 0.04.
  expectClose(reliabilityRatio([1, 3, 5].map((x) => value(x, { scale: 0.1 * x }))), 0.99, 1e-12);
});

test('never below 0; nothing where it cannot be told', () => {
  expect(reliabilityRatio([1, 3, 5].map((x) => value(x, {}, 9)))).toBe(0);
  expect(reliabilityRatio([value(1), { value: 2, doubt: null }])).toBeNaN();
  expect(reliabilityRatio([value(1)])).toBeNaN();
  expect(reliabilityRatio([value(1), value(1)])).toBeNaN();
  expect(reliabilityRatio([value(1), value(null)])).toBeNaN();
});

test('a slope on what is measured with error comes out smaller by the ratio (Fuller 1987)', () => {
  const random = seededRandom(3);
  const n = 40_000;
  const truth = Array.from({ length: n }, () => random.normal());
  const seen = truth.map((x) => x + 0.7 * random.normal());
  const response = truth.map((x) => 2 * x + 0.1 * random.normal());
  let [xy, xx] = [0, 0];
  seen.forEach((x, i) => {
    xy += x * response[i];
    xx += x * x;
  });
  const ratio = reliabilityRatio(seen.map((x) => value(x, {}, 0.49)));
  // Three standard errors of the slope.
  expectClose(xy / xx / ratio, 2, 3 * 1.2 * Math.sqrt(1 / n) * 2);
});
