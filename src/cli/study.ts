import { availableParallelism } from 'node:os';
import { join } from 'node:path';
import { type Command, InvalidArgumentError } from 'commander';
import { loadStudy, manifestKind } from '../capture/load-study.ts';
import {
  mergeNotFresh,
  noRecordingInPart,
  partBeyond,
  partDone,
  partNeedsBoth,
  partOrMerge,
  recordingsMissing,
  studyNeeded,
} from '../messages/study-run.ts';
import { tidyOlder } from '../messages/tidy.ts';
import { drawsWithoutIntervals, recordingsLeftOut, resultsWritten } from '../messages.ts';
import { checkedComparison } from '../study/cohort/checked-comparison.ts';
import { formatSummary } from '../study/summary.ts';
import { withAnalysisOptions } from './analysis-options.ts';
import { placeOption } from './place-option.ts';
import { type LiftOptions, liftOptions } from './study/lift-options.ts';
import { runStudy } from './study/run-study.ts';
import { studyComparison } from './study/study-comparison.ts';
import { studyFigures } from './study/study-figures.ts';
import { INDEX } from './study/study-tables.ts';
import { olderFiles } from './tidy/older-files.ts';

export interface StudyOptions extends LiftOptions {
  readonly file: string;
  /** Default: out/<id>. */
  readonly out?: string;
  /** Default: as many as the machine can run side by side. */
  readonly workers?: number;
  readonly part?: number;
  readonly of?: number;
  readonly merge: boolean;
  readonly fresh: boolean;
  readonly quiet: boolean;
}

export function registerStudy(program: Command, exitWith: (code: number) => void): void {
  withAnalysisOptions(
    program
      .command('study')
      .description('Analyses a whole study over all cores; goes on where it was stopped; part by part on a cluster.')
      .argument('<file>', 'study.yaml (JSON too)')
      .option('--out <dir>', 'output folder (default: out/<id of the study>)', placeOption)
      .option('--workers <n>', 'processes side by side (default: one a core)', countOption)
      .option('--part <k>', 'analyse only the k-th of --of parts, and write no tables of the study', countOption)
      .option('--of <n>', 'into how many parts the recordings are split', countOption)
      .option('--merge', 'analyse nothing: make reports and tables of the parts that are there', false)
      .option('--fresh', 'analyse every recording again, also where nothing changed', false),
  )
    .addHelpText(
      'after',
      '\nExamples:\n  kneeward study datasets/demo-study/study.yaml --out out/demo' +
        '\n  kneeward study lab/study.yaml --out out/lab --workers 4' +
        '\n  kneeward study lab/study.yaml --out out/lab --part 3 --of 8      (docs/cluster.md)' +
        '\n  kneeward study lab/study.yaml --out out/lab --merge' +
        '\n\nExit code: 0 done, 1 bad data (some recording failed or is missing), 2 bad usage.',
    )
    .action(async (file: string, options) => exitWith(await study({ file, ...options, smoothing: options.cutoffHz })));
}

function countOption(text: string): number {
  const count = Number(text);
  if (!/^\d+$/.test(text) || count < 1 || count > 1_000_000) {
    throw new InvalidArgumentError('Write a whole number from 1, for instance 4.');
  }
  return count;
}

/** `kneeward study`: returns the exit code. */
export async function study(options: StudyOptions): Promise<number> {
  const begun = performance.now();
  const part = partWanted(options);
  if (options.intervals === false && options.draws !== undefined) throw drawsWithoutIntervals();
  if (manifestKind(options.file) !== 'study') throw studyNeeded(options.file);
  const of = loadStudy(options.file);
  // A name that is not known is said before the hours, not after them.
  checkedComparison(of);
  const say = (text: string) => process.stderr.write(`${text}\n`);
  for (const remark of of.remarks ?? []) say(remark);
  const out = options.out ?? join('out', of.id);
  const { fresh, merge, quiet } = options;
  const result = await runStudy({
    study: of,
    options: liftOptions(options),
    out,
    workers: options.workers ?? availableParallelism(),
    fresh,
    takesOver: fresh,
    merge,
    quiet,
    ...(part && { part }),
    resumable: true,
    comparison: studyComparison,
    figures: (written, folder) => studyFigures(written, true, folder),
  });
  const { lifts, analysed, unchanged, failed, missing, total } = result;
  if (lifts.length > 0) process.stdout.write(formatSummary(lifts.map(({ row }) => row)));
  if (part && total === 0) say(noRecordingInPart(part.part, part.of, of.recordings.length));
  else if (part) say(partDone(part.part, part.of, analysed, unchanged, failed));
  else {
    say(resultsWritten(out, join(out, INDEX), (performance.now() - begun) / 1000));
    for (const name of olderFiles(out)) say(tidyOlder(join(out, name)));
  }
  if (failed > 0) say(recordingsLeftOut(failed, total));
  if (missing > 0) say(recordingsMissing(missing, total));
  return failed + missing > 0 ? 1 : 0;
}

function partWanted({ part, of, merge, fresh }: StudyOptions): { readonly part: number; readonly of: number } | null {
  if ((part === undefined) !== (of === undefined)) throw partNeedsBoth();
  if (merge && part !== undefined) throw partOrMerge();
  if (merge && fresh) throw mergeNotFresh();
  if (part === undefined || of === undefined) return null;
  if (part > of) throw partBeyond(part, of);
  return { part, of };
}
