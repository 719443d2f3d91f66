import { existsSync } from 'node:fs';
import { join, relative } from 'node:path';
import type { Study } from '../../capture/recording.ts';
import { DataError } from '../../errors.ts';
import {
  earlierResultStays,
  nothingToMerge,
  recordingMissing,
  recordingsUnchanged,
  recordingUnforeseen,
  studyInterrupted,
} from '../../messages/study-run.ts';
import { noRecordingAnalysed, recordingNotAnalysed } from '../../messages.ts';
import { fullTurn } from '../hold-interrupt.ts';
import { type Progress, progressOn } from '../progress.ts';
import { type CohortSteps, writeCohort } from './cohort-outputs.ts';
import type { ThereLift } from './complete-lifts.ts';
import { readReportState } from './completion.ts';
import { type Disk, realDisk } from './disk.ts';
import { onInterrupt } from './interrupt.ts';
import { doJob, type Job, type JobStopped, type Outcome } from './jobs.ts';
import { reportKey } from './lift-key.ts';
import type { LiftOptions } from './lift-options.ts';
import { takeLock } from './lock.ts';
import { refuseOverwriting } from './overwriting.ts';
import { COHORT_STATE, COMPLETION, recordingFolder, TABLES_STATE } from './places.ts';
import { nameInStudy, type PlannedLift, partOf, plannedLifts, previousOf } from './planned-lifts.ts';
import { alone, processes, type Workers } from './pool.ts';
import { forgetState, publishLift, publishReport } from './publish.ts';
import { publishFailure } from './publish-failure.ts';
import { inStudy, type LiftState, stateAfter, stateOf } from './study-state.ts';
import { INDEX, writeStudyTables } from './study-tables.ts';
import { stepsWithTimeLeft } from './time-left.ts';

export interface StudyRun extends CohortSteps {
  readonly study: Study;
  readonly options: LiftOptions;
  /** Folder of the study. */
  readonly out: string;
  /** 1: this process alone. */
  readonly workers: number;
  /** Everything is analysed, whatever is there. */
  readonly fresh: boolean;
  /** Results of another study in the folder give way. */
  readonly takesOver: boolean;
  /** Only these recordings, and no tables. */
  readonly part?: { readonly part: number; readonly of: number };
  /** Only tables and reports, of what is there. */
  readonly merge?: boolean;
  /** False: what only going on needs is taken away at the end. */
  readonly resumable: boolean;
  readonly quiet: boolean;
}

/** What is exchanged for a test. */
export interface RunMeans {
  readonly disk: Disk;
  /** Does a job in this process. */
  readonly work: typeof doJob;
}

export interface RunResult {
  /** By id. */
  readonly lifts: readonly ThereLift[];
  readonly analysed: number;
  readonly unchanged: number;
  readonly failed: number;
  readonly missing: number;
  readonly total: number;
}

/**
 * Analyses what of a study is not there yet, then writes reports, tables and index. Pure in its files: killed at any instant,
 * called again it goes on, and ends with the same bytes, whatever the number of workers, parts and calls.
 *
 * Two passes, since a report draws the lifter's previous lift: first every recording by itself, then the reports that
 * hold another previous lift than the one there is now.
 */
export async function runStudy(
  run: StudyRun,
  { disk, work }: RunMeans = { disk: realDisk, work: doJob },
): Promise<RunResult> {
  const { study, options, out } = run;
  const all = plannedLifts(study, options);
  const lifts = run.part ? partOf(all, run.part.part, run.part.of) : all;
  refuseOverwriting({ study, options, out, lifts, takesOver: run.takesOver });
  const lock = takeLock(disk, out, run.part?.part ?? null, run.part?.of ?? null);
  const progress = progressOn(process.stderr, run.quiet);
  const setting = { study, options, out };
  const workers = run.workers === 1 ? alone(setting, progress, work) : processes(run.workers, setting);
  const letGo = onInterrupt(() => {
    progress.end();
    process.stderr.write(`${studyInterrupted()}\n`);
    workers.stop();
    lock.release();
  });
  try {
    const pass: Pass = { run, disk, workers, progress, work: lock.work };
    const states = new Map<string, LiftState>();
    for (const lift of lifts) {
      states.set(lift.recording.id, run.fresh ? OPEN : stateOf(out, lift, study, options));
      await fullTurn();
    }
    const open = lifts.filter(({ recording }) => states.get(recording.id)!.state === 'open');
    if (!run.fresh && !run.quiet && open.length < lifts.length) {
      process.stderr.write(`${recordingsUnchanged(lifts.length - open.length, lifts.length)}\n`);
    }
    const unforeseen = run.merge ? new Map<string, string>() : await analyse(pass, open);
    return await finish(pass, lifts, states, open, unforeseen);
  } finally {
    letGo();
    workers.stop();
    lock.release();
    if (!run.resumable)
      forgetState(
        disk,
        out,
        lifts.map(({ recording }) => recording.id),
      );
  }
}

const OPEN: LiftState = { state: 'open', changed: null };

interface Pass {
  readonly run: StudyRun;
  readonly disk: Disk;
  readonly workers: Workers;
  readonly progress: Progress;
  readonly work: string;
}

