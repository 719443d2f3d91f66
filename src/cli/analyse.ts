import { join } from 'node:path';
import { loadStudy, manifestKind } from '../capture/load-study.ts';
import { tidyOlder } from '../messages/tidy.ts';
import {
  drawsWithoutIntervals,
  recordingsLeftOut,
  resultsWritten,
  rigIsNotARecording,
  unknownKindOfFile,
} from '../messages.ts';
import { formatSummary, type SummaryRow } from '../study/summary.ts';
import { gradeLimits } from './package-files.ts';
import { progressOn } from './progress.ts';
import { liftFiles } from './result-files.ts';
import { analysedLift } from './study/analysed-lift.ts';
import { type LiftOptions, liftOptions } from './study/lift-options.ts';
import { refuseOverwritingAlone } from './study/overwriting.ts';
import { PROVENANCE } from './study/places.ts';
import { runStudy } from './study/run-study.ts';
import { COMPARISON_FILES } from './study/study-comparison.ts';
import { studyFigures } from './study/study-figures.ts';
import { INDEX } from './study/study-tables.ts';
import { olderFiles } from './tidy/older-files.ts';
import { writeFiles } from './write-files.ts';

export interface AnalyseOptions extends LiftOptions {
  /** A recording or a study file. */
  readonly file: string;
  /** Default: out/<id>. */
  readonly out?: string;
  readonly quiet: boolean;
}

/** `kneeward analyse`: returns the exit code. The short table goes to stdout, everything else said to stderr. */
export async function analyse(options: AnalyseOptions): Promise<number> {
  const begun = performance.now();
  if (options.intervals === false && options.draws !== undefined) throw drawsWithoutIntervals();
  const kind = manifestKind(options.file);
  if (kind === null) throw unknownKindOfFile(options.file);
  if (kind === 'rig') throw rigIsNotARecording(options.file);
  const { folder, page, rows, failed, total } =
    kind === 'recording' ? await analyseOne(options) : await analyseStudy(options);
  process.stdout.write(formatSummary(rows));
  process.stderr.write(`${resultsWritten(folder, page, (performance.now() - begun) / 1000)}\n`);
  for (const name of olderFiles(folder)) process.stderr.write(`${tidyOlder(join(folder, name))}\n`);
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

async function analyseOne(options: AnalyseOptions): Promise<Analysed> {
  const limits = gradeLimits();
  const progress = progressOn(process.stderr, options.quiet);
  const { analysis, tables, provenance, row } = await analysedLift(options.file, undefined, options, limits, progress);
  progress.end();
  const folder = options.out ?? join('out', analysis.record.recordingId);
  const files = await liftFiles(analysis, tables, limits, provenance, null, options.c3d === true);
  const { recording } = analysis.data;
  refuseOverwritingAlone(folder, recording, options.findings ?? recording.findings ?? null, [...files.keys()]);
  // First the one by which the rest is known to be Kneeward's, should the system end this half-way.
  writeFiles(folder, new Map([[PROVENANCE, files.get(PROVENANCE)!], ...files]));
  return { folder, page: join(folder, 'report.html'), rows: [row], failed: 0, total: 1 };
}

/** `kneeward study` in this process alone, from the start, without its comparison; nothing is kept to go on from. */
async function analyseStudy(options: AnalyseOptions): Promise<Analysed> {
  const study = loadStudy(options.file);
  for (const remark of study.remarks ?? []) process.stderr.write(`${remark}\n`);
  const out = options.out ?? join('out', study.id);
  const { lifts, failed, total } = await runStudy({
    study,
    options: liftOptions(options),
    out,
    workers: 1,
    fresh: true,
    takesOver: false,
    resumable: false,
    quiet: options.quiet,
    // Tables of a comparison that kneeward study made would pass for one of these results.
    comparison: async (_, folder) => {
      for (const name of COMPARISON_FILES) folder.drop(name);
    },
    figures: (written, folder) => studyFigures(written, false, folder),
  });
  return { folder: out, page: join(out, INDEX), rows: lifts.map(({ row }) => row), failed, total };
}
