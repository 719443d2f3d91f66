import { realpathSync } from 'node:fs';
import { dirname } from 'node:path';
import { type Command, Option } from 'commander';
import { readCsv } from '../capture/csv.ts';
import { loadStudy, manifestKind } from '../capture/load-study.ts';
import type { Recording, Study } from '../capture/recording.ts';
import { DataError } from '../errors.ts';
import { agreementAcrossDepth } from '../figures/agreement-across-depth.ts';
import { agreementDifferences } from '../figures/agreement-differences.ts';
import { renderSvg } from '../figures/render-svg.ts';
import {
  agreementNotes,
  leftOut,
  massesDiffer,
  noPairs,
  nothingInCommon,
  oneLifterOnly,
  pairNotAnalysed,
  repetitionsUnpaired,
  rigIsNotARecording,
  sameFileTwice,
  unknownKindOfFile,
  validatedInto,
} from '../messages.ts';
import {
  type AgreementRow,
  agreementRows,
  agreementTable,
  differencesTable,
} from '../study/agreement/agreement-tables.ts';
import { checkSameLift, pairRecordings } from '../study/agreement/pair-recordings.ts';
import { type PairedRepetitions, pairRepetitions } from '../study/agreement/pair-repetitions.ts';
import {
  type PairedValue,
  pairedValues,
  type UnpairedValue,
  unpairedValues,
} from '../study/agreement/paired-values.ts';
import { pairsOf } from '../study/agreement/pairs-file.ts';
import { formatAgreement } from '../study/agreement/summary.ts';
import { csvOf } from '../study/csv.ts';
import { jsonText } from '../study/json-text.ts';
import { type Provenance, provenanceOf } from '../study/provenance.ts';
import { analyseRecording, readRecording } from './analyse-recording.ts';
import { fullTurn } from './hold-interrupt.ts';
import { gradeLimits, toolVersion } from './package-files.ts';
import { placeOption } from './place-option.ts';
import { type Progress, progressOn } from './progress.ts';
import { type UncertainAnalysis, withIntervals } from './with-intervals.ts';
import { writeFiles } from './write-files.ts';

interface ValidateOptions {
  readonly out: string;
  /** Table a,b of recording ids. */
  readonly pairs?: string;
  readonly match: 'clock' | 'order';
  readonly leaveOutUnpaired: boolean;
  readonly intervals: boolean;
  readonly quiet: boolean;
}

/** Hooks `validate` onto the command line. */
export function registerValidate(program: Command, exitWith: (code: number) => void): void {
  program
    .command('validate')
    .description(
      'The same lifts measured by two means, A and B (phones against markers and force plates): mean difference and limits of agreement for every measure and depth.',
    )
    .argument('<a>', 'recording.yaml or study.yaml of the means to be judged')
    .argument('<b>', 'the same of the means it is judged by')
    .addOption(new Option('--out <dir>', 'output folder').argParser(placeOption).default('out/agreement'))
    .option('--pairs <file>', 'CSV a,b of recording ids: which recording of A is which of B')
    .addOption(
      new Option('--match <way>', 'how repetitions are matched: by their times, or first with first')
        .choices(['clock', 'order'])
        .default('clock'),
    )
    .option('--leave-out-unpaired', 'leave out recordings and repetitions that only one has', false)
    .option('--no-intervals', 'no stated intervals, so nothing about covering: several times as fast')
    .option('--quiet', 'no progress', false)
    .addHelpText(
      'after',
      '\nExamples:\n  kneeward validate phones/monday.yaml markers/monday.yaml --out out/agreement' +
        '\n  kneeward validate phones/study.yaml markers/study.yaml --pairs pairs.csv --out out/agreement' +
        '\n\nRecordings of two studies go together by equal ids, else by lifter, lift, set and load.' +
        '\nEvery difference is A less B. Exit code: 0 done, 1 bad data (or some pair was not compared), 2 bad usage.',
    )
    .action(async (a: string, b: string, options: ValidateOptions) => exitWith(await validate(a, b, options)));
}

