import { readFileSync } from 'node:fs';

/** One file of published values under `tests/references/`. Every file says where its numbers come from and why its tolerance is what it is. */
export interface Reference<Case> {
  readonly source: string;
  /** 'read', 'recomputed' or 'from memory', and where. */
  readonly provenance: string;
  readonly tolerance: number;
  readonly toleranceReason: string;
  readonly cases: readonly Case[];
}

/** Loads `tests/references/<name>.json`; fails where source, provenance or the reason of the tolerance is missing. */
export function reference<Case>(name: string): Reference<Case> & Readonly<Record<string, unknown>> {
  const file = new URL(`./references/${name}.json`, import.meta.url);
  const found = JSON.parse(readFileSync(file, 'utf8'));
  for (const field of ['source', 'provenance', 'toleranceReason']) {
    if (typeof found[field] !== 'string' || found[field].length < 3) {
      throw new Error(`tests/references/${name}.json has no "${field}": a reference without it proves nothing`);
    }
  }
  if (found.tolerance === undefined) throw new Error(`tests/references/${name}.json has no "tolerance"`);
  return found;
}
