import { readFileSync } from 'node:fs';
import { acceptanceLimits } from '../../src/lift/acceptance.ts';
import { findInLift } from '../../src/lift/findings/find.ts';
import { BUILT_IN_RULES } from '../../src/lift/findings/rules/index.ts';
import { gradeLift } from '../../src/lift/grade.ts';
import { liftFigures } from '../../src/report/lift-figures.ts';
import { reportHtml } from '../../src/report/report.ts';
import type { ReportInput } from '../../src/report/report-input.ts';
import { provenanceOf } from '../../src/study/provenance.ts';
import { segmentTablesTable } from '../../src/study/segment-tables.ts';
import { setMeansOf } from '../../src/study/set-means.ts';
import { makeRecord, makeRecording, type RecordOptions } from '../study/make-record.ts';
import { type DoubtOptions, makeUncertainty } from '../study/make-uncertainty.ts';

export const limits = acceptanceLimits(
  JSON.parse(readFileSync(new URL('../../calibration/acceptance.json', import.meta.url), 'utf8')),
  'acceptance.json',
);
export const FILES = ['frames.csv', 'causes.csv', 'lift.json', 'figures/posture-strip.svg'];

/**
 * The report of a drawn lift, whole.
 *
 * @param doubts null: intervals switched off
 */
export async function makeReport(
  options: RecordOptions = {},
  changes: Partial<ReturnType<typeof makeRecording>> = {},
  doubts: DoubtOptions | null = {},
  input: Partial<ReportInput> = {},
) {
  const drawn = makeRecord(options);
  const uncertainty = doubts && makeUncertainty(drawn, doubts);
  const record = uncertainty?.record ?? drawn;
  const recording = { ...makeRecording(options), ...changes };
  const provenance = provenanceOf({
    toolVersion: '0.1.0',
    recordingId: record.recordingId,
    settings: recording.settings,
    seed: 1,
    inputs: [{ file: '/x/left.json', sha256: 'ab'.repeat(32) }],
    folder: '/x',
  });
  const html = reportHtml({
    record,
    recording,
    graded: gradeLift(record, limits),
    limits,
    rig: { method: 'control points', reprojectionRmsPx: 0.4, pointsUsed: 96, notes: [] },
    provenance,
    uncertainty,
    figures: await liftFigures(record, uncertainty),
    residual: null,
    segmentTables: segmentTablesTable([
      { segments: 'de-leva-1996', used: true, record },
      {
        segments: 'dumas-2007',
        used: false,
        record: { ...record, measures: record.measures.map((m) => ({ ...m, value: 1.1 * m.value })) },
      },
    ]),
    ...findInLift(record, uncertainty ? setMeansOf(uncertainty) : [], recording, BUILT_IN_RULES),
    tables: [{ name: 'measures.csv', rows: 2, csv: 'measure,value\na,1\nb,2\n' }],
    setChanges: [],
    previous: null,
    stills: null,
    script: '',
    files: FILES,
    index: '../index.html',
    ...input,
  });
  return { record, recording, html };
}
