import { mkdirSync, symlinkSync } from 'node:fs';
import { join, relative } from 'node:path';
import { describe, expect, test } from '@jest/globals';
import { matchFiles } from '../../src/capture/file-pattern.ts';
import { loadStudy, manifestKind } from '../../src/capture/load-study.ts';
import { DEFAULT_SETTINGS } from '../../src/capture/recording.ts';
import { readRecordingFile } from '../../src/capture/recording-file.ts';
import { dataError, temporaryFolder, write } from './written-files.ts';

const folder = temporaryFolder();
const recording = (id: string) =>
  `kneeward: 1\nrecording: ${id}\nathlete: { id: A, mass_kg: 60 }\nlift: { kind: squat }\nload: { total_kg: 0 }\n` +
  'landmarks_3d: { file: points.csv, frame_rate_hz: 100, unit: m, axes: { forward: "+x", up: "+y" } }\n';
for (const [name, id] of [
  ['a/one/recording.yaml', 'one'],
  ['a/two/recording.yaml', 'two'],
  ['b/deep/er/recording.yaml', 'three'],
  ['single.yaml', 'four'],
] as const) {
  write(folder, name, recording(id));
}
write(folder, '.hidden/recording.yaml', recording('hidden'));
write(folder, 'a/notes+1.txt', 'x');

describe('patterns', () => {
  const match = (pattern: string) => matchFiles(folder, pattern).map((path) => relative(folder, path));

  test.each([
    ['a/*/recording.yaml', ['a/one/recording.yaml', 'a/two/recording.yaml']],
    ['**/recording.yaml', ['a/one/recording.yaml', 'a/two/recording.yaml', 'b/deep/er/recording.yaml']],
    ['**/*.yaml', ['a/one/recording.yaml', 'a/two/recording.yaml', 'b/deep/er/recording.yaml', 'single.yaml']],
    ['b/**/recording.yaml', ['b/deep/er/recording.yaml']],
    ['b/**/er/*.yaml', ['b/deep/er/recording.yaml']],
    ['*.yaml', ['single.yaml']],
    ['./single.yaml', ['single.yaml']],
    ['a/t?o/*', ['a/two/recording.yaml']],
    ['a/*+1.txt', ['a/notes+1.txt']],
    ['a/notes.1*', []],
    ['.hid*/*', ['.hidden/recording.yaml']],
    ['nowhere/*.yaml', []],
    ['a/*', ['a/notes+1.txt']],
    ['b/../single.yaml', ['single.yaml']],
  ])('%s', (pattern, files) => expect(match(pattern)).toEqual(files));

  test('a linked folder is no way into a circle', () => {
    mkdirSync(join(folder, 'circle/inner'), { recursive: true });
    symlinkSync('..', join(folder, 'circle/inner/back'));
    expect(matchFiles(join(folder, 'circle'), '**/*.yaml')).toEqual([]);
  });
});

