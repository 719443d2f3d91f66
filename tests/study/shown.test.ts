import { describe, expect, test } from '@jest/globals';
import {
  decimalsFor,
  intervalText,
  numberText,
  PER_CENT,
  plusMinusWithUnit,
  shownAs,
  valueWithInterval,
} from '../../src/study/shown.ts';

describe('digits come from the half width', () => {
  // The half width reads with one or two digits: 2 to 19 units of the last place, or a whole number below 100.
  test.each([
    [0.0049, 3, '0.005'],
    [0.019, 3, '0.019'],
    [0.21, 1, '0.2'],
    [1.9, 1, '1.9'],
    [2, 0, '2'],
    [4.9, 0, '5'],
    [43, 0, '43'],
    [140, -1, '140'],
    [1370, -2, '1400'],
  ])('half width %d: %d decimals, reads %s', (half, decimals, text) => {
    expect(decimalsFor(half, 9)).toBe(decimals);
    expect(numberText(half, decimals)).toBe(text);
  });

  test('without an interval the usual decimals, with a width of nothing not more than can be of use', () => {
    expect(decimalsFor(Number.NaN, 1)).toBe(1);
    expect(decimalsFor(0, 1)).toBe(4);
    expect(decimalsFor(1e-9, 1)).toBe(4);
  });
});

describe('a value with its interval', () => {
  const share = { value: 0.6368, lower: 0.588, upper: 0.6854 };
  test('one style everywhere', () => {
    expect(valueWithInterval(share, PER_CENT)).toBe('64 % (59 to 69)');
    expect(plusMinusWithUnit(share, PER_CENT)).toBe('64 ± 5 %');
    expect(valueWithInterval({ value: 31.85, lower: 27.74, upper: 35.96 }, shownAs('deg'))).toBe('32° (28 to 36)');
    expect(valueWithInterval({ value: -0.0254, lower: -0.0538, upper: 0.003 }, shownAs('m'))).toBe('−3 cm (−5 to 0)');
  });

  test('± holds the whole interval where it is not symmetric', () => {
    expect(plusMinusWithUnit({ value: 0.5, lower: 0.4, upper: 0.53 }, PER_CENT)).toBe('50 ± 10 %');
  });

  test('the shown value ± the shown half width holds the shown ends', () => {
    // Half width 8.4, which rounds to 8; 52 and 69 lie 8 and 9 from 60.
    const share = { value: 0.604, lower: 0.52, upper: 0.688 };
    expect(valueWithInterval(share, PER_CENT)).toBe('60 % (52 to 69)');
    expect(plusMinusWithUnit(share, PER_CENT)).toBe('60 ± 9 %');
    // Tens: 374 ± 104 reads 370 (270 to 480).
    const moment = { value: 374, lower: 270, upper: 478 };
    expect(valueWithInterval(moment, shownAs('nm'))).toBe('370 N·m (270 to 480)');
    expect(plusMinusWithUnit(moment, shownAs('nm'))).toBe('370 ± 110 N·m');
  });

  test('an interval that leaves out 0 does not read as if it held it', () => {
    expect(valueWithInterval({ value: -0.031, lower: -0.058, upper: -0.004 }, PER_CENT)).toBe('−3.1 % (−5.8 to −0.4)');
    expect(valueWithInterval({ value: 0.0305, lower: 0.0004, upper: 0.0606 }, PER_CENT)).toBe('3.05 % (0.04 to 6.06)');
    // Two digits more would not do: the usual ones stay. An interval that holds 0 may end there.
    expect(valueWithInterval({ value: 0.03, lower: 1e-6, upper: 0.06 }, PER_CENT)).toBe('3 % (0 to 6)');
    expect(valueWithInterval({ value: 0.03, lower: -0.002, upper: 0.062 }, PER_CENT)).toBe('3 % (0 to 6)');
  });

  test('without an interval the value alone', () => {
    const bare = { value: 0.6368, lower: Number.NaN, upper: Number.NaN };
    expect(valueWithInterval(bare, PER_CENT)).toBe('64 %');
    expect(plusMinusWithUnit(bare, PER_CENT)).toBe('64 %');
    expect(intervalText(bare, PER_CENT)).toBe('');
    expect(valueWithInterval({ ...bare, value: Number.NaN }, PER_CENT)).toBe('unknown');
  });
});

test('numberText: true minus sign, no negative zero, tens where asked for', () => {
  expect(numberText(-0.04, 1)).toBe('0.0');
  expect(numberText(-1.26, 1)).toBe('−1.3');
  expect(numberText(-374, -1)).toBe('−370');
  expect(numberText(-4, -1)).toBe('0');
});
