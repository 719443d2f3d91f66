import { existsSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { readCompletion } from '../../../src/cli/study/completion.ts';
import { type Appending, type Disk, realDisk } from '../../../src/cli/study/disk.ts';
import { digestOf } from '../../../src/cli/study/input-files.ts';
import type { StudyRun } from '../../../src/cli/study/run-study.ts';
import { studyFigures } from '../../../src/cli/study/study-figures.ts';
import { madeRecordings, resultsIn, runMade, writeMadeStudy } from './made-lifts.ts';

/** Files of the folder of a study that lead from one call to the next. */
const KEPT = new Set(['tables.json', 'cohort.json']);

/**
 * Comparison and figures of the whole study. The figure is a made one that tells its tables: drawing takes longer than all
 * the rest, and what matters is that it is of these tables.
 */
const COHORT: Pick<StudyRun, 'comparison' | 'figures'> = {
  comparison: async ({ lifts }, folder) => {
    folder.put(new Map([['cohort-made.csv', lifts.map(({ key }) => `${key}\n`).join('')]]));
  },
  figures: async (written, folder) => {
    await studyFigures(written, false, folder);
    const tables = readFileSync(join(written.out, 'cohort-made.csv'), 'utf8');
    folder.put(new Map([['figures/made.svg', `<svg>${digestOf(tables)}</svg>`]]));
  },
};

export class PowerFailure extends Error {}

/** A disk on which nothing happens any more from the change after the `last`-th on; also counts. */
export function failingAfter(last: number): { readonly disk: Disk; changes(): number } {
  let changes = 0;
  const change = <T>(act: () => T): T => {
    if (changes >= last) throw new PowerFailure();
    changes++;
    return act();
  };
  const appending = (sink: Appending): Appending => ({
    append: (content) => change(() => sink.append(content)),
    close: () => sink.close(),
  });
  return {
    disk: {
      makeFolder: (path) => change(() => realDisk.makeFolder(path)),
      write: (path, content) => change(() => realDisk.write(path, content)),
      rename: (from, to) => change(() => realDisk.rename(from, to)),
      remove: (path) => change(() => realDisk.remove(path)),
      open: (path) => change(() => appending(realDisk.open(path))),
    },
    changes: () => changes,
  };
}

export interface CrashResult {
  /** Changes that an undisturbed run makes to its folder. */
  readonly changes: number;
  readonly instants: number;
  /** What was not as it must be. */
  readonly faults: readonly string[];
}

/**
 * Lets the power fail before the k-th change of a run for k = first, first + step, …, and runs it again: what the folder calls
 * complete must be whole, only the rest may be computed, and the end must be that of an undisturbed run.
 *
 * @param over the run goes over the results of other options
 */
export async function crashRuns(folder: string, over: boolean, first: number, step: number): Promise<CrashResult> {
  const recordings = madeRecordings(2);
  const file = writeMadeStudy(folder, recordings);
  const ids = recordings.map(({ id }) => id);
  const start = async (out: string) => {
    rmSync(out, { recursive: true, force: true });
    if (over) await runMade(file, out, { ...COHORT, options: { intervals: false, seed: 5 } });
  };
  const [out, clean] = [join(folder, 'out'), join(folder, 'clean')];
  await start(clean);
  const counting = failingAfter(Number.POSITIVE_INFINITY);
  await runMade(file, clean, COHORT, { disk: counting.disk });
  const wanted = resultsIn(clean);
  const faults: string[] = [];
  let instants = 0;
  for (let k = first; k < counting.changes(); k += step) {
    instants++;
    await start(out);
    await runMade(file, out, COHORT, { disk: failingAfter(k).disk }).then(
      () => faults.push(`${k}: the failure was not noticed`),
      (error) => {
        if (!(error instanceof PowerFailure)) throw error;
      },
    );
    forgetLocks(out);
    const { complete, damaged } = completeIn(out, ids);
    faults.push(...damaged.map((name) => `${k}: ${name} of a complete recording is not as it was written`));
    const { analysed } = await runMade(file, out, COHORT);
    if (!over && analysed !== ids.length - complete)
      faults.push(`${k}: ${analysed} analysed, ${complete} were complete`);
    const found = resultsIn(out);
    for (const name of new Set([...Object.keys(found), ...Object.keys(wanted)])) {
      if (found[name] !== wanted[name]) faults.push(`${k}: ${name} is not that of an undisturbed run`);
    }
    const left = readdirSync(join(out, '.study')).filter((name) => !KEPT.has(name) && !name.endsWith('.new'));
    if (left.length > 0) faults.push(`${k}: left behind: ${left.join(', ')}`);
  }
  return { changes: counting.changes(), instants, faults };
}

/** As after a kill: the process of the lock is gone. Here it is this one, and lives. */
export function forgetLocks(out: string): void {
  const folder = join(out, '.study');
  if (!existsSync(folder)) return;
  for (const name of readdirSync(folder)) if (name.startsWith('lock-')) rmSync(join(folder, name));
}

function completeIn(out: string, ids: readonly string[]): { readonly complete: number; readonly damaged: string[] } {
  const damaged: string[] = [];
  let complete = 0;
  for (const id of ids) {
    const record = readCompletion(out, id);
    if (record?.state !== 'complete') continue;
    complete++;
    for (const { name, sha256 } of record.files) {
      const path = join(out, 'recordings', id, name);
      if (!existsSync(path) || digestOf(readFileSync(path)) !== sha256) damaged.push(`${id}/${name}`);
    }
  }
  return { complete, damaged };
}