/** First pass. Returns the recordings that no result is kept of, with what the tables say of them. */
async function analyse(
  { run, disk, workers, progress, work }: Pass,
  open: readonly PlannedLift[],
): Promise<Map<string, string>> {
  const { study, out } = run;
  const unforeseen = new Map<string, string>();
  const jobs = open.map((lift, i): Job => ({ kind: 'lift', lift, work: join(work, String(i)) }));
  const steps = stepsWithTimeLeft(progress, jobs.length);
  const say = (message: string) => {
    progress.end();
    process.stderr.write(`${recordingNotAnalysed(message)}\n`);
  };
  await workers.run(
    jobs,
    (job, index) => steps.begun(index, job.kind === 'lift' ? relative('.', job.lift.file) : ''),
    (job, outcome) => {
      steps.done();
      if (job.kind !== 'lift') return;
      const { id } = job.lift.recording;
      if (outcome.state === 'done') {
        publishLift(disk, out, id, job.work, outcome.names);
      } else if (outcome.state === 'refused') {
        say(outcome.message);
        const { key, code, message } = outcome;
        const failure = { key, code, message, inStudy: inStudy(message, study) };
        if (publishFailure(disk, out, id, work, failure)) say(earlierResultStays(recordingFolder(out, id)));
      } else {
        const message = saidOf(outcome, job.lift.file);
        say(message);
        unforeseen.set(id, inStudy(message, study));
      }
    },
  );
  progress.end();
  return unforeseen;
}

/** What is told of a job without a result; what is no matter of one recording is thrown. */
function saidOf(outcome: Outcome, file: string): string {
  const { code, message, facts, stack } = outcome as JobStopped;
  if (code === 'output-not-writable') throw new DataError(code, message, facts);
  if (code !== null) return message;
  if (process.env.KNEEWARD_DEBUG) process.stderr.write(`${stack}\n`);
  return recordingUnforeseen(file, message);
}

/** Second pass, tables and index. */
async function finish(
  pass: Pass,
  lifts: readonly PlannedLift[],
  states: ReadonlyMap<string, LiftState>,
  open: readonly PlannedLift[],
  unforeseen: ReadonlyMap<string, string>,
): Promise<RunResult> {
  const { run, disk, work } = pass;
  const { study, out, part, merge } = run;
  const opened = new Set(open.map(({ recording }) => recording.id));
  const there: ThereLift[] = [];
  const failures: { recording: string; message: string }[] = [];
  let missing = 0;
  for (const lift of lifts) {
    const { id } = lift.recording;
    const now = opened.has(id) && !merge && !unforeseen.has(id) ? stateAfter(out, lift) : states.get(id)!;
    const recording = nameInStudy(study, lift.file);
    if (now.state === 'there') {
      there.push(now.lift);
    } else if (now.state === 'refused') {
      if (!opened.has(id)) process.stderr.write(`${recordingNotAnalysed(now.message)}\n`);
      failures.push({ recording, message: now.inStudy });
    } else if (merge) {
      missing++;
      process.stderr.write(`${recordingMissing(recording, now.changed)}\n`);
    } else {
      failures.push({ recording, message: unforeseen.get(id) ?? '' });
    }
  }
  there.sort((a, b) => (a.row.recordingId < b.row.recordingId ? -1 : 1));
  const analysed = there.filter(({ recording }) => opened.has(recording.id)).length;
  const result = {
    lifts: there,
    analysed,
    unchanged: there.length - analysed,
    failed: failures.length,
    missing,
    total: lifts.length,
  };
  if (part) return result;
  if (there.length === 0) {
    if (missing > 0) throw nothingToMerge(study.file, lifts.length);
    throw noRecordingAnalysed(study.file, lifts.length, existsSync(join(out, INDEX)) ? out : null);
  }
  try {
    await writeReports(pass, there);
    if (run.fresh) for (const state of [TABLES_STATE, COHORT_STATE]) disk.remove(join(out, state));
    await writeStudyTables(disk, out, work, { study, lifts: there, failures });
  } catch (error) {
    // Said to be computed anew by the next call: so it is.
    if (error instanceof DataError && error.code === 'kept-result-damaged') {
      disk.remove(join(recordingFolder(out, String(error.facts.recording)), COMPLETION));
    }
    throw error;
  }
  await writeCohort(disk, work, { study, lifts: there, failures, out }, run);
  return result;
}

/** Writes the reports whose previous lift is not the one they hold. */
async function writeReports({ run, disk, workers, work }: Pass, there: readonly ThereLift[]): Promise<void> {
  const { out } = run;
  const byId = new Map(there.map((lift) => [lift.recording.id, lift]));
  const keys = new Map<string, string>();
  const previous = previousOf(there.map(({ recording }) => recording));
  const jobs: Job[] = [];
  for (const { recording, key } of there) {
    const before = previous.get(recording.id) ?? null;
    const wanted = reportKey(key, before && { id: before.id, key: byId.get(before.id)!.key });
    if (readReportState(out, recording.id)?.key === wanted) continue;
    keys.set(recording.id, wanted);
    jobs.push({ kind: 'report', recording, previous: before, work: join(work, `report-${jobs.length}`) });
  }
  await workers.run(
    jobs,
    () => {},
    (job, outcome) => {
      if (job.kind !== 'report') return;
      if (outcome.state !== 'reported') throw faultOf(outcome as JobStopped);
      publishReport(disk, out, job.recording.id, job.work, keys.get(job.recording.id)!);
    },
  );
}

function faultOf({ code, message, facts, stack }: JobStopped): Error {
  if (code !== null) return new DataError(code, message, facts);
  return Object.assign(new Error(message), { stack });
}
