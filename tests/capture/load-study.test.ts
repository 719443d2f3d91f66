import { mkdirSync, symlinkSync } from 'node:fs';
import { join, relative } from 'node:path';
import { describe, expect, test } from '@jest/globals';
import { matchFiles } from '../../src/capture/file-pattern.ts';
import { loadStudy, manifestKind } from '../../src/capture/load-study.ts';
import { DEFAULT_SETTINGS } from '../../src/capture/recording.ts';
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
