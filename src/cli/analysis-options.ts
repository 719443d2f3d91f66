import { type Command, Option } from 'commander';
import { MOMENT_AXES, MOMENT_UNITS } from '../capture/recording.ts';
import { drawsOption, seedOption } from './draws-option.ts';
import { smoothingOption } from './smoothing-option.ts';

/** How recordings are analysed: the options that `analyse` and `study` have alike. */
export function withAnalysisOptions(command: Command): Command {
  return command
    .option(
      '--cutoff-hz <hz>',
      'low-pass cut-off over the settings of the files: residual | none | HZ | LEGS,TRUNK,BAR; a method may stand before it',
      smoothingOption,
    )
    .addOption(
      new Option('--points <kind>', 'limbs of constant length, or every point by itself').choices(['skeleton', 'free']),
    )
    .addOption(
      new Option('--moment-axes <axes>', 'axes of moments.csv, over the settings of the files').choices(MOMENT_AXES),
    )
    .addOption(
      new Option('--moment-unit <unit>', 'unit of moments.csv, over the settings of the files').choices(MOMENT_UNITS),
    )
    .option('--findings <file>', 'rules for findings, over those of the files (kneeward findings --write makes one)')
    .option('--draws <n>', 'intervals from N joint draws of all causes of error (default: of first order)', drawsOption)
    .option('--seed <s>', 'seed of the draws, over that of the files; equal seeds give equal results', seedOption)
    .option('--no-intervals', 'no intervals: several times as fast')
    .option('--c3d', 'also write lift.c3d: points, centre of mass, moments', false)
    .option('--quiet', 'no progress', false);
}
