import { dirname, join, relative } from 'node:path';
import { besideFile } from '../capture/input-file.ts';
import { loadStudy, manifestKind } from '../capture/load-study.ts';
import type { MomentAxes, MomentUnit, PointsKind, Recording, Smoothing, Study } from '../capture/recording.ts';
import { readRecordingFile } from '../capture/recording-file.ts';
import { DataError } from '../errors.ts';
import type { AcceptanceLimit } from '../lift/acceptance.ts';
import type { Grade } from '../lift/grade.ts';
import type { LiftRecord } from '../lift/lift-record.ts';
import {
  drawsWithoutIntervals,
  noRecordingAnalysed,
  recordingNotAnalysed,
  recordingsLeftOut,
  resultsWritten,
  rigIsNotARecording,
  unknownKindOfFile,
} from '../messages.ts';
import { loadParts } from '../report/across-loads.ts';
import { latestBefore, previousLift } from '../report/previous-lift.ts';
import { scenePayload } from '../report/scene-data.ts';
import { studyReportHtml } from '../report/study-report.ts';
import { loadChangesOf, loadChangesTable } from '../study/across-loads.ts';
import { comparisonsTable, type SetMean, setMeansOf } from '../study/comparisons.ts';
import { combineTables, csvOf } from '../study/csv.ts';
import { jsonText } from '../study/json-text.ts';
import { type Provenance, provenanceOf } from '../study/provenance.ts';
import type { QualityRecord } from '../study/quality-json.ts';
import { formatSummary, type SummaryRow, summaryRow } from '../study/summary.ts';
import { athletesTable, recordingsTable } from '../study/tables.ts';
import type { UncertaintyOptions } from '../uncertainty/lift-uncertainty.ts';
import type { ScenePayload } from '../web/scene/payload.ts';
import { analyseRecording, type Overrides } from './analyse-recording.ts';
import { fullTurn } from './hold-interrupt.ts';
import { gradeLimits, toolVersion } from './package-files.ts';
import { progressOn } from './progress.ts';
import { type LiftTables, liftFiles, liftTables, qualityOf } from './result-files.ts';
import { type UncertainAnalysis, withIntervals } from './with-intervals.ts';
import { writeFiles } from './write-files.ts';

export interface AnalyseOptions {
  /** A recording or a study file. */
  readonly file: string;
  /** Default: out/<id>. */
  readonly out?: string;
  readonly smoothing?: Smoothing;
  readonly points?: PointsKind;
  readonly momentAxes?: MomentAxes;
  readonly momentUnit?: MomentUnit;
  /** File of rules for findings, over those of the files. */
  readonly findings?: string;
  /** False: no intervals at all. */
  readonly intervals?: boolean;
  /** Joint draws; left out: intervals of first order. */
  readonly draws?: number;
  /** Over the seed of study or recording. */
  readonly seed?: number;
  /** True: lift.c3d beside the tables of each recording. */
  readonly c3d?: boolean;
  readonly quiet: boolean;
}

/** `kneeward analyse`: returns the exit code. The short table goes to stdout, everything else said to stderr. */
export async function analyse(options: AnalyseOptions): Promise<number> {
  const begun = performance.now();
  if (options.intervals === false && options.draws !== undefined) throw drawsWithoutIntervals();
  const kind = manifestKind(options.file);
  if (kind === null) throw unknownKindOfFile(options.file);
  if (kind === 'rig') throw rigIsNotARecording(options.file);
  const limits = gradeLimits();
  const { folder, page, rows, failed, total } =
    kind === 'recording' ? await analyseOne(options, limits) : await analyseStudy(options, limits);
  process.stdout.write(formatSummary(rows));
  process.stderr.write(`${resultsWritten(folder, page, (performance.now() - begun) / 1000)}\n`);
  if (failed > 0) process.stderr.write(`${recordingsLeftOut(failed, total)}\n`);
  return failed > 0 ? 1 : 0;
}

