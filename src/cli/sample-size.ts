import { type Command, InvalidArgumentError, Option } from 'commander';
import { csvOf } from '../study/csv.ts';
import { readPilot } from '../study/sample-size/pilot-file.ts';
import type { PowerDesign } from '../study/sample-size/power.ts';
import { sampleSize } from '../study/sample-size/sample-size.ts';
import { sampleSizeLines, sampleSizeTable } from '../study/sample-size/sample-size-table.ts';
import { seedOption } from './draws-option.ts';
import { placeOption } from './place-option.ts';
import { writeFile } from './write-files.ts';

interface SampleSizeCommand {
  readonly measure: string;
  readonly at: string;
  readonly side: string;
  readonly effect: number;
  readonly design: PowerDesign;
  readonly power: number;
  readonly alpha: number;
  readonly repetitions?: number;
  readonly recordings?: string;
  readonly seed: number;
  readonly out?: string;
}

/** Hooks `sample-size` onto the command line. */
export function registerSampleSize(program: Command): void {
  program
    .command('sample-size')
    .description('How many athletes a planned study needs, from the spread in the tables of a pilot.')
    .argument('<file>', 'measures.csv or means.csv of a pilot study (kneeward analyse writes them)')
    .requiredOption(
      '--effect <size>',
      'smallest difference that matters, in the unit of the measure (of a ratio: a factor, 1.1 for a tenth more)',
      effectOption,
    )
    .addOption(
      new Option('--design <design>', 'every athlete under both conditions, or two groups of athletes')
        .choices(['paired', 'groups'])
        .makeOptionMandatory(),
    )
    .option('--measure <name>', 'measure, as in the file', 'hip_share')
    .option('--at <place>', 'place in the repetition, as in the file', 'parallel')
    .option('--side <side>', 'both, left, right, or "" for a measure of the whole body', 'both')
    .option('--power <p>', 'wanted probability of finding the effect', shareOption(0.05, 0.999), 0.8)
    .option('--alpha <p>', 'level of the two-sided test', shareOption(0.0001, 0.5), 0.05)
    .option('--repetitions <n>', 'repetitions a recording (default: the middle number of the pilot)', repetitionsOption)
    .option('--recordings <file>', 'recordings.csv of the pilot: tells its conditions apart', placeOption)
    .option('--seed <s>', 'seed of the simulation; equal seeds give equal results', seedOption, 0)
    .option('--out <file>', 'also write the table of all numbers of athletes as CSV', placeOption)
    .addHelpText(
      'after',
      '\nExamples:\n  kneeward sample-size out/pilot/measures.csv --effect 0.05 --design paired' +
        '\n  kneeward sample-size out/pilot/measures.csv --recordings out/pilot/recordings.csv --effect 0.05 --design paired --repetitions 5' +
        '\n  kneeward sample-size out/pilot/means.csv --measure trunk_lean --at bottom --side "" --effect 4 --design groups --power 0.9 --out out/n.csv' +
        '\n\nExit code: 0 done, 1 bad data, 2 bad usage.',
    )
    .action((file: string, options: SampleSizeCommand) => {
      const { measure, at, side, recordings, out } = options;
      const pilot = readPilot(file, { measure, at, side }, recordings ?? null);
      const { design, effect, power, alpha, repetitions, seed } = options;
      const found = sampleSize(pilot, { design, effect, power, alpha, repetitions, seed });
      if (out !== undefined) writeFile(out, csvOf(sampleSizeTable(found)));
      process.stdout.write(`${sampleSizeLines(found, pilot).join('\n')}\n`);
    });
}

function effectOption(text: string): number {
  const effect = Number(text);
  if (text.trim() === '' || !Number.isFinite(effect) || effect === 0)
    throw new InvalidArgumentError('Write a number that is not 0, for instance 0.05.');
  return effect;
}

const shareOption = (low: number, high: number) => (text: string) => {
  const share = Number(text);
  if (text.trim() === '' || !(share >= low && share <= high))
    throw new InvalidArgumentError(`Write a number from ${low} to ${high}.`);
  return share;
};

function repetitionsOption(text: string): number {
  const number = Number(text);
  if (text.trim() === '' || !Number.isInteger(number) || number < 1 || number > 100)
    throw new InvalidArgumentError('Write a whole number from 1 to 100.');
  return number;
}
