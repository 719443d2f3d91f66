import { describe, expect, test } from '@jest/globals';
import { sceneWords } from '../../../src/report/wording-scene.ts';
import { summaryWords, timeAndPlace } from '../../../src/web/scene/place-words.ts';
import { fill, inUnit, numeral } from '../../../src/web/scene/words.ts';
import { makePayload } from './make-payload.ts';

const words = sceneWords();
const payload = makePayload();

describe('words of the scene', () => {
  test('values go where they are named; an unknown name stays to be seen', () => {
    expect(fill('{a} and {b} and {a}', { a: 1, b: 'x' })).toBe('1 and x and 1');
    expect(fill('{c}', {})).toBe('{c}');
  });

  test('numbers have a true minus sign, no negative zero, and are unknown rather than 0', () => {
    expect(numeral(-2.345, 1, words)).toBe('−2.3');
    expect(numeral(-0.04, 1, words)).toBe('0.0');
    expect(inUnit(Number.NaN, 0, words.newtonMetres, words)).toBe(words.unknown);
    expect(inUnit(203.4, 0, words.newtonMetres, words)).toBe(fill(words.newtonMetres, { value: '203' }));
  });

  test('the slider tells time, repetition, way and depth', () => {
    // Frame 74 is 24 of 60 frames down: 40 %.
    const text = timeAndPlace(payload, 74, words);
    for (const part of [
      '1.23',
      fill(words.repetition, { number: 1 }),
      words.descent,
      fill(words.perCent, { value: 40 }),
    ])
      expect(text).toContain(part);
    expect(timeAndPlace(payload, 220, words)).toContain(fill(words.repetition, { number: 2 }));
    expect(timeAndPlace(payload, 10, words)).toContain(words.standing);
    expect(timeAndPlace({ ...payload, repetitions: [] }, 60, words)).toBe(fill(words.seconds, { value: '1.00' }));
  });

  test('the summary has every value with its unit, and no place left open', () => {
    const text = summaryWords(payload, 110, words);
    for (const part of ['250', '170', '−10', '35']) expect(text).toContain(part);
    expect(text).not.toMatch(/[{}]|NaN|undefined/);
    const bare = summaryWords({ ...payload, series: {} }, 110, words);
    expect(bare).toContain(words.unknown);
    expect(bare).not.toMatch(/NaN|undefined/);
  });
});
