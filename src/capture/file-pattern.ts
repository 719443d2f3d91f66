import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';

const WILD = /[*?]/;

/**
 * Files below `folder` whose path matches `pattern`, sorted by code unit so that every machine gives one order. `*` and `?`
 * match within a name, `**` any number of folders (none too). Hidden names are matched only where the pattern writes the
 * dot; linked folders are not entered by `**`.
 */
export function matchFiles(folder: string, pattern: string): string[] {
  const steps = pattern.split(/[\\/]/).filter((step) => step !== '' && step !== '.');
  const root = /^[\\/]/.test(pattern) ? '/' : folder;
  const found = new Set<string>();
  walk(root, steps, found);
  return [...found].sort(byCodeUnit);
}

function walk(folder: string, steps: readonly string[], found: Set<string>): void {
  const [step, ...rest] = steps;
  if (step === undefined) return;
  if (!WILD.test(step)) {
    const path = join(folder, step);
    if (!existsSync(path)) return;
    if (rest.length === 0) found.add(path);
    else walk(path, rest, found);
    return;
  }
  const entries = existsSync(folder) ? foldersAndFiles(folder) : [];
  if (step === '**') walk(folder, rest, found);
  for (const entry of entries) {
    const path = join(folder, entry.name);
    if (step === '**') {
      if (entry.isDirectory() && !entry.name.startsWith('.')) walk(path, steps, found);
    } else if (matchesName(step, entry.name)) {
      if (rest.length > 0) walk(path, rest, found);
      else if (!entry.isDirectory()) found.add(path);
    }
  }
}

function foldersAndFiles(folder: string) {
  try {
    return readdirSync(folder, { withFileTypes: true });
  } catch {
    return [];
  }
}

function matchesName(pattern: string, name: string): boolean {
  if (name.startsWith('.') && !pattern.startsWith('.')) return false;
  const source = pattern
    .replace(/[.+^${}()|[\]\\]/g, '\\$&')
    .replaceAll('*', '.*')
    .replaceAll('?', '.');
  return new RegExp(`^${source}$`, 'u').test(name);
}

/** Comparison that does not depend on the machine's language. */
export function byCodeUnit(a: string, b: string): number {
  if (a === b) return 0;
  return a < b ? -1 : 1;
}
