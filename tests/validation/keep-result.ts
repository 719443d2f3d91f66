import { mkdirSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { passes, type Validation, type ValidationResult } from './result.ts';

const out = fileURLToPath(new URL('../../docs/validation/', import.meta.url));

/** Writes docs/validation/<name>.json. */
export function keepResult(
  { name, title }: Pick<Validation, 'name' | 'title'>,
  { seed, setting, rows }: ValidationResult,
): void {
  mkdirSync(out, { recursive: true });
  const kept = { title, seed, setting, rows: rows.map((row) => ({ ...row, passed: passes(row) })) };
  writeFileSync(`${out}${name}.json`, `${JSON.stringify(kept, null, 2)}\n`);
}