interface Analysed {
  readonly folder: string;
  readonly page: string;
  readonly rows: readonly SummaryRow[];
  readonly failed: number;
  readonly total: number;
}

async function analyseOne(options: AnalyseOptions, limits: readonly AcceptanceLimit[]): Promise<Analysed> {
  const progress = progressOn(process.stderr, options.quiet);
  const analysed = analyseRecording(options.file, undefined, limits, overridesOf(options));
  const wanted = uncertaintyOf(options, analysed.data.recording.settings.seed);
  const analysis = await withIntervals(analysed, wanted, progress);
  progress.end();
  const folder = options.out ?? join('out', analysis.record.recordingId);
  const from = provenance(analysis, options);
  writeFiles(folder, await liftFiles(analysis, liftTables(analysis), limits, from, null, options.c3d === true));
  return { folder, page: join(folder, 'report.html'), rows: [rowOf(analysis)], failed: 0, total: 1 };
}

/** What is kept of a recording of a study once its own folder is written. */
interface Kept {
  readonly recording: Recording;
  readonly grade: Grade | null;
  readonly tables: LiftTables;
  readonly row: SummaryRow;
  readonly quality: QualityRecord;
  readonly provenance: Provenance;
  /** Set means with what they depend on, for comparisons; empty without intervals. */
  readonly means: readonly SetMean[];
  /** What the change with the load is judged by. */
  readonly record: Pick<LiftRecord, 'measures' | 'repetitions'>;
  /** For a later lift, to draw this one pale beside it. */
  readonly scene: ScenePayload;
}

/** Analyses every recording; one that cannot be used is reported and does not stop the others. */
async function analyseStudy(options: AnalyseOptions, limits: readonly AcceptanceLimit[]): Promise<Analysed> {
  const study = loadStudy(options.file);
  const folder = options.out ?? join('out', study.id);
  const progress = progressOn(process.stderr, options.quiet);
  const kept: Kept[] = [];
  const failures: { recording: string; message: string }[] = [];
  for (const [index, file] of inOrderOfLifting(study).entries()) {
    progress.step(index, study.recordings.length, relative('.', file));
    try {
      const analysed = analyseRecording(file, study, limits, overridesOf(options));
      const analysis = await withIntervals(analysed, uncertaintyOf(options, study.seed), progress);
      const tables = liftTables(analysis);
      const from = provenance(analysis, options, study);
      const { recording } = analysis.data;
      const means = analysis.uncertainty ? setMeansOf(analysis.uncertainty) : [];
      const before = latestBefore(recording, kept);
      const previous = before && previousLift({ means }, before, `../${before.recording.id}/report.html`);
      writeFiles(
        join(folder, 'recordings', analysis.record.recordingId),
        await liftFiles(analysis, tables, limits, from, '../../index.html', options.c3d === true, previous),
      );
      kept.push({
        recording,
        grade: analysis.graded.grade,
        tables,
        row: rowOf(analysis),
        quality: qualityOf(analysis, limits),
        provenance: from,
        means,
        record: { measures: analysis.record.measures, repetitions: analysis.record.repetitions },
        scene: scenePayload(analysis.record, recording),
      });
      await fullTurn();
    } catch (error) {
      // A folder that cannot be written to is no fault of the recording, and fails the others too.
      if (!(error instanceof DataError) || error.code === 'output-not-writable') throw error;
      progress.end();
      process.stderr.write(`${recordingNotAnalysed(error.message)}\n`);
      failures.push({ recording: relative(dirname(study.file), file), message: error.message });
    }
  }
  progress.end();
  if (kept.length === 0) throw noRecordingAnalysed(options.file, study.recordings.length);
  kept.sort((a, b) => (a.row.recordingId < b.row.recordingId ? -1 : 1));
  writeFiles(folder, await studyFiles(study, kept, failures));
  return {
    folder,
    page: join(folder, 'index.html'),
    rows: kept.map(({ row }) => row),
    failed: failures.length,
    total: study.recordings.length,
  };
}

