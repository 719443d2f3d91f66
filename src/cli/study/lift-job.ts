import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import type { Study } from '../../capture/recording.ts';
import { DataError } from '../../errors.ts';
import { inputChangedMeanwhile } from '../../messages/study-run.ts';
import { outputNotWritable } from '../../messages.ts';
import { scenePayload } from '../../report/scene-data.ts';
import { keptCurvesOf } from '../../study/cohort/kept-curves.ts';
import type { ScenePayload } from '../../web/scene/payload.ts';
import { gradeLimits } from '../package-files.ts';
import type { Progress } from '../progress.ts';
import { liftFiles } from '../result-files.ts';
import { analysedLift } from './analysed-lift.ts';
import { type CompleteLift, completionText, type ReportState, type WrittenFile } from './completion.ts';
import { exactText } from './exact-json.ts';
import { digestOf } from './input-files.ts';
import { type KeptLift, packed } from './kept-lift.ts';
import { type Ingredients, ingredientsOf, keyOf, reportKey } from './lift-key.ts';
import type { LiftOptions } from './lift-options.ts';
import { COMPLETION, KEPT, REPORT, REPORT_STATE, SCENE } from './places.ts';
import type { PlannedLift } from './planned-lifts.ts';

/** What every job of a run shares. */
export interface JobSetting {
  readonly study: Study;
  readonly options: LiftOptions;
  /** Folder of the study. */
  readonly out: string;
}

export interface LiftJob {
  readonly kind: 'lift';
  readonly lift: PlannedLift;
  /** Folder for its files; made by the job. */
  readonly work: string;
}

export interface LiftDone {
  readonly state: 'done';
  /** Names of the files in the work folder, all but the completion record. */
  readonly names: readonly string[];
}

/** The files of the recording cannot be used: a result too, and kept as one. */
export interface LiftRefused {
  readonly state: 'refused';
  readonly code: string;
  readonly message: string;
  readonly key: string;
}

/**
 * Analyses one recording into its work folder: every file of the result, the report without a previous lift, what later stages
 * need, and the completion record.
 */
export async function liftJob(
  { lift, work }: LiftJob,
  { study, options }: JobSetting,
  progress: Progress,
): Promise<LiftDone | LiftRefused> {
  const of = ingredientsOf(lift, study, options);
  const key = keyOf(of);
  try {
    const limits = gradeLimits();
    const analysed = await analysedLift(lift.file, study, options, limits, progress);
    const { analysis, tables, provenance, means, row } = analysed;
    const { record, data, graded } = analysis;
    if (!readAsStated(of, data.inputs)) throw inputChangedMeanwhile(lift.file);
    return writeLift(work, {
      of,
      key,
      grade: graded.grade,
      row,
      files: await liftFiles(analysis, tables, limits, provenance, '../../index.html', options.c3d === true),
      kept: {
        means,
        record: { measures: record.measures, repetitions: record.repetitions },
        curves: keptCurvesOf(record, analysis.uncertainty),
      },
      scene: scenePayload(record, data.recording),
    });
  } catch (error) {
    if (!(error instanceof DataError) || !lastsUntilInputChanges(error)) throw error;
    return { state: 'refused', code: error.code, message: error.message, key };
  }
}

/** What was read for the analysis is what the key was made of: no file was changed in between. */
function readAsStated({ provenance }: Ingredients, read: readonly { readonly sha256: string }[]): boolean {
  const stated = new Set(provenance.inputs.map(({ sha256 }) => sha256));
  return read.every(({ sha256 }) => stated.has(sha256));
}

/** A folder that cannot be written to is no fault of the recording; neither is a file that somebody was writing. */
const lastsUntilInputChanges = ({ code }: DataError): boolean =>
  code !== 'output-not-writable' && code !== 'input-changed-meanwhile';

/** A lift that is analysed and not yet on disk. */
export interface FinishedLift extends Pick<CompleteLift, 'of' | 'key' | 'grade' | 'row'> {
  /** Result by name inside the folder, with a report that holds no previous lift. */
  readonly files: ReadonlyMap<string, string | Uint8Array>;
  readonly kept: KeptLift;
  readonly scene: ScenePayload;
}

/** Writes the whole of it into a work folder, with the record that will say that it is complete. */
export function writeLift(work: string, { of, key, grade, row, files, kept, scene }: FinishedLift): LiftDone {
  const all = new Map([...files, [KEPT, packed(kept)], [SCENE, packed(scene)]]);
  const written = [...all]
    .filter(([name]) => name !== REPORT)
    .map(([name, content]): WrittenFile => ({ name, size: Buffer.byteLength(content), sha256: digestOf(content) }));
  const report: ReportState = { key: reportKey(key, null), sizes: [Buffer.byteLength(all.get(REPORT)!)] };
  all.set(REPORT_STATE, exactText(report));
  const names = [...all.keys()];
  all.set(COMPLETION, completionText({ state: 'complete', key, of, files: written, grade, row }));
  writeInto(work, all);
  return { state: 'done', names };
}

/** Into a new folder; the one above it must be there: where it was cleared away, the run is over. */
export function writeInto(work: string, files: ReadonlyMap<string, string | Uint8Array>): void {
  try {
    mkdirSync(work);
    for (const folder of new Set([...files.keys()].map((name) => dirname(name)))) {
      mkdirSync(join(work, folder), { recursive: true });
    }
    for (const [name, content] of files) writeFileSync(join(work, name), content);
  } catch (error) {
    const { code, path, syscall } = error as NodeJS.ErrnoException;
    throw syscall === undefined ? error : outputNotWritable(work, code ?? '', path ?? work);
  }
}
