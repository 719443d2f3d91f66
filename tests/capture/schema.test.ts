import { readFileSync } from 'node:fs';
import { describe, expect, test } from '@jest/globals';
import { recordingJsonSchema, studyJsonSchema } from '../../src/capture/schema.ts';

type Schema = Record<string, unknown>;

/** Every property of a JSON schema, with its path. */
function properties(schema: Schema, path = ''): { path: string; schema: Schema }[] {
  const own = Object.entries((schema.properties as Record<string, Schema>) ?? {}).map(([name, inner]) => ({
    path: `${path}.${name}`,
    schema: inner,
  }));
  const below = own.flatMap((property) => properties(property.schema, property.path));
  const inside = [schema.items as Schema, ...((schema.anyOf as Schema[]) ?? [])].filter(Boolean);
  return [...own, ...below, ...inside.flatMap((inner) => properties(inner, path))];
}

describe.each([
  ['recording', recordingJsonSchema()],
  ['study', studyJsonSchema()],
])('the %s schema', (name, schema) => {
  test('is the one published in docs (npx tsx tests/generators/write-schemas.ts)', () => {
    const published = JSON.parse(readFileSync(new URL(`../../docs/${name}.schema.json`, import.meta.url), 'utf8'));
    expect(published).toEqual(JSON.parse(JSON.stringify(schema)));
  });

  test.each(properties(schema))(
    '$path has a description; a number says its unit or that it counts',
    ({ path, schema: field }) => {
      expect(String(field.description ?? '').length).toBeGreaterThan(5);
      const unit = /_(kg|m|s|hz)$/.exec(path)?.[1];
      const words = { kg: /kg/, m: /metres/, s: /[Ss]econds/, hz: /Hz/ };
      if (unit) expect(field.description).toMatch(words[unit as keyof typeof words]);
    },
  );

  test('refuses unknown fields at every level', () => {
    const maps = [schema, ...properties(schema).map((property) => property.schema)].filter((map) => map.properties);
    for (const map of maps) expect(map.additionalProperties).toBe(false);
  });
});
