import { expect, test } from '@jest/globals';
import { seededRandom } from '../../src/numerics/random.ts';
import { sevenDigits } from '../../src/study/seven-digits.ts';

const asText = (value: number) => Number(value.toPrecision(7));

test('20,000 numbers of all sizes are those that the text of seven digits reads back as', () => {
  const random = seededRandom(71);
  const values = Array.from({ length: 20_000 }, () => random.normal() * 10 ** (30 * random.uniform() - 15));
  expect(values.filter((value) => sevenDigits(value) !== asText(value))).toEqual([]);
});

test('beside powers of ten, halves of the last digit, the ends of the range', () => {
  const values: number[] = [];
  const near = [0, 1, -1, 5, -5].map((units) => units * 2 ** -52);
  for (let exponent = -20; exponent <= 20; exponent++) {
    for (const digits of [1, 9.9999994, 9.9999995, 9.9999996, 1.0000005, 1.2345675, 1.2345685, 4.9999995]) {
      for (const unit of near) {
        const value = digits * 10 ** exponent * (1 + unit);
        values.push(value, -value);
      }
    }
  }
  expect(values.filter((value) => sevenDigits(value) !== asText(value))).toEqual([]);
  for (const value of [0, -0, Number.NaN, Number.POSITIVE_INFINITY, Number.MIN_VALUE, Number.MAX_VALUE]) {
    expect(sevenDigits(value)).toBe(asText(value));
  }
});
