import { readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from '@jest/globals';
import { reference } from './reference.ts';

const folder = fileURLToPath(new URL('./references', import.meta.url));
const names = readdirSync(folder)
  .filter((file) => file.endsWith('.json'))
  .map((file) => file.replace(/\.json$/, ''));

describe('reference files', () => {
  test('there are some', () => expect(names.length).toBeGreaterThan(0));

  test.each(names)('%s names its source, its provenance and the reason of its tolerance', (name) => {
    expect(() => reference(name)).not.toThrow();
  });
});
