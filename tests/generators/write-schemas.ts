/**
 * Writes docs/recording.schema.json and docs/study.schema.json from the schemas in src/capture/schema.ts, and
 * docs/rig.schema.json from that in src/cameras/rig-file.ts:
 *   npx tsx tests/generators/write-schemas.ts
 */
import { writeFileSync } from 'node:fs';
import { lensJsonSchema } from '../../src/cameras/lens-file.ts';
import { rigJsonSchema } from '../../src/cameras/rig-file.ts';
import { recordingJsonSchema, studyJsonSchema } from '../../src/capture/schema.ts';

for (const [name, schema] of [
  ['recording', recordingJsonSchema()],
  ['study', studyJsonSchema()],
  ['lens', lensJsonSchema()],
  ['rig', rigJsonSchema()],
] as const) {
  const file = new URL(`../../docs/${name}.schema.json`, import.meta.url);
  writeFileSync(file, `${JSON.stringify(schema, null, 2)}\n`);
}
