import { expect, test } from '@jest/globals';
import { dayToDayOf } from '../../../src/study/weeks/day-to-day.ts';
import type { SessionMeasure } from '../../../src/study/weeks/session-measure.ts';
import { seriesOf } from '../../../src/study/weeks/sessions.ts';
import { expectClose } from '../../expect-close.ts';
import { dayAfter, madeSession } from './made-sessions.ts';

const FIRST = Date.UTC(2026, 0, 5) / 86_400_000;
const series = (values: readonly number[], change: Partial<SessionMeasure> = {}) =>
  seriesOf(
    values.map((value, s) => madeSession({ date: dayAfter(s), value, ...change })),
    'as it is',
    FIRST,
  );

test('by hand: residuals of 1 3 2 5 have mean square 1.35 on 2; repetitions bring 0.35 of it', () => {
  const found = dayToDayOf([series([1, 3, 2, 5], { noiseVariance: 0.35 })], 'own')!;
  expectClose(found.variance, 1, 1e-12);
  expectClose(found.scatter, 1.35, 1e-12);
  expect([found.freedom, found.basis]).toEqual([2, 'own']);
});

test('scatter of repetitions counts where it is more than the noise: 3 on 1 in each, three repetitions: 1 of each mean', () => {
  const found = dayToDayOf(
    [series([1, 3, 2, 5], { noiseVariance: 0.2, scatterSquares: 3, scatterFreedom: 1 })],
    'own',
  )!;
  expectClose(found.variance, 0.35, 1e-12);
});

test('never below 0, and then known as what repetitions bring', () => {
  const found = dayToDayOf([series([1, 3, 2, 5], { noiseVariance: 4 })], 'own')!;
  expectClose(found.variance, 0, 1e-15);
  expectClose(found.scatter, 4, 1e-12);
});

test('pooled over lifters by their freedom; two loads of one lifter on the same days add none', () => {
  const one = series([1, 3, 2, 5], { noiseVariance: 0 });
  const other = series([0, 1, 0], { noiseVariance: 0, athleteId: 'ben' });
  // Residuals of 0 1 0: −1/3, 2/3, −1/3: 2/3 on 1.
  expectClose(dayToDayOf([one, other], 'pooled')!.variance, (2.7 + 2 / 3) / 3, 1e-12);
  expect(dayToDayOf([one, other], 'pooled')!.freedom).toBe(3);
  expect(dayToDayOf([one, one], 'pooled')!.freedom).toBe(2);
});

test('fewer than three sessions tell nothing', () => {
  expect(dayToDayOf([series([1, 3])], 'pooled')).toBeNull();
});
