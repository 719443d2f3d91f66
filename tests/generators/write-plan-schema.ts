/**
 * Writes docs/plan.schema.json from src/capture/plan-schema.ts:
 *   npx tsx tests/generators/write-plan-schema.ts
 */
import { writeFileSync } from 'node:fs';
import { planJsonSchema } from '../../src/capture/plan-schema.ts';

const file = new URL('../../docs/plan.schema.json', import.meta.url);
writeFileSync(file, `${JSON.stringify(planJsonSchema(), null, 2)}\n`);
