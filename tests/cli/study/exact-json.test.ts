import { describe, expect, test } from '@jest/globals';
import fc from 'fast-check';
import { exactText, exactValue } from '../../../src/cli/study/exact-json.ts';

const again = <T>(value: T): T => exactValue(exactText(value)) as T;
const bits = (value: number): bigint => new BigUint64Array(Float64Array.of(value).buffer)[0];

describe('what is kept comes back bit by bit', () => {
  test('any double, alone and in arrays', () => {
    fc.assert(
      fc.property(fc.double(), (value) => {
        expect(bits(again([value])[0])).toBe(bits(value));
      }),
    );
    fc.assert(
      fc.property(fc.float64Array(), (values) => {
        const found = again({ values }).values;
        expect(found).toBeInstanceOf(Float64Array);
        expect(Array.from(found, bits)).toEqual(Array.from(values, bits));
      }),
    );
    fc.assert(
      fc.property(fc.float32Array(), (values) => {
        expect(again(values)).toEqual(values);
      }),
    );
  });

  test('a view into a larger buffer is only itself', () => {
    const part = Float64Array.of(1, 2, 3, 4).subarray(1, 3);
    expect(again(part)).toEqual(Float64Array.of(2, 3));
  });

  test('maps in their order, maps in maps, and what stands beside them', () => {
    const value = {
      effects: new Map([
        ['b', -0],
        ['a', Number.NaN],
      ]),
      deep: new Map([['x', new Map([['y', [null, '§', true]]])]]),
    };
    expect(again(value)).toEqual(value);
    expect([...again(value).effects.keys()]).toEqual(['b', 'a']);
  });

  test('any JSON value', () => {
    fc.assert(fc.property(fc.jsonValue(), (value) => expect(again(value)).toEqual(value)));
  });

  test('a text that was cut is refused', () => {
    expect(() => exactValue('{"a":1')).toThrow(SyntaxError);
    expect(() => exactValue('{"§":"f65","base64":""}')).toThrow(SyntaxError);
  });
});
