import { gunzipSync } from 'node:zlib';
import { expect, test } from '@jest/globals';
import { dataPart, type TableText } from '../../src/report/data-part.ts';
import { packedText } from '../../src/report/packed-text.ts';
import { downloadWords, rowsWords, tooLargeForPage } from '../../src/report/wording-page.ts';

const table = (name: string, csv: string, rows = 1): TableText => ({ name, rows, csv });

const packedIn = (html: string) =>
  new Map(
    [...html.matchAll(/data-name="([^"]*)">([\w+/=]*)<\/script>/g)].map(([, name, text]) => [
      name,
      gunzipSync(Buffer.from(text, 'base64')).toString('utf8'),
    ]),
  );

test('a table comes out of the page as it went in', () => {
  const csv = 'measure,reason\n"a, b","needs ""heel"""\n</script><script>alert(1)\nÜbung,\n';
  const html = dataPart([table('measures.csv', csv, 412)], [])!.text;
  expect(packedIn(html).get('measures.csv')).toBe(csv);
  expect(html).toContain(downloadWords('measures.csv', 412));
  expect(html.match(/<script>/)).toBeNull();
});

test('the first rows stand on the page as text, without the rest', () => {
  const lines = Array.from({ length: 50 }, (_, i) => `row${i},1`);
  const html = dataPart([table('frames.csv', `${lines.join('\n')}\n`, 49)], ['frames.csv'])!.text;
  expect(html).toContain('row8,1');
  expect(html).not.toContain('row9,1');
  expect(html).toContain('href="frames.csv"');
});

test('packed text is the same on every system: gzip names none (RFC 1952, 2.3.1: 255 = unknown)', () => {
  const bytes = Buffer.from(packedText('a,b\n'), 'base64');
  expect([bytes[0], bytes[1], bytes[9]]).toEqual([0x1f, 0x8b, 255]);
  // Time of writing: none.
  expect(bytes.readUInt32LE(4)).toBe(0);
});

test('tables that do not have room together: the smallest stand in the page, the large one is named', () => {
  // Digits that hardly pack: a linear congruential sequence (Numerical Recipes constants, from memory).
  let state = 1;
  const noise = Array.from({ length: 400_000 }, () => {
    state = (1664525 * state + 1013904223) >>> 0;
    return state;
  }).join('\n');
  const html = dataPart([table('frames.csv', noise), table('measures.csv', 'a\n1\n')], [])!.text;
  expect([...packedIn(html).keys()]).toEqual(['measures.csv']);
  expect(html).toContain(tooLargeForPage('frames.csv'));
  expect(html.length).toBeLessThan(3e6);
});

test('thousands are grouped so that they do not break', () => {
  expect(rowsWords(1)).toBe('1 row');
  expect(rowsWords(1234567)).toBe('1\u00a0234\u00a0567 rows');
});

test('no tables: no section', () => {
  expect(dataPart([], [])).toBeNull();
});
