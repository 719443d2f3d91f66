import { describe, expect, test } from '@jest/globals';
import { posturePairs } from '../../../src/study/compare/postures-at-depth.ts';
import { expectClose } from '../../expect-close.ts';
import { madeLift } from './made-lifts.ts';

const lift = madeLift({ recordingId: 'mon' }, null);
const thighDeg = (chain: readonly (readonly [number, number])[]) => {
  const [hip, knee] = chain;
  return (Math.atan2(hip[1] - knee[1], Math.abs(hip[0] - knee[0])) * 180) / Math.PI;
};

describe('two lifters over each other', () => {
  const pairs = posturePairs({ ...lift, repetition: 1 }, { ...lift, repetition: 3 });

  test('standing, 45°, parallel and the bottom of the shallower one, the third repetition', () => {
    expect(pairs.map(({ posture }) => posture)).toEqual(['standing', '45°', 'parallel', 'bottom of the shallower']);
    const third = lift.record.repetitions[2];
    expect(pairs[3].depthDeg).toBe(third.bottomThighElevationDeg);
    expect(pairs.map(({ a, b }) => [a.repetition, b.repetition])).toEqual(pairs.map(() => [1, 3]));
  });

  test('thighs of both stand at the same angle, between frames', () => {
    for (const { a, b, depthDeg } of pairs.slice(1)) {
      // Right and left thigh differ by some tenths of a degree in the drawn lifter; the depth is the mean of both.
      for (const { parts } of [a, b]) expectClose(thighDeg(parts.get('near leg')!), depthDeg, 2.5, `at ${depthDeg}°`);
      const [one, other] = [a, b].map(({ parts }) => thighDeg(parts.get('near leg')!));
      expectClose(one, other, 0.05, 'both alike');
    }
  });

  test('the middle of the feet lies at 0, the floor at 0', () => {
    for (const { a, b, alignedBy } of pairs) {
      expect(alignedBy).toBe('mid-foot');
      for (const { parts } of [a, b]) {
        const [heel, toe] = parts.get('foot on the floor')!;
        expectClose(heel[0] + toe[0], 0, 1e-12, 'mid-foot');
        expect(heel[1]).toBe(0);
      }
    }
  });
});

test('a depth that one does not reach is not drawn; without feet the ankles lie over each other', () => {
  const shallow = madeLift({ recordingId: 'fri', partialRepetition: 2, withFeet: false }, null, 2);
  const pairs = posturePairs({ ...lift, repetition: 1 }, shallow);
  expect(pairs.map(({ posture }) => posture)).toEqual(['standing', '45°', 'bottom of the shallower']);
  expect(pairs.every(({ alignedBy }) => alignedBy === 'ankles')).toBe(true);
});
