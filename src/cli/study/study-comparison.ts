import { type CohortTables, cohortComparison } from '../../study/cohort/cohort-comparison.ts';
import type { CohortRecording } from '../../study/cohort/recording-facts.ts';
import { csvOf } from '../../study/csv.ts';
import type { CohortFolder } from './cohort-outputs.ts';
import type { ThereLift } from './complete-lifts.ts';
import { readKept } from './kept-lift.ts';
import type { WrittenStudy } from './study-tables.ts';

const FILES = {
  effects: 'cohort-effects.csv',
  means: 'cohort-means.csv',
  models: 'cohort-models.csv',
  rows: 'cohort-rows.csv',
  curves: 'cohort-curves.csv',
  groupCurves: 'cohort-group-curves.csv',
  curveTests: 'cohort-curve-tests.csv',
} as const satisfies Record<keyof CohortTables, string>;

/** Every file that studyComparison can write. */
export const COMPARISON_FILES: readonly string[] = Object.values(FILES);

/**
 * Writes the tables of the comparison that the study file asks for; those of an earlier file that asked are removed where it
 * no longer does. Called by `kneeward study` once tables and index are written; `analyse` does without.
 */
export async function studyComparison({ study, lifts, out }: WrittenStudy, folder: CohortFolder): Promise<void> {
  const tables = cohortComparison(study, recordingsOf(out, lifts));
  const names = Object.entries(FILES) as [keyof CohortTables, string][];
  const files = new Map<string, string>();
  for (const [name, file] of names) {
    const table = tables?.[name] ?? null;
    if (table === null) folder.drop(file);
    else files.set(file, csvOf(table));
  }
  folder.put(files);
}

/** One lift in memory at a time. */
function* recordingsOf(out: string, lifts: readonly ThereLift[]): Generator<CohortRecording> {
  for (const { recording } of lifts) yield { recording, ...readKept(out, recording.id) };
}
