import { readFileSync } from 'node:fs';
import { describe, expect, test } from '@jest/globals';
import { parseCsv } from '../../src/capture/csv.ts';
import { isLandmark, LANDMARKS } from '../../src/capture/landmarks.ts';
import { checkManifest, readManifest } from '../../src/capture/manifest.ts';
import { recordingJsonSchema, recordingSchema, studyJsonSchema, studySchema } from '../../src/capture/schema.ts';
import { temporaryFolder, write } from './written-files.ts';

const folder = temporaryFolder();
const text = readFileSync(new URL('../../docs/method/capture.md', import.meta.url), 'utf8');
const blocks = (language: string) =>
  [...text.matchAll(new RegExp(`\`\`\`${language}\n(.*?)\`\`\``, 'gs'))].map((found) => found[1]);

describe('docs/method/capture.md', () => {
  test('its recordings and its study are accepted', () => {
    const manifests = blocks('yaml').map((block) => readManifest(write(folder, 'block.yaml', block), null));
    const kinds = manifests.map((manifest) => {
      if (manifest.contents.study === undefined) checkManifest(manifest, recordingSchema, recordingJsonSchema);
      else checkManifest(manifest, studySchema, studyJsonSchema);
      return manifest.contents.study === undefined ? 'recording' : 'study';
    });
    expect(kinds).toEqual(['recording', 'recording', 'study']);
  });

  test('its tables have columns and landmarks that are read', () => {
    const tables = blocks('csv').map((block) => parseCsv('block.csv', block));
    expect(tables.map((table) => table.header[0])).toEqual(['frame', 'frame', 'time_s']);
    for (const table of tables.slice(0, 2)) {
      for (let row = 0; row < table.rows; row++)
        expect(isLandmark(table.cells[row * table.header.length + 1])).toBe(true);
    }
  });

  test('it names every landmark', () => {
    for (const name of LANDMARKS) expect(text).toContain(name.replace(/^(left|right)_(?!eye|ear|hand)/, ''));
  });
});
