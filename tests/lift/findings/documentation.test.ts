import { readFileSync } from 'node:fs';
import { expect, test } from '@jest/globals';
import { FINDINGS_DOC, findingsDocument } from '../../generators/findings-doc.ts';

test('docs/method/findings.md is what the rules say (npx tsx tests/generators/write-findings-schema.ts)', () => {
  expect(readFileSync(FINDINGS_DOC, 'utf8')).toBe(findingsDocument());
});
