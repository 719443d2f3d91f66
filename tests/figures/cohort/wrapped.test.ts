import { expect, test } from '@jest/globals';
import { wrapped } from '../../../src/figures/cohort/wrapped.ts';

test('at spaces, after hyphens and underscores; nothing of a name is lost', () => {
  expect(wrapped('wedge of wood under the heels', 14)).toEqual(['wedge of wood', 'under the', 'heels']);
  expect(wrapped('participant-of-the-university_0001', 24)).toEqual(['participant-of-the-', 'university_0001']);
  expect(wrapped('short', 24)).toEqual(['short']);
  expect(wrapped('', 24)).toEqual([]);
});

test('a piece longer than a line is broken where the line ends', () => {
  expect(wrapped('Weightliftingshoes', 10)).toEqual(['Weightlift', 'ingshoes']);
});