/** Recordings by date, then by id, so that a lift finds the lifter's earlier ones done; what cannot be read comes last, and says why there. */
function inOrderOfLifting({ recordings, settings }: Study): string[] {
  const places = recordings.map((file) => {
    try {
      const { date, id } = readRecordingFile(file, settings, null);
      return { file, place: `0 ${date ?? ''} ${id}` };
    } catch (error) {
      if (!(error instanceof DataError)) throw error;
      return { file, place: `1 ${file}` };
    }
  });
  return places.sort((a, b) => (a.place < b.place ? -1 : 1)).map(({ file }) => file);
}

async function studyFiles(
  study: Study,
  kept: readonly Kept[],
  failures: readonly { recording: string; message: string }[],
): Promise<ReadonlyMap<string, string>> {
  const files = new Map<string, string>();
  for (const name of [
    'frames.csv',
    'moments.csv',
    'moment-axes.csv',
    'curves.csv',
    'repetitions.csv',
    'measures.csv',
    'means.csv',
    'causes.csv',
    'residual.csv',
    'segment-tables.csv',
    'set-changes.csv',
    'findings.csv',
  ]) {
    files.set(name, csvOf(combineTables(kept.map(({ tables }) => tables.get(name)!))));
  }
  files.set('athletes.csv', csvOf(athletesTable(kept.map(({ recording }) => recording))));
  files.set('recordings.csv', csvOf(recordingsTable(kept)));
  const comparisons = comparisonsTable(kept);
  files.set('comparisons.csv', csvOf(comparisons));
  const loadChanges = loadChangesOf(kept);
  files.set('load-changes.csv', csvOf(loadChangesTable(loadChanges)));
  files.set('quality.json', jsonText({ study: study.id, recordings: kept.map(({ quality }) => quality), failures }));
  files.set('provenance.json', jsonText({ study: study.id, recordings: kept.map((one) => one.provenance) }));
  const index = studyReportHtml({
    id: study.id,
    title: study.title,
    synthetic: study.synthetic,
    toolVersion: toolVersion(),
    lifts: kept.map(({ row }) => ({ row, report: `recordings/${row.recordingId}/report.html` })),
    failures,
    comparisons,
    loads: await loadParts(loadChanges),
    files: [...files.keys()],
  });
  files.set('index.html', index);
  return files;
}

function provenance({ data, uncertainty }: UncertainAnalysis, options: AnalyseOptions, study?: Study): Provenance {
  const { recording, inputs } = data;
  return provenanceOf({
    toolVersion: toolVersion(),
    recordingId: recording.id,
    settings: recording.settings,
    seed: options.seed ?? study?.seed ?? recording.settings.seed,
    intervals: uncertainty && {
      mode: uncertainty.options.mode,
      draws: uncertainty.options.mode === 'draws' ? uncertainty.options.draws : 0,
      noise_draws: uncertainty.noiseDraws,
    },
    // The reader names them from the recording's own folder; a study names all of its from one place.
    inputs: inputs.map(({ file, sha256 }) => ({ file: besideFile(recording.file, file), sha256 })),
    folder: dirname(options.file),
  });
}

function rowOf({ record, graded, data, uncertainty }: UncertainAnalysis): SummaryRow {
  return summaryRow(record, graded.grade, data.recording, uncertainty ? setMeansOf(uncertainty) : []);
}

function overridesOf({ smoothing, points, momentAxes, momentUnit, findings }: AnalyseOptions): Overrides {
  return {
    ...(smoothing && { smoothing }),
    ...(points && { points }),
    ...(momentAxes && { momentAxes }),
    ...(momentUnit && { momentUnit }),
    ...(findings && { findings }),
  };
}

function uncertaintyOf({ intervals, draws, seed }: AnalyseOptions, fileSeed: number): UncertaintyOptions | null {
  if (intervals === false) return null;
  return { mode: draws === undefined ? 'linear' : 'draws', draws: draws ?? 0, seed: seed ?? fileSeed };
}