/** `kneeward validate`: returns the exit code. */
async function validate(fileA: string, fileB: string, options: ValidateOptions): Promise<number> {
  const begun = performance.now();
  const [a, b] = [fileA, fileB].map(sourcesOf);
  if (realpathSync(fileA) === realpathSync(fileB)) throw sameFileTwice(fileA);
  const { pairs, notes } = pairsToCompare(a, b, options, fileA, fileB);
  const progress = progressOn(process.stderr, options.quiet);
  const compared: Compared[] = [];
  const failures: string[] = [];
  for (const [index, [one, other]] of pairs.entries()) {
    progress.step(index, pairs.length, `${one.recording.id} and ${other.recording.id}`);
    try {
      compared.push(await comparePair(one, other, options, progress));
    } catch (error) {
      if (!(error instanceof DataError) || pairs.length === 1) throw error;
      progress.end();
      failures.push(error.message);
      process.stderr.write(`${pairNotAnalysed(error.message)}\n`);
    }
    await fullTurn();
  }
  progress.end();
  if (compared.length === 0) throw noPairs(fileA, fileB);
  const values = compared.flatMap((pair) => pair.values);
  if (values.length === 0) throw nothingInCommon();
  const rows = agreementRows(
    values,
    compared.flatMap((pair) => pair.unpaired),
  );
  const said = [...notes, ...compared.flatMap((pair) => pair.notes)];
  writeFiles(options.out, await agreementFiles(rows, values, compared, said, failures));
  process.stdout.write(formatAgreement(rows));
  for (const note of said) process.stderr.write(`${note}\n`);
  const repetitions = compared.reduce((sum, pair) => sum + pair.repetitions.pairs.length, 0);
  const lifters = new Set(values.map(({ athleteId }) => athleteId));
  if (lifters.size === 1) process.stderr.write(`${oneLifterOnly(repetitions)}\n`);
  process.stderr.write(
    `${validatedInto(options.out, compared.length, repetitions, (performance.now() - begun) / 1000)}\n`,
  );
  return failures.length > 0 ? 1 : 0;
}

/** A recording of one of the means, before it is analysed. */
interface Source {
  readonly file: string;
  readonly study: Study | undefined;
  readonly recording: Recording;
}

function sourcesOf(file: string): Source[] {
  const kind = manifestKind(file);
  if (kind === null) throw unknownKindOfFile(file);
  if (kind === 'rig') throw rigIsNotARecording(file);
  const study = kind === 'study' ? loadStudy(file) : undefined;
  return (study?.recordings ?? [file]).map((one) => ({
    file: one,
    study,
    recording: readRecording(one, study).data.recording,
  }));
}

function pairsToCompare(
  a: readonly Source[],
  b: readonly Source[],
  options: ValidateOptions,
  fileA: string,
  fileB: string,
): { readonly pairs: readonly (readonly [Source, Source])[]; readonly notes: readonly string[] } {
  if (options.pairs !== undefined) {
    const table = readCsv(options.pairs, { required: ['a', 'b'], optional: [] }, null);
    const byId = (all: readonly Source[]) => new Map(all.map((one) => [one.recording.id, one]));
    return { pairs: pairsOf(table, byId(a), byId(b)), notes: [] };
  }
  const found = pairRecordings(a, b, options.leaveOutUnpaired, { a: fileA, b: fileB });
  const notes = [
    ...found.unpairedA.map(({ recording }) => leftOut(`recording ${recording.id} of A`)),
    ...found.unpairedB.map(({ recording }) => leftOut(`recording ${recording.id} of B`)),
  ];
  return { pairs: found.pairs, notes };
}

interface Compared {
  readonly a: Source;
  readonly b: Source;
  readonly repetitions: PairedRepetitions;
  readonly values: readonly PairedValue[];
  readonly unpaired: readonly UnpairedValue[];
  readonly notes: readonly string[];
  readonly provenance: { readonly a: Provenance; readonly b: Provenance };
}

