import { describe, expect, test } from '@jest/globals';
import { csvRows } from '../../../src/study/tidy/csv-rows.ts';
import { readCsv } from '../read-csv.ts';

const bytes = (text: string) => new TextEncoder().encode(text);
const read = (...pieces: Uint8Array[]) => [...csvRows('t.csv', pieces)];
const codeOf = (act: () => unknown): unknown => {
  try {
    act();
  } catch (error) {
    const { code, facts } = error as { code: string; facts: Record<string, unknown> };
    return { code, ...facts };
  }
  return null;
};

describe('rows of a CSV file in pieces', () => {
  // The examples of RFC 4180 (Shafranovich 2005), section 2, items 1, 2, 5, 6 and 7.
  const examples = [
    [
      'aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n',
      [
        ['aaa', 'bbb', 'ccc'],
        ['zzz', 'yyy', 'xxx'],
      ],
    ],
    [
      'aaa,bbb,ccc\r\nzzz,yyy,xxx',
      [
        ['aaa', 'bbb', 'ccc'],
        ['zzz', 'yyy', 'xxx'],
      ],
    ],
    [
      '"aaa","bbb","ccc"\r\nzzz,yyy,xxx',
      [
        ['aaa', 'bbb', 'ccc'],
        ['zzz', 'yyy', 'xxx'],
      ],
    ],
    [
      '"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx',
      [
        ['aaa', 'b\r\nbb', 'ccc'],
        ['zzz', 'yyy', 'xxx'],
      ],
    ],
    ['"aaa","b""bb","ccc"', [['aaa', 'b"bb', 'ccc']]],
  ] as const;
  test.each(examples)('RFC 4180: %j', (text, rows) => {
    expect(read(bytes(text)).map(({ cells }) => cells)).toEqual(rows);
  });

  test('wherever the pieces are cut, also within a letter, the rows are those of a reader of the whole text', () => {
    const text = 'id,words\n007,"Knie, ""vor"" Fuß\nund 5 °"\n, spaced \n"",–\n';
    const whole = bytes(text);
    const wanted = readCsv(text);
    for (let cut = 0; cut <= whole.length; cut++) {
      expect(read(whole.subarray(0, cut), whole.subarray(cut)).map(({ cells }) => cells)).toEqual(wanted);
    }
    expect(read(...Array.from(whole, (byte) => Uint8Array.of(byte))).map(({ line }) => line)).toEqual([1, 2, 4, 5]);
  });

  test('a byte order mark is no part of the first name, and blank lines are no rows', () => {
    expect(read(bytes('\ufeffa,b\n\n1,2\n\r\n')).map(({ cells }) => cells)).toEqual([
      ['a', 'b'],
      ['1', '2'],
    ]);
  });

  test('what cannot be split is refused with its line', () => {
    expect(codeOf(() => read(bytes('a,b\n1,"2\n')))).toMatchObject({ code: 'tidy-open-quote', file: 't.csv', line: 2 });
    expect(codeOf(() => read(bytes('a,b\n"1"x,2\n')))).toMatchObject({ code: 'tidy-quote-in-cell', line: 2 });
    expect(codeOf(() => read(Uint8Array.of(0x61, 0x2c, 0xe4, 0x0a)))).toMatchObject({ code: 'tidy-not-utf8' });
  });
});
