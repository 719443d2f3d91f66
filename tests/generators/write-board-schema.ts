/**
 * Writes docs/board.schema.json from the schema in src/capture/board-file.ts:
 *   npx tsx tests/generators/write-board-schema.ts
 */
import { writeFileSync } from 'node:fs';
import { boardJsonSchema } from '../../src/capture/board-file.ts';

const file = new URL('../../docs/board.schema.json', import.meta.url);
writeFileSync(file, `${JSON.stringify(boardJsonSchema(), null, 2)}\n`);
