import { describe, expect, test } from '@jest/globals';
import { tabSeparated } from '../../../src/web/page/tab-separated.ts';
import { wrapped } from '../../../src/web/page/wrapped.ts';

describe('a CSV for the clipboard', () => {
  test.each([
    ['a,b\n1,2\n', 'a\tb\n1\t2\n'],
    ['"a, b",c\n', 'a, b\tc\n'],
    ['"say ""hip""",1\n', 'say "hip"\t1\n'],
    ['"two\nlines",1\n', 'two lines\t1\n'],
    [',,\n', '\t\t\n'],
    ['"",1\n', '\t1\n'],
  ])('%j', (csv, expected) => {
    expect(tabSeparated(csv)).toBe(expected);
  });
});

describe('words in lines', () => {
  const width = (text: string) => text.length;

  test('each as full as it gets', () => {
    expect(wrapped('one two three four', 9, width)).toEqual(['one two', 'three', 'four']);
  });
  test('a word that is too wide stands alone', () => {
    expect(wrapped('a incomprehensible b', 5, width)).toEqual(['a', 'incomprehensible', 'b']);
  });
  test('a no-break space holds words together', () => {
    expect(wrapped('carry 63\u00a0% of', 8, width)).toEqual(['carry', '63\u00a0% of']);
  });
  test('nothing gives no line', () => {
    expect(wrapped('  ', 5, width)).toEqual([]);
  });
});