describe('a study', () => {
  const study = (text: string) => write(folder, 'study.yaml', `kneeward: 1\nstudy: S1\n${text}`);

  test('recordings sorted and counted once; the study itself is none', () => {
    const file = study(
      'recordings: ["*.yaml", "a/*/recording.yaml", "**/recording.yaml"]\ntitle: Heels\nseed: 9\nsynthetic: true\n',
    );
    const read = loadStudy(file);
    expect(read).toMatchObject({
      id: 'S1',
      title: 'Heels',
      seed: 9,
      synthetic: true,
      settings: { ...DEFAULT_SETTINGS, seed: 9 },
    });
    expect(read.recordings.map((path) => relative(folder, path))).toEqual([
      'a/one/recording.yaml',
      'a/two/recording.yaml',
      'b/deep/er/recording.yaml',
      'single.yaml',
    ]);
  });

  test('settings and what holds without them', () => {
    const read = loadStudy(
      study('recordings: [single.yaml]\nsettings: { gap_limit_s: 0.3, smoothing: { cutoff_hz: none } }\n'),
    );
    expect(read).toMatchObject({ title: 'S1', seed: 1, synthetic: false });
    expect(read.settings).toEqual({ ...DEFAULT_SETTINGS, gapLimitS: 0.3, smoothing: { kind: 'none' } });
  });

  test('two recordings of one name: both files are named', () => {
    write(folder, 'c/recording.yaml', recording('ONE'));
    const error = dataError(() => loadStudy(study('recordings: ["a/*/*.yaml", "c/*.yaml"]\n')));
    expect(error.code).toBe('duplicate-recording');
    expect(error.facts).toMatchObject({ id: 'ONE' });
    expect(error.facts.fileA).toContain('a/one/recording.yaml');
    expect(error.facts.fileB).toContain('c/recording.yaml');
  });

  test.each<[string, string, string, Record<string, unknown>]>([
    ['nothing matches', 'recordings: [single.yaml, "x/*.yaml"]\n', 'no-match', { line: 3, pattern: 'x/*.yaml' }],
    ['no recordings', 'recordings: []\n', 'wrong-type', { field: 'recordings' }],
    ['a file and no list', 'recordings: single.yaml\n', 'not-a-list', { line: 3, value: '"single.yaml"' }],
    [
      'a misspelt field without a value',
      'recordings: [single.yaml]\nseeed:\n',
      'unknown-field',
      { suggestion: 'seed' },
    ],
    ['recordings left out', '', 'missing-field', { field: 'recordings' }],
    ['misspelt field', 'recordings: [single.yaml]\nsede: 3\n', 'unknown-field', { line: 4, suggestion: 'seed' }],
    ['a negative seed', 'recordings: [single.yaml]\nseed: -1\n', 'out-of-range', { value: -1, low: 0 }],
    ['half a seed', 'recordings: [single.yaml]\nseed: 0.5\n', 'wrong-type', { value: '0.5' }],
    ['a folder', 'recordings: [a]\n', 'file-is-folder', {}],
    ['a file that is no recording', 'recordings: ["a/*.txt"]\n', 'manifest-not-a-map', {}],
  ])('%s is refused', (_, text, code, facts) => {
    const error = dataError(() => loadStudy(study(text)));
    expect(error.code).toBe(code);
    expect(error.facts).toMatchObject(facts);
  });

  test('a recording is no study; each says what it is', () => {
    const single = join(folder, 'single.yaml');
    expect(dataError(() => loadStudy(single)).code).toBe('wrong-manifest');
    expect(manifestKind(single)).toBe('recording');
    expect(manifestKind(study('recordings: [single.yaml]\n'))).toBe('study');
    expect(manifestKind(write(folder, 'rig.json', '{ "kind": "camera rig" }'))).toBe('rig');
    expect(manifestKind(write(folder, 'other.json', '{ "kind": "cake" }'))).toBeNull();
  });
});

