import { describe, expect, test } from '@jest/globals';
import type { MeasureValue } from '../../src/lift/lift-record.ts';
import { startWord } from '../../src/lift/start-word.ts';

const measures = [0.6, 0.6, 0.6].map((value) => ({ measure: 'knee_share_of_start', value }) as MeasureValue);

describe('how a lifter starts, with an interval', () => {
  test('repetitions that agree are no surety where the interval reaches over the threshold', () => {
    expect(startWord({ measures })).toBe('knees first');
    expect(startWord({ measures }, { lower: 0.56, upper: 0.64 })).toBe('knees first');
    expect(startWord({ measures }, { lower: 0.54, upper: 0.66 })).toBe('cannot tell');
  });

  test('an interval that is unknown says nothing', () => {
    expect(startWord({ measures }, { lower: Number.NaN, upper: Number.NaN })).toBe('knees first');
  });
});
