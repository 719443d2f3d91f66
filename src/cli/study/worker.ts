import type { Progress } from '../progress.ts';
import { doJob, type Job, type Outcome } from './jobs.ts';
import type { JobSetting } from './lift-job.ts';

/** From the run to a worker: first what all jobs share, then one job at a time. */
export type ToWorker = { readonly setting: JobSetting } | { readonly job: Job };
export type FromWorker = { readonly ready: true } | { readonly outcome: Outcome };

const SILENT: Progress = { step: () => {}, within: () => {}, end: () => {} };

/** Does the jobs that the process above sends, one after the other, until it is gone. */
export function serveJobs(): void {
  let setting: JobSetting | null = null;
  // Ctrl-C and the end of a cluster's job reach all processes: what becomes of the run is for the one above to say.
  for (const signal of ['SIGINT', 'SIGTERM'] as const) process.on(signal, () => {});
  process.on('disconnect', () => process.exit());
  process.on('message', async (message: ToWorker) => {
    if ('setting' in message) setting = message.setting;
    else if (setting) answer({ outcome: await doJob(message.job, setting, SILENT) });
  });
  answer({ ready: true });
}

function answer(message: FromWorker): void {
  if (process.connected) process.send!(message);
}