describe('what the recordings of a study state of one another', () => {
  let count = 0;
  /** A study of recordings r0, r1, …: the athlete, and what else each file says. */
  function studyOf(...stated: readonly (readonly [athlete: string, more?: string])[]): string {
    const at = `stated-${count++}`;
    for (const [i, [athlete, more = '']] of stated.entries()) {
      write(folder, `${at}/r${i}.yaml`, `${recording(`r${i}`).replace('{ id: A, mass_kg: 60 }', athlete)}${more}`);
    }
    return write(folder, `${at}/study.yaml`, 'kneeward: 1\nstudy: S\nrecordings: ["r*.yaml"]\n');
  }
  const A = '{ id: A, mass_kg: 60 }';
  /** File name, line and what follows, of each remark. */
  const remarks = (file: string) =>
    (loadStudy(file).remarks ?? []).map((text) => /(r\d)\.yaml, line (\d+): (\S+)/.exec(text)!.slice(1).join(' '));

  test('nothing said where nothing is odd', () => {
    const file = studyOf(
      [A, 'condition: { heel: flat, block: 1 }\n'],
      ['{ id: A, mass_kg: 61.5, sex: male }', 'condition: { heel: raised, block: 2 }\ndate: 2026-03-01\n'],
      ['{ id: B, mass_kg: 90, sex: female }', 'condition: { heel: flat, block: 2 }\n'],
    );
    expect(loadStudy(file).remarks).toBeUndefined();
  });

  test.each<[string, (readonly [string, string?])[], string[]]>([
    [
      'a factor in one recording alone, near another',
      [
        [A, 'condition: { heel: flat }\n'],
        [A, 'condition: { heel: raised }\n'],
        [A, 'condition: { hel: flat }\n'],
      ],
      ['r2 7 condition.hel'],
    ],
    [
      'two factors that stand once each: one line',
      [
        [A, 'condition: { hel: flat }\n'],
        [A, 'condition: { heel: flat }\n'],
      ],
      ['r0 7 condition.hel'],
    ],
    ['two near factors of one recording are meant', [[A, 'condition: { heel_l: 1, heel_r: 2 }\n']], []],
    [
      'levels that differ in capitals or spaces: the rarer one',
      [
        [A, 'condition: { heel: "two blocks " }\n'],
        [A, 'condition: { heel: two blocks }\n'],
        [A, 'condition: { heel: Two  Blocks }\n'],
      ],
      ['r2 7 condition.heel'],
    ],
    [
      'one word among numbers',
      [
        [A, 'condition: { heel_cm: 2 }\n'],
        [A, 'condition:\n  heel_cm: 2,5\n'],
        [A, 'condition: { heel_cm: 3 }\n'],
      ],
      ['r1 8 condition.heel_cm'],
    ],
    [
      'statures of one lifter, once',
      [
        ['{ id: A, mass_kg: 60, stature_m: 1.7 }'],
        ['{ id: A, mass_kg: 60, stature_m: 1.6 }'],
        ['{ id: A, mass_kg: 60, stature_m: 1.6 }'],
      ],
      ['r1 3 athlete.stature_m'],
    ],
    ['masses further apart than a lifter changes', [[A], ['{ id: A, mass_kg: 66.1 }']], ['r1 3 athlete.mass_kg']],
    [
      'masses on one day',
      [
        [A, 'date: 2026-02-01\n'],
        ['{ id: A, mass_kg: 61 }', 'date: 2026-03-01\n'],
        ['{ id: A, mass_kg: 62 }', 'date: 2026-03-01\n'],
      ],
      ['r2 3 athlete.mass_kg'],
    ],
  ])('%s', (_, stated, wanted) => expect(remarks(studyOf(...stated))).toEqual(wanted));

  test('ids of lifters that differ in capitals only are refused, and two sexes of one', () => {
    const ids = dataError(() => loadStudy(studyOf([A], ['{ id: a, mass_kg: 60 }'])));
    expect(ids).toMatchObject({ code: 'athlete-ids-by-case', facts: { line: 3, id: 'a', otherId: 'A' } });
    const sexes = dataError(() =>
      loadStudy(studyOf(['{ id: A, mass_kg: 60, sex: male }'], [A], ['{ id: A, mass_kg: 60, sex: female }'])),
    );
    expect(sexes).toMatchObject({ code: 'athlete-two-sexes', facts: { line: 3, sex: 'female', otherSex: 'male' } });
  });

  test('a level is trimmed, an empty one refused, and a letter with its accent is one however it is written', () => {
    const empty = dataError(() => loadStudy(studyOf([A, 'condition: { heel: " " }\n'])));
    expect(empty).toMatchObject({ facts: { field: 'condition.heel', line: 7 } });
    const accents = studyOf(['{ id: Zoe\u0308, mass_kg: 60 }'], ['{ id: Zo\u00eb, mass_kg: 60 }']);
    expect(loadStudy(accents).remarks).toBeUndefined();
    const [first] = loadStudy(accents).recordings;
    expect(readRecordingFile(first, DEFAULT_SETTINGS, null).athlete.id).toBe('Zo\u00eb');
  });

  test('a pattern that takes in another study names its line', () => {
    write(folder, 'two/study.yaml', 'kneeward: 1\nstudy: S\nrecordings: [r.yaml]\n');
    write(folder, 'two/r.yaml', recording('r'));
    const other = write(folder, 'two/other.yaml', 'kneeward: 1\nstudy: T\nrecordings:\n  - r.yaml\n  - "*.yaml"\n');
    expect(dataError(() => loadStudy(other))).toMatchObject({
      code: 'wrong-manifest',
      facts: { study: other, line: 5, pattern: '*.yaml', file: expect.stringContaining('study.yaml') },
    });
  });
});
