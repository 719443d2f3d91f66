import { chmodSync, truncateSync, unlinkSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { describe, expect, test } from '@jest/globals';
import { besideFile, InputLedger, LARGEST_INPUT_BYTES, readText } from '../../src/capture/input-file.ts';
import { firstJsonFault, readJson } from '../../src/capture/json-file.ts';
import { reference } from '../reference.ts';
import { dataError, temporaryFolder, write } from './written-files.ts';

const folder = temporaryFolder();
const standards = reference<never>('capture-text-standards');

describe('reading', () => {
  test('plain and compressed text are the same text', () => {
    const text = 'frame,x\n0,1\n';
    expect(readText(write(folder, 'a.csv', text), null)).toBe(text);
    expect(readText(write(folder, 'a.csv.gz', gzipSync(text)), null)).toBe(text);
    expect(readText(write(folder, 'compressed-without-the-name.csv', gzipSync(text)), null)).toBe(text);
  });

  test('the digest is that of the bytes on disk (FIPS 180-4 example)', () => {
    const ledger = new InputLedger(folder);
    readText(write(folder, 'sub/abc.txt', 'abc'), ledger);
    readText(join(folder, 'sub/abc.txt'), ledger);
    expect(ledger.list()).toEqual([{ file: 'sub/abc.txt', sha256: standards.sha256OfAbc }]);
    expect(ledger.sha256(join(folder, 'sub', 'abc.txt'))).toBe(standards.sha256OfAbc);
  });

  test('digests name files from the recording, never absolutely', () => {
    const ledger = new InputLedger('/data/set/one');
    ledger.add('/data/set/rig.json', new Uint8Array(1));
    ledger.add('/elsewhere/points.csv', new Uint8Array(1));
    ledger.add('/data/set/one/left.json', new Uint8Array(1));
    expect(ledger.list().map(({ file }) => file)).toEqual(['../rig.json', 'points.csv', 'left.json']);
  });

  test('paths are taken from the file that names them', () => {
    expect(besideFile('set/recording.yaml', '../rig.json')).toBe('rig.json');
    expect(besideFile('set/recording.yaml', '/rig.json')).toBe('/rig.json');
  });
});

describe('files that cannot be read', () => {
  const read = (name: string) => dataError(() => readText(join(folder, name), null));
  const long = gzipSync(Array.from({ length: 5000 }, (_, i) => `${i},${Math.sin(i)}`).join('\n'));

  test('missing, with the nearest name', () => {
    write(folder, 'left.json', '[]');
    expect(read('lefft.json')).toMatchObject({ code: 'file-missing', facts: { suggestion: 'left.json' } });
    expect(read('no/folder.json')).toMatchObject({ code: 'file-missing', facts: { suggestion: '' } });
  });

  test('missing, but there compressed', () => {
    write(folder, 'points.csv.gz', gzipSync('x'));
    expect(read('points.csv').facts.suggestion).toBe('points.csv.gz');
  });

  test('a folder', () => expect(dataError(() => readText(folder, null)).code).toBe('file-is-folder'));

  test.each([
    ['empty.csv', '', 'file-empty'],
    ['blank.csv', '\ufeff \n\n', 'file-empty'],
    ['nothing.gz', gzipSync(''), 'file-empty'],
    ['utf16.csv', Buffer.from('\ufeffframe,x\n0,1\n', 'utf16le'), 'file-not-text'],
    ['latin1.csv', Buffer.from('frame,größe\n', 'latin1'), 'file-not-text'],
    ['binary.csv', Uint8Array.of(1, 0, 2, 0), 'file-not-text'],
    ['plain.csv.gz', 'frame,x\n0,1\n', 'file-not-gzip'],
    ['cut.csv.gz', long.subarray(0, long.length >> 1), 'gzip-truncated'],
    ['cut-at-the-end.csv.gz', long.subarray(0, long.length - 4), 'gzip-truncated'],
  ])('%s', (name, contents, code) => {
    write(folder, name, contents as string);
    const error = read(name);
    expect(error.code).toBe(code);
    expect(error.message).toContain(name);
  });

  test('larger than one recording can be (a sparse file)', () => {
    const path = write(folder, 'large.csv', 'x');
    truncateSync(path, LARGEST_INPUT_BYTES + 1);
    expect(read('large.csv')).toMatchObject({ code: 'file-too-large', facts: { limitMb: 400 } });
    unlinkSync(path);
  });

  test('without permission', () => {
    chmodSync(folder, 0o755);
    chmodSync(write(folder, 'locked.csv', 'x'), 0);
    // The administrator reads everything: try as somebody else.
    const isAdministrator = process.getuid?.() === 0;
    if (isAdministrator) process.seteuid?.(65534);
    try {
      expect(read('locked.csv')).toMatchObject({ code: 'file-unreadable', facts: { reason: 'EACCES' } });
    } finally {
      if (isAdministrator) process.seteuid?.(0);
    }
  });

  test('damaged compression', () => {
    const damaged = Uint8Array.from(long);
    for (let i = 40; i < 80; i++) damaged[i] ^= 0xff;
    write(folder, 'damaged.gz', damaged);
    expect(read('damaged.gz').code).toMatch(/^gzip-(damaged|truncated)$/);
    const check = Uint8Array.from(long);
    check[check.length - 6] ^= 0xff;
    write(folder, 'checksum.gz', check);
    expect(read('checksum.gz').code).toBe('gzip-damaged');
  });
});

describe('JSON', () => {
  const whole = '{\n "a": [1, 2.5, "text", null, true],\n "b": { "c": -3 }\n}\n';
  const read = (text: string) => readJson(write(folder, 'some.json', text), null);

  test('whole text', () => expect(read(whole)).toEqual(JSON.parse(whole)));

  test('cut anywhere, it is called cut', () => {
    const end = whole.trimEnd().length;
    for (let length = 1; length < end; length++) {
      const error = dataError(() => read(whole.slice(0, length)));
      expect([length, error.code]).toEqual([length, 'json-truncated']);
    }
  });

  test.each([
    ['[1,\n NaN]', 'NaN'],
    ['[1,\n -Infinity]', '-Infinity'],
    ['{"a":\n Infinity}', 'Infinity'],
  ])('%j', (text, word) => {
    expect(dataError(() => read(text))).toMatchObject({ code: 'json-not-a-number', facts: { line: 2, word } });
  });

  test('other faults name their line', () => {
    expect(dataError(() => read('{\n"a": 1,\n"b" 2\n}'))).toMatchObject({ code: 'json-syntax', facts: { line: 3 } });
    expect(dataError(() => read('frame,x\n0,1\n')).code).toBe('json-syntax');
  });
});

test('a text has a fault before its end exactly where no continuation can mend it (RFC 8259)', () => {
  const end = (text: string) => firstJsonFault(text) === text.length;
  for (const cut of [
    '[',
    '{',
    '{"a',
    '{"a"',
    '{"a":',
    '{"a":1',
    '{"a":1,',
    '[-',
    '[1.',
    '[1e',
    '[1.5e+',
    '[tr',
    '["\\u00',
    '["\\',
  ]) {
    expect([cut, end(cut)]).toEqual([cut, true]);
  }
  for (const [bad, at] of [
    ['[1,]', 3],
    ['{"a":1,}', 7],
    ['[1 2]', 3],
    ['{a:1}', 1],
    ["['a']", 1],
    ['[01]', 1],
    ['[1}', 2],
    ['[] []', 3],
    ['[tru e]', 1],
    ['["a\nb"]', 1],
    ['[+1]', 1],
    ['// note\n[]', 0],
  ] as const) {
    expect([bad, firstJsonFault(bad)]).toEqual([bad, at]);
  }
});
