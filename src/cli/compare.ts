import { realpathSync } from 'node:fs';
import { dirname } from 'node:path';
import { type Command, InvalidArgumentError } from 'commander';
import { besideFile } from '../capture/input-file.ts';
import { loadStudy, manifestKind } from '../capture/load-study.ts';
import { nearestName } from '../capture/nearest-name.ts';
import type { Study } from '../capture/recording.ts';
import { readRecordingFile } from '../capture/recording-file.ts';
import {
  compareCautions,
  comparedInto,
  comparedWithItself,
  drawsWithoutIntervals,
  notInStudy,
  rigIsNotARecording,
  secondLiftMissing,
  studyIsNoLift,
  unknownKindOfFile,
} from '../messages.ts';
import { hashSeed } from '../numerics/random.ts';
import { compareFigureFiles, compareFigures } from '../report/compare-figures.ts';
import { comparePage } from '../report/compare-page.ts';
import { formatComparison } from '../report/compare-rows.ts';
import { compareLifts, type LiftComparison } from '../study/compare/compare-lifts.ts';
import { type ComparedLift, checkRepetition } from '../study/compare/compared-lift.ts';
import { cautionsOf, sameRig } from '../study/compare/conditions.ts';
import { curveDifferencesTable, measureDifferencesTable } from '../study/compare/difference-tables.ts';
import { csvOf } from '../study/csv.ts';
import { jsonText } from '../study/json-text.ts';
import { type Provenance, provenanceOf } from '../study/provenance.ts';
import type { LiftUncertainty, UncertaintyOptions } from '../uncertainty/lift-uncertainty.ts';
import { type Analysis, analyseRecording } from './analyse-recording.ts';
import { drawsOption, seedOption } from './draws-option.ts';
import { gradeLimits, toolVersion } from './package-files.ts';
import { placeOption } from './place-option.ts';
import { progressOn } from './progress.ts';
import { withIntervals } from './with-intervals.ts';
import { writeFiles } from './write-files.ts';

interface CompareOptions {
  readonly study?: string;
  readonly repetitionA?: number;
  readonly repetitionB?: number;
  readonly out: string;
  readonly intervals: boolean;
  readonly draws?: number;
  readonly seed?: number;
  readonly quiet: boolean;
}

/** Hooks `compare` onto the command line. */
export function registerCompare(program: Command): void {
  program
    .command('compare')
    .description(
      'Two lifts, or two repetitions, aligned by depth and not by time: curves and measures as B less A, each different or cannot tell.',
    )
    .argument('<a>', 'recording.yaml, or with --study the id of a recording')
    .argument('[b]', 'the same of the second lift; left out: another repetition of the first')
    .option('--study <file>', 'study.yaml that has both: A and B are then ids of its recordings')
    .option('--repetition-a <n>', 'repetition of A (default: mean over the full ones)', repetitionOption)
    .option('--repetition-b <n>', 'repetition of B (default: mean over the full ones)', repetitionOption)
    .option('--out <dir>', 'output folder', placeOption, 'out/compare')
    .option('--draws <n>', 'intervals from N joint draws of all causes of error (default: of first order)', drawsOption)
    .option('--seed <s>', 'seed of the draws, over that of the files; equal seeds give equal results', seedOption)
    .option('--no-intervals', 'no intervals, so nothing is judged: several times as fast')
    .option('--quiet', 'no progress', false)
    .addHelpText(
      'after',
      '\nExamples:\n  kneeward compare lifts/monday.yaml lifts/friday.yaml --out out/monday-friday' +
        '\n  kneeward compare lifts/monday.yaml --repetition-a 1 --repetition-b 3' +
        '\n  kneeward compare --study datasets/demo-study/study.yaml A01-knees-flat A01-knees-raised' +
        '\n\nEvery difference is B less A. Repetitions are numbered as in repetitions.csv.' +
        '\nExit code: 0 done, 1 bad data, 2 bad usage.',
    )
    .action((a: string, b: string | undefined, options: CompareOptions) => compare(a, b, options));
}

/** `--repetition-a`: a whole number from 1. */
function repetitionOption(text: string): number {
  const number = Number(text);
  if (text.trim() === '' || !Number.isSafeInteger(number) || number < 1) {
    throw new InvalidArgumentError('Write a whole number from 1, as in repetitions.csv.');
  }
  return number;
}

