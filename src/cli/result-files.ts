import type { ColumnTable } from 'arquero';
import type { AcceptanceLimit } from '../lift/acceptance.ts';
import { figureFiles, liftFigures } from '../report/lift-figures.ts';
import type { PreviousLift } from '../report/previous-lift.ts';
import { reportHtml } from '../report/report.ts';
import { causesTable } from '../study/causes-table.ts';
import { csvOf } from '../study/csv.ts';
import { findingsTable } from '../study/findings-table.ts';
import { jsonText } from '../study/json-text.ts';
import { liftJson } from '../study/lift-json.ts';
import { meansTable } from '../study/means-table.ts';
import { spatialTables } from '../study/moments-table.ts';
import type { Provenance } from '../study/provenance.ts';
import { type QualityRecord, qualityRecord } from '../study/quality-json.ts';
import { residualTable } from '../study/residual-table.ts';
import { segmentTablesTable } from '../study/segment-tables.ts';
import { setChangesTable } from '../study/set-changes.ts';
import { athletesTable, curvesTable, framesTable, measuresTable, repetitionsTable } from '../study/tables.ts';
import { browserCode } from './browser-code.ts';
import { LIFT_C3D, liftC3d, spatialChannels } from './c3d-output.ts';
import { liftStills } from './lift-stills.ts';
import { tableRuns } from './other-tables.ts';
import type { UncertainAnalysis } from './with-intervals.ts';

/** The tidy tables of one recording, by file name. */
export type LiftTables = ReadonlyMap<string, ColumnTable>;

export function liftTables(analysis: UncertainAnalysis): LiftTables {
  const { record, data, uncertainty } = analysis;
  const spatial = spatialTables(record, data.recording);
  return new Map([
    ['frames.csv', framesTable(record)],
    ['moments.csv', spatial.moments],
    ['moment-axes.csv', spatial.axes],
    ['curves.csv', curvesTable(record)],
    ['repetitions.csv', repetitionsTable(record)],
    ['measures.csv', measuresTable(record)],
    ['means.csv', meansTable(record, uncertainty)],
    ['causes.csv', causesTable(record, uncertainty)],
    ['residual.csv', residualTable(record.recordingId, analysis.residual)],
    ['segment-tables.csv', segmentTablesTable(tableRuns(analysis))],
    ['set-changes.csv', setChangesTable(record, data.recording.lift.effortRpe, analysis.setChanges)],
    ['findings.csv', findingsTable(record, analysis.findings)],
    ['athletes.csv', athletesTable([data.recording])],
  ]);
}

export function qualityOf(analysis: UncertainAnalysis, limits: readonly AcceptanceLimit[]): QualityRecord {
  const { record, graded, rig, uncertainty, skeleton, residual } = analysis;
  return qualityRecord(record, graded, limits, rig?.quality ?? null, uncertainty, skeleton, residual);
}

/**
 * Every file of one recording's result, name inside its folder → content.
 *
 * @param index path of the study's index from that folder; null for a recording on its own
 * @param withC3d lift.c3d too
 * @param previous the lifter's lift before this one; null where there is none
 */
export async function liftFiles(
  analysis: UncertainAnalysis,
  tables: LiftTables,
  limits: readonly AcceptanceLimit[],
  provenance: Provenance,
  index: string | null,
  withC3d: boolean,
  previous: PreviousLift | null = null,
): Promise<ReadonlyMap<string, string | Uint8Array>> {
  const { record, data, rig, graded, uncertainty } = analysis;
  const { recording } = data;
  const figures = await liftFigures(record, uncertainty, analysis.setChanges, recording.lift.effortRpe);
  const quality = qualityOf(analysis, limits);
  const files = new Map<string, string | Uint8Array>();
  for (const [name, table] of tables) files.set(name, csvOf(table));
  files.set('quality.json', jsonText(quality));
  files.set('provenance.json', jsonText(provenance));
  files.set('lift.json', jsonText(liftJson(record, recording, quality, provenance, analysis)));
  for (const [name, svg] of figureFiles(figures)) files.set(`figures/${name}`, svg);
  if (withC3d) {
    const [moments, axes] = [tables.get('moments.csv')!, tables.get('moment-axes.csv')!];
    files.set(LIFT_C3D, liftC3d(record, spatialChannels({ moments, axes })));
  }
  const report = reportHtml({
    record,
    recording,
    graded,
    limits,
    rig: rig?.quality ?? null,
    provenance,
    uncertainty,
    figures,
    residual: analysis.residual,
    findings: analysis.findings,
    chains: analysis.chains,
    setChanges: analysis.setChanges,
    segmentTables: tables.get('segment-tables.csv')!,
    tables: [...tables].map(([name, table]) => ({ name, rows: table.numRows(), csv: files.get(name) as string })),
    previous,
    stills: await liftStills(analysis),
    script: await browserCode(),
    files: [...files.keys()],
    index,
  });
  files.set('report.html', report);
  return files;
}
