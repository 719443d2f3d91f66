import { writeFileSync } from 'node:fs';
import { findingsJsonSchema } from '../../src/capture/findings-schema.ts';
import { FINDINGS_DOC, findingsDocument } from './findings-doc.ts';

/**
 * Writes docs/findings.schema.json from src/capture/findings-schema.ts and docs/method/findings.md from the built-in rules:
 *   npx tsx tests/generators/write-findings-schema.ts
 */
const schema = new URL('../../docs/findings.schema.json', import.meta.url);
writeFileSync(schema, `${JSON.stringify(findingsJsonSchema(), null, 2)}\n`);
writeFileSync(FINDINGS_DOC, findingsDocument());
