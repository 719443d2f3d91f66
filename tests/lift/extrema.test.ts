import { expect, test } from '@jest/globals';
import fc from 'fast-check';
import { highestFrame, lowestFrame, zigZag } from '../../src/lift/extrema.ts';

test('tops and bottoms alternate, each at least the prominence from the last, whatever the series', () => {
  fc.assert(
    fc.property(fc.array(fc.oneof(fc.double({ min: -1, max: 1, noNaN: true }), fc.constant(Number.NaN))), (values) => {
      const turns = zigZag(values, 0.3);
      expect(turns.length === 1).toBe(false);
      for (let i = 0; i < turns.length; i++) {
        expect(turns[i].value).toBe(values[turns[i].frame]);
        if (i === 0) continue;
        expect(turns[i].kind).not.toBe(turns[i - 1].kind);
        expect(turns[i].frame).toBeGreaterThan(turns[i - 1].frame);
        const change = turns[i].value - turns[i - 1].value;
        expect(turns[i].kind === 'top' ? change : -change).toBeGreaterThanOrEqual(0.3);
        // Between two turns nothing goes beyond them.
        for (let f = turns[i - 1].frame; f <= turns[i].frame; f++) {
          expect(values[f] > Math.max(turns[i].value, turns[i - 1].value)).toBe(false);
          expect(values[f] < Math.min(turns[i].value, turns[i - 1].value)).toBe(false);
        }
      }
      if (turns.length === 0) {
        const known = values.filter((v) => !Number.isNaN(v));
        for (let i = 0; i < known.length; i++) {
          for (let j = i + 1; j < known.length; j++) expect(Math.abs(known[j] - known[i])).toBeLessThan(0.3);
        }
      }
    }),
  );
});

test('a small wiggle on a slope is not a turn', () => {
  const turns = zigZag([0, 1, 2, 1.8, 3, 2.9, 4, 1, 2, 0], 1.5);
  expect(turns.map(({ kind, frame }) => [kind, frame])).toEqual([
    ['bottom', 0],
    ['top', 6],
    ['bottom', 9],
  ]);
});

test('highest takes the last of equals, lowest the first, both pass over unknown frames', () => {
  const x = [1, 3, Number.NaN, 3, 0, 0, 2];
  expect(highestFrame(x, 0, 7)).toBe(3);
  expect(lowestFrame(x, 0, 7)).toBe(4);
  expect(highestFrame([Number.NaN], 0, 1)).toBe(-1);
});
