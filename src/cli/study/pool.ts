import { type ChildProcess, fork } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { processEnded } from '../../messages/study-run.ts';
import { fullTurn } from '../hold-interrupt.ts';
import type { Progress } from '../progress.ts';
import { doJob, type Job, type Outcome, stopped } from './jobs.ts';
import type { JobSetting } from './lift-job.ts';
import type { FromWorker, ToWorker } from './worker.ts';

/** Who does the jobs of a run. */
export interface Workers {
  /**
   * Does all jobs, begun in their order. `begun` and `done` are called in this process, one at a time; what `done` throws
   * ends the run once no job is under way.
   */
  run(
    jobs: readonly Job[],
    begun: (job: Job, index: number) => void,
    done: (job: Job, outcome: Outcome) => void,
  ): Promise<void>;
  /** At once, in the middle of whatever they do. */
  stop(): void;
}

/** This process itself does the jobs. */
export function alone(setting: JobSetting, progress: Progress, work: typeof doJob = doJob): Workers {
  return {
    async run(jobs, begun, done) {
      for (const [index, job] of jobs.entries()) {
        begun(job, index);
        done(job, await work(job, setting, progress));
        await fullTurn();
      }
    },
    stop: () => {},
  };
}

const WORKER = fileURLToPath(new URL('./worker.mjs', import.meta.url));

/**
 * Processes of their own, up to `count`, started when there is work for them. One that ends in the middle of a job (memory,
 * a kill) costs that job alone: another takes its place.
 */
export function processes(count: number, setting: JobSetting): Workers {
  const idle: ChildProcess[] = [];
  const all = new Set<ChildProcess>();

  const start = (): Promise<ChildProcess> => {
    const child = fork(WORKER, [], {
      execArgv: [],
      serialization: 'advanced',
      stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
    });
    all.add(child);
    child.once('exit', () => all.delete(child));
    // What cannot be sent to it shows by its end.
    child.on('error', () => {});
    return new Promise((resolve, reject) => {
      child.once('message', () => {
        tell(child, { setting });
        resolve(child);
      });
      child.once('error', reject);
      child.once('exit', (code, signal) => reject(new Error(`a worker ended before it began: ${signal ?? code}`)));
    });
  };

  const nextIdle = (): ChildProcess | null => {
    for (let child = idle.pop(); child; child = idle.pop()) if (all.has(child) && child.connected) return child;
    return null;
  };

  const doIn = (child: ChildProcess, job: Job): Promise<{ readonly outcome: Outcome; readonly alive: boolean }> =>
    new Promise((resolve) => {
      const ended = (code: number | null, signal: string | null) => {
        const how = signal ?? `exit code ${code}`;
        resolve({ outcome: stopped(processEnded(fileOf(job), how)), alive: false });
      };
      child.once('exit', ended);
      child.once('message', (message: FromWorker) => {
        child.off('exit', ended);
        if ('outcome' in message) resolve({ outcome: message.outcome, alive: true });
      });
      tell(child, { job });
    });

  return {
    async run(jobs, begun, done) {
      let next = 0;
      let fault: unknown = null;
      const lane = async () => {
        while (next < jobs.length && fault === null) {
          const index = next++;
          const job = jobs[index];
          try {
            begun(job, index);
            const child = nextIdle() ?? (await start());
            const { outcome, alive } = await doIn(child, job);
            if (alive) idle.push(child);
            if (fault === null) done(job, outcome);
          } catch (error) {
            fault ??= error;
          }
        }
      };
      await Promise.all(Array.from({ length: Math.min(count, jobs.length) }, lane));
      if (fault !== null) throw fault;
    },
    stop: () => {
      for (const child of all) child.kill('SIGKILL');
    },
  };
}

/** A worker that is gone by now is noticed where its end is waited for. */
function tell(child: ChildProcess, message: ToWorker): void {
  child.send(message, () => {});
}

const fileOf = (job: Job): string => (job.kind === 'lift' ? job.lift.file : job.recording.file);
