import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { readState, sizeOf, type WrittenFile } from './completion.ts';
import { type Disk, exchange } from './disk.ts';
import { exactText } from './exact-json.ts';
import { digestOf } from './input-files.ts';
import { COHORT_STATE } from './places.ts';
import type { WrittenStudy } from './study-tables.ts';
import { toolDigest } from './tool-digest.ts';

/** Where what is said of the whole study is put; every file is whole or not there. */
export interface CohortFolder {
  /** Paths inside the study's folder → content. */
  put(files: ReadonlyMap<string, string | Uint8Array>): void;
  /** Nothing where it is not there. */
  drop(name: string): void;
}

/** What comes after the tables of a study. */
export interface CohortSteps {
  readonly comparison?: (written: WrittenStudy, folder: CohortFolder) => Promise<void>;
  /** After the comparison, whose tables it reads: figures, and the index's part of the whole study. */
  readonly figures?: (written: WrittenStudy, folder: CohortFolder) => Promise<void>;
}

/** What the comparison and the figures were made of, and their files; `key` '' while they are exchanged. */
interface CohortState {
  readonly key: string;
  readonly files: readonly Pick<WrittenFile, 'name' | 'size'>[];
}

/** Compares and draws, unless what is there was made of the same lifts, study file and program. */
export async function writeCohort(disk: Disk, work: string, written: WrittenStudy, steps: CohortSteps): Promise<void> {
  if (!steps.comparison && !steps.figures) return;
  const { out } = written;
  const path = join(out, COHORT_STATE);
  const key = cohortKey(written, steps);
  if (isThere(out, key)) return;
  const say = (state: CohortState) => exchange(disk, work, path, exactText(state));
  say({ key: '', files: [] });
  const names: string[] = [];
  const folder: CohortFolder = {
    put(files) {
      for (const [name, content] of files) {
        disk.makeFolder(dirname(join(out, name)));
        exchange(disk, work, join(out, name), content);
        names.push(name);
      }
    },
    drop(name) {
      if (existsSync(join(out, name))) disk.remove(join(out, name));
    },
  };
  await steps.comparison?.(written, folder);
  await steps.figures?.(written, folder);
  say({ key, files: names.map((name) => ({ name, size: sizeOf(join(out, name)) })) });
}

function cohortKey({ study, lifts, failures }: WrittenStudy, { comparison, figures }: CohortSteps): string {
  // The keys hold what the recordings state; paths are left out: they are as typed, and say where the command was called.
  const lines = lifts.map(({ recording, key }) => [recording.id, key]);
  const { id, title, synthetic, seed, comparison: asked } = study;
  const steps = [comparison !== undefined, figures !== undefined];
  return digestOf(
    exactText([toolDigest(), { id, title, synthetic, seed, asked: asked ?? null }, failures, steps, lines]),
  );
}

function isThere(out: string, key: string): boolean {
  const state = readState<CohortState>(join(out, COHORT_STATE), ({ files }) => Array.isArray(files));
  return state?.key === key && state.files.every(({ name, size }) => sizeOf(join(out, name)) === size);
}
