import { describe, expect, test } from '@jest/globals';
import { LANDMARKS } from '../../src/capture/landmarks.ts';
import { editDistance, nearestName } from '../../src/capture/nearest-name.ts';
import { reference } from '../reference.ts';

const standards = reference<{ from: string; to: string; edits: number }>('capture-text-standards');

describe('edit distance', () => {
  test.each(standards.cases)('$from to $to: $edits edits', ({ from, to, edits }) => {
    expect(editDistance(from, to)).toBe(edits);
    expect(editDistance(to, from)).toBe(edits);
  });

  test('case does not count', () => {
    expect(editDistance('Left_Hip', 'left_hip')).toBe(0);
  });
});

describe('nearest name', () => {
  test.each([
    ['left_hpi', 'left_hip'],
    ['leftHip', 'left_hip'],
    ['right_big_te', 'right_big_toe'],
    ['hip_left', 'left_hip'],
    ['C7 neck base', 'neck_base'],
  ])('%s is taken for %s', (written, meant) => {
    expect(nearestName(written, LANDMARKS)).toBe(meant);
  });

  test.each(['navel', 'x', ''])('%j resembles no landmark', (written) => {
    expect(nearestName(written, LANDMARKS)).toBeNull();
  });
});