/** `kneeward compare`. The sentence and the coach's table go to stdout, everything else said to stderr. */
async function compare(a: string, b: string | undefined, options: CompareOptions): Promise<void> {
  const begun = performance.now();
  const { repetitionA = null, repetitionB = null } = options;
  if (!options.intervals && options.draws !== undefined) throw drawsWithoutIntervals();
  if (b === undefined && (repetitionA === null || repetitionB === null)) throw secondLiftMissing();
  const study = options.study === undefined ? undefined : loadStudy(options.study);
  const [fileA, fileB] = [a, b ?? a].map((named) => recordingFile(named, study));
  const sameFile = realpathSync(fileA) === realpathSync(fileB);
  if (sameFile && repetitionA === repetitionB)
    throw comparedWithItself(repetitionA === null ? a : `${a}, repetition ${repetitionA}`);
  const progress = progressOn(process.stderr, options.quiet);
  progress.step(0, 2, a);
  const analysedA = analyseRecording(fileA, study, gradeLimits());
  const analysedB = sameFile ? analysedA : analyseRecording(fileB, study, gradeLimits());
  const sources = sourcesOf(analysedA, analysedB);
  const sideA: ComparedLift = sideOf(analysedA, repetitionA, sources.a);
  const sideB: ComparedLift = sideOf(analysedB, repetitionB, sources.b);
  // Before the long work: is the repetition there?
  checkRepetition(sideA, 'a');
  checkRepetition(sideB, 'b');
  const wanted = uncertaintyOf(options, study, analysedA, analysedB);
  const doubtA = await withIntervals(drawnAs(analysedA, sources.a), wanted, progress);
  progress.step(1, 2, b ?? a);
  const doubtB =
    sources.a === sources.b ? doubtA : await withIntervals(drawnAs(analysedB, sources.b), wanted, progress);
  progress.end();
  const comparison = compareLifts(
    { ...sideA, record: doubtA.record, uncertainty: doubtA.uncertainty },
    { ...sideB, record: doubtB.record, uncertainty: doubtB.uncertainty },
  );
  writeFiles(
    options.out,
    await compareFiles(comparison, {
      kneeward: 1,
      kind: 'comparison',
      difference: 'B less A',
      a: { repetition: repetitionA, ...provenance(analysedA, doubtA.uncertainty, wanted, options.study ?? fileA) },
      b: { repetition: repetitionB, ...provenance(analysedB, doubtB.uncertainty, wanted, options.study ?? fileB) },
    }),
  );
  process.stdout.write(formatComparison(comparison));
  if (sideA.recording.synthetic || sideB.recording.synthetic) process.stderr.write(`${compareCautions.synthetic()}\n`);
  for (const caution of cautionsOf(comparison.a, comparison.b, sameRig(comparison.a, comparison.b)))
    process.stderr.write(`${caution}\n`);
  process.stderr.write(`${comparedInto(options.out, (performance.now() - begun) / 1000)}\n`);
}

/** The file of a recording that the command line names, by path or by its id in a study. */
function recordingFile(named: string, study: Study | undefined): string {
  if (study) {
    const byId = new Map(study.recordings.map((file) => [readRecordingFile(file, study.settings, null).id, file]));
    const file = byId.get(named);
    if (file === undefined) throw notInStudy(study.file, named, [...byId.keys()], nearestName(named, [...byId.keys()]));
    return file;
  }
  const kind = manifestKind(named);
  if (kind === null) throw unknownKindOfFile(named);
  if (kind === 'rig') throw rigIsNotARecording(named);
  if (kind === 'study') throw studyIsNoLift(named);
  return named;
}

const sideOf = ({ data, record }: Analysis, repetition: number | null, source: string): ComparedLift => ({
  recording: data.recording,
  record,
  uncertainty: null,
  repetition,
  source,
});

/**
 * What was filmed, by id: equal where both sides are one recording (or a copy of it), and never equal otherwise. Two recordings
 * of one id, as set after set may have in folders of their own, get the digest of their files behind it: what belongs to
 * one of them (noise, clocks, load) must not cancel against the other's.
 */
function sourcesOf(a: Analysis, b: Analysis): { readonly a: string; readonly b: string } {
  const [ofA, ofB] = [a, b].map(({ data }) => ({ id: data.recording.id, files: digestOf(data.inputs) }));
  if (ofA.id !== ofB.id || ofA.files === ofB.files) return { a: ofA.id, b: ofB.id };
  return { a: `${ofA.id} ${ofA.files}`, b: `${ofB.id} ${ofB.files}` };
}

const digestOf = (inputs: Analysis['data']['inputs']): number => hashSeed(...inputs.map(({ sha256 }) => sha256).sort());

/** The analysis under the name its own errors are drawn by. */
function drawnAs(analysis: Analysis, id: string): Analysis {
  const { data } = analysis;
  return { ...analysis, data: { ...data, recording: { ...data.recording, id } } };
}

/** One seed for both, so that what they share is drawn alike; which side is A does not change it. */
function uncertaintyOf(
  { intervals, draws, seed }: CompareOptions,
  study: Study | undefined,
  a: Analysis,
  b: Analysis,
): UncertaintyOptions | null {
  if (!intervals) return null;
  const ofFiles = study?.seed ?? Math.min(a.data.recording.settings.seed, b.data.recording.settings.seed);
  return { mode: draws === undefined ? 'linear' : 'draws', draws: draws ?? 0, seed: seed ?? ofFiles };
}

function provenance(
  { data }: Analysis,
  uncertainty: LiftUncertainty | null,
  wanted: UncertaintyOptions | null,
  file: string,
): Provenance {
  const { recording, inputs } = data;
  return provenanceOf({
    toolVersion: toolVersion(),
    recordingId: recording.id,
    settings: recording.settings,
    seed: wanted?.seed ?? recording.settings.seed,
    intervals: uncertainty && {
      mode: uncertainty.options.mode,
      draws: uncertainty.options.mode === 'draws' ? uncertainty.options.draws : 0,
      noise_draws: uncertainty.noiseDraws,
    },
    inputs: inputs.map(({ file: input, sha256 }) => ({ file: besideFile(recording.file, input), sha256 })),
    folder: dirname(file),
  });
}

/** Every file of a comparison, name inside its folder → content. */
async function compareFiles(
  comparison: LiftComparison,
  from: Readonly<Record<string, unknown>>,
): Promise<ReadonlyMap<string, string>> {
  const figures = await compareFigures(comparison);
  const files = new Map([
    ['measure-differences.csv', csvOf(measureDifferencesTable(comparison))],
    ['curve-differences.csv', csvOf(curveDifferencesTable(comparison))],
    ['provenance.json', jsonText(from)],
  ]);
  for (const [name, svg] of compareFigureFiles(figures)) files.set(`figures/${name}`, svg);
  files.set('compare.html', comparePage({ comparison, figures, files: [...files.keys()], toolVersion: toolVersion() }));
  return files;
}