async function comparePair(a: Source, b: Source, options: ValidateOptions, progress: Progress): Promise<Compared> {
  checkSameLift(a.recording, b.recording);
  const analysedA = await analysed(a, options, progress);
  const analysedB = await analysed(b, options, progress);
  const repetitions = pairRepetitions(analysedA.record, analysedB.record, options.match);
  const [lostA, lostB] = [repetitions.unpairedA, repetitions.unpairedB].map((all) => all.map(({ number }) => number));
  if (lostA.length + lostB.length > 0 && !options.leaveOutUnpaired)
    throw repetitionsUnpaired(a.recording.id, b.recording.id, lostA, lostB);
  const [massA, massB] = [a.recording.athlete.massKg, b.recording.athlete.massKg];
  return {
    a,
    b,
    repetitions,
    values: pairedValues(analysedA, analysedB, repetitions),
    unpaired: unpairedValues(analysedA.record, analysedB.record, repetitions),
    notes: [
      ...lostA.map((number) => leftOut(`repetition ${number} of ${a.recording.id} (A)`)),
      ...lostB.map((number) => leftOut(`repetition ${number} of ${b.recording.id} (B)`)),
      ...(massA === massB ? [] : [massesDiffer(a.recording.id, b.recording.id, massA, massB)]),
    ],
    provenance: { a: provenance(a, analysedA), b: provenance(b, analysedB) },
  };
}

async function analysed(source: Source, options: ValidateOptions, progress: Progress): Promise<UncertainAnalysis> {
  const { file, study } = source;
  const found = analyseRecording(file, study, gradeLimits());
  const seed = study?.seed ?? found.data.recording.settings.seed;
  return withIntervals(found, options.intervals ? { mode: 'linear', draws: 0, seed } : null, progress);
}

function provenance({ file, study }: Source, { data, uncertainty }: UncertainAnalysis): Provenance {
  const { recording, inputs } = data;
  return provenanceOf({
    toolVersion: toolVersion(),
    recordingId: recording.id,
    settings: recording.settings,
    seed: study?.seed ?? recording.settings.seed,
    intervals: uncertainty && { mode: 'linear', draws: 0, noise_draws: uncertainty.noiseDraws },
    inputs,
    folder: dirname(study?.file ?? file),
  });
}

async function agreementFiles(
  rows: readonly AgreementRow[],
  values: readonly PairedValue[],
  compared: readonly Compared[],
  said: readonly string[],
  failures: readonly string[],
): Promise<ReadonlyMap<string, string>> {
  const agreement = agreementTable(rows);
  const differences = differencesTable(values);
  const files = new Map([
    ['agreement.csv', csvOf(agreement)],
    ['differences.csv', csvOf(differences)],
    [
      'agreement.json',
      jsonText({
        kneeward: 1,
        kind: 'agreement',
        how_to_read: Object.values(agreementNotes).map((note) => note()),
        pairs: compared.map(({ a, b, repetitions }) => ({
          athlete_id: a.recording.athlete.id,
          recording_a: a.recording.id,
          recording_b: b.recording.id,
          clock_offset_s: repetitions.clockOffsetS,
          clock_offset_se_s: repetitions.clockOffsetSeS,
          repetitions: repetitions.pairs.map(([one, other]) => [one.number, other.number]),
          unpaired_a: repetitions.unpairedA.map(({ number }) => number),
          unpaired_b: repetitions.unpairedB.map(({ number }) => number),
        })),
        synthetic: compared.some(({ a, b }) => a.recording.synthetic || b.recording.synthetic),
        notes: said,
        failures,
        provenance: compared.map((pair) => pair.provenance),
      }),
    ],
  ]);
  const drawn = [
    ['agreement.svg', agreementDifferences(differences, agreement)],
    ['agreement-depth.svg', agreementAcrossDepth(agreement)],
  ] as const;
  for (const [name, figure] of drawn) if (figure) files.set(name, await renderSvg(figure));
  return files;
}
