import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { ComparisonFile } from '../../../src/capture/comparison-file.ts';
import { type KeptLift, packed } from '../../../src/cli/study/kept-lift.ts';
import { KEPT, recordingFolder } from '../../../src/cli/study/places.ts';
import { studyComparison } from '../../../src/cli/study/study-comparison.ts';
import { studyFigures } from '../../../src/cli/study/study-figures.ts';
import type { WrittenStudy } from '../../../src/cli/study/study-tables.ts';
import { studyReportHtml } from '../../../src/report/study-report.ts';
import type { CohortRecording } from '../../../src/study/cohort/recording-facts.ts';
import { csvOf } from '../../../src/study/csv.ts';
import { weekChangesTable, weeksTable } from '../../../src/study/weeks/tables.ts';
import { weekChanges } from '../../../src/study/weeks/week-changes.ts';
import { madeWeekSessions } from '../../figures/cohort/made-tables.ts';
import { madeComparison } from '../../study/cohort/made-study.ts';
import { plainFolder } from './made-lifts.ts';

/**
 * A study's folder as it is once all recordings are analysed: what is kept of them, weeks, the page without its comparison. Returns
 * what compares and draws, into that folder.
 */
export function madeStudyFolder(out: string, recordings: readonly CohortRecording[]) {
  for (const { recording, ...kept } of recordings) {
    mkdirSync(join(recordingFolder(out, recording.id), '.study'), { recursive: true });
    writeFileSync(join(recordingFolder(out, recording.id), KEPT), packed(kept as KeptLift));
  }
  const weeks = weekChanges(madeWeekSessions());
  writeFileSync(join(out, 'weeks.csv'), csvOf(weeksTable(weeks)));
  writeFileSync(join(out, 'week-changes.csv'), csvOf(weekChangesTable(weeks)));
  const index = { id: 'made', title: '', synthetic: true, toolVersion: '0', lifts: [], failures: [], files: [] };
  writeFileSync(join(out, 'index.html'), studyReportHtml(index));
  return async (comparison: ComparisonFile | null): Promise<void> => {
    const written = {
      study: { file: 'study.yaml', seed: 5, ...(comparison && madeComparison(comparison)) },
      lifts: recordings.map(({ recording }) => ({
        recording,
        row: { recordingId: recording.id, hipShareAtParallel: null },
      })),
      failures: [],
      out,
    } as unknown as WrittenStudy;
    await studyComparison(written, plainFolder(out));
    await studyFigures(written, true, plainFolder(out));
  };
}
