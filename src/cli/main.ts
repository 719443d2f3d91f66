import { Command, CommanderError } from 'commander';
import { serialiseRig } from '../cameras/rig-file.ts';
import { DataError, UsageError } from '../errors.ts';
import { rigWritten, unforeseen } from '../messages.ts';
import { analyse } from './analyse.ts';
import { withAnalysisOptions } from './analysis-options.ts';
import { registerBoard } from './board.ts';
import { registerCalibrate } from './calibrate.ts';
import { check } from './check.ts';
import { registerCompare } from './compare.ts';
import { registerFindings } from './findings.ts';
import { registerFrameTimes } from './frame-times.ts';
import { demoStudy, toolVersion } from './package-files.ts';
import { placeOption } from './place-option.ts';
import { registerPlan } from './plan.ts';
import { registerSampleSize } from './sample-size.ts';
import { registerStudy } from './study.ts';
import { registerTidy } from './tidy.ts';
import { registerValidate } from './validate.ts';
import { writeFile } from './write-files.ts';

/** Exit codes: done, bad data, bad usage. */
const DONE = 0;
const BAD_DATA = 1;
const BAD_USAGE = 2;

/** Runs one command line (without node and script) and returns its exit code. Results on stdout, talk on stderr. */
export async function main(args: readonly string[]): Promise<number> {
  let code = DONE;
  const program = commandLine((found) => {
    code = Math.max(code, found);
  });
  try {
    await program.parseAsync([...args], { from: 'user' });
    return code;
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? DONE : BAD_USAGE;
    if (error instanceof UsageError) {
      process.stderr.write(`${error.message}\n`);
      return BAD_USAGE;
    }
    if (error instanceof DataError) {
      process.stderr.write(`${error.message}\n`);
      return BAD_DATA;
    }
    process.stderr.write(`${unforeseen(error instanceof Error ? error.message : String(error))}\n`);
    if (process.env.KNEEWARD_DEBUG) process.stderr.write(`${error instanceof Error ? error.stack : error}\n`);
    return BAD_DATA;
  }
}

function commandLine(exitWith: (code: number) => void): Command {
  const program = new Command('kneeward')
    .description(
      'Measures how a lifter squats: from two or more camera views (or 3D points) to joint moments across depth.',
    )
    .version(toolVersion())
    .exitOverride()
    .showHelpAfterError('(kneeward --help, or kneeward <command> --help, shows how it is used)')
    .configureHelp({ helpWidth: 100 })
    .addHelpText('after', '\nExample:\n  kneeward analyse datasets/demo-study/study.yaml --out out/demo');

  withAnalysisOptions(
    program
      .command('analyse')
      .description('From keypoints or 3D points to joint moments across depth: tables, figures, report.')
      .argument('<file>', 'recording.yaml or study.yaml (JSON too)')
      .option('--out <dir>', 'output folder (default: out/<id of the recording or study>)', placeOption),
  )
    .addHelpText(
      'after',
      '\nExamples:\n  kneeward analyse lifts/monday.yaml --out out/monday' +
        '\n  kneeward analyse datasets/demo-study/study.yaml --out out/demo --cutoff-hz 6,3,3' +
        '\n  kneeward analyse lifts/monday.yaml --cutoff-hz smoothing-spline:6,3,3' +
        '\n  kneeward analyse lifts/monday.yaml --draws 1000 --seed 7' +
        '\n  kneeward analyse lifts/monday.yaml --findings my-rules.yaml' +
        '\n\nThe comparison that a study file asks for is made by kneeward study alone.' +
        '\nExit code: 0 done, 1 bad data (of a study: some recording was not analysed), 2 bad usage.',
    )
    .action(async (file: string, options) =>
      exitWith(await analyse({ file, ...options, smoothing: options.cutoffHz })),
    );

  registerStudy(program, exitWith);
  registerTidy(program, exitWith);
  registerSampleSize(program);
  registerFindings(program);
  registerFrameTimes(program);
  registerPlan(program);
  registerValidate(program, exitWith);
  registerCompare(program);
  registerBoard(program, writeFile);
  registerCalibrate(program, (rig, out, summary) => {
    writeFile(out, serialiseRig(rig));
    process.stdout.write(`${summary.trimEnd()}\n${rigWritten(out)}\n`);
  });

  program
    .command('check')
    .description('Validates a recording, study or rig file and says what can and cannot be computed from it.')
    .argument('<file>', 'recording.yaml, study.yaml or rig.json')
    .addHelpText('after', '\nExample:\n  kneeward check datasets/demo-study/study.yaml')
    .action((file: string) => {
      const { text, faults } = check(file);
      process.stdout.write(`${text}\n`);
      for (const fault of faults) process.stderr.write(`${fault}\n`);
      if (faults.length > 0) exitWith(BAD_DATA);
    });

  withAnalysisOptions(
    program
      .command('demo')
      .description('Analyses the demo study (synthetic: invented lifters, no one was measured).')
      .option('--out <dir>', 'output folder', placeOption, 'out/demo'),
  )
    .addHelpText('after', '\nExample:\n  kneeward demo --out out/demo')
    .action(async (options) => exitWith(await analyse({ file: demoStudy(), ...options, smoothing: options.cutoffHz })));

  inheritSettings(program, program);
  return program;
}

/** Commander copies neither exitOverride nor help settings to commands made by hand before: pass them down. */
function inheritSettings(from: Command, parent: Command): void {
  for (const command of parent.commands) {
    command.copyInheritedSettings(from);
    inheritSettings(from, command);
  }
}
