import { DataError } from '../../errors.ts';
import type { Progress } from '../progress.ts';
import { type JobSetting, type LiftDone, type LiftJob, type LiftRefused, liftJob } from './lift-job.ts';
import { type ReportJob, reportJob } from './report-job.ts';

export type Job = LiftJob | ReportJob;

/** How a job ended that gave no result. Nothing of it is kept. */
export interface JobStopped {
  readonly state: 'stopped';
  /** Of a DataError; null for an error that no message foresaw. */
  readonly code: string | null;
  readonly message: string;
  readonly facts: Readonly<Record<string, string | number>>;
  readonly stack: string;
}

export type Outcome = LiftDone | LiftRefused | { readonly state: 'reported' } | JobStopped;

/** Does one job; never throws. */
export async function doJob(job: Job, setting: JobSetting, progress: Progress): Promise<Outcome> {
  try {
    return job.kind === 'lift' ? await liftJob(job, setting, progress) : reportJob(job, setting);
  } catch (error) {
    return stopped(error);
  }
}

export function stopped(error: unknown): JobStopped {
  if (error instanceof DataError) {
    const { code, message, facts, stack } = error;
    return { state: 'stopped', code, message, facts, stack: stack ?? '' };
  }
  const { message, stack } = error instanceof Error ? error : { message: String(error), stack: '' };
  return { state: 'stopped', code: null, message, facts: {}, stack: stack ?? '' };
}
