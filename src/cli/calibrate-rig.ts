import { dirname } from 'node:path';
import { type Command, Option } from 'commander';
import type { GradedRig } from '../cameras/acceptance.ts';
import { BOARD_LEVEL_SD_DEG } from '../cameras/board-vertical.ts';
import type { Calibration } from '../cameras/calibration.ts';
import { PLUMB_STRING_SD_DEG } from '../cameras/vertical/plumb-line.ts';
import type { VerticalEvidence } from '../cameras/vertical/vertical-evidence.ts';
import { InputLedger } from '../capture/input-file.ts';
import { calibrationWritten, imagesLeftOut } from '../messages/calibrate.ts';
import { usage } from '../messages/cli.ts';
import { DISTORTION_CHOICES, termsOf } from './calibrate-lens.ts';
import { axesOf, boardUp, floor, forward, numberOption, sizes, unit, up } from './calibrate-options.ts';
import { cameraTable, notesText } from './calibrate-summary.ts';
import { calibrationFiles } from './calibration-files.ts';
import { gradeInWords } from './grade-in-words.ts';
import { readFallTracks, readPlumbLines } from './moving-point-files.ts';
import { placeOption } from './place-option.ts';
import { type Progress, progressOn } from './progress.ts';
import {
  type RigCommon,
  rigFromBoardPictures,
  rigFromLift,
  rigFromSurveyedPoints,
  rigFromWavedStick,
} from './rig-sources.ts';
import { tapeOption } from './tape-check.ts';
import { writeFiles } from './write-files.ts';

/** A mark on a line or on a small object, by hand or by a detector. Common practice, no source. */
const MARK_SD_PX = 1;
/** A length by tape, standard deviation. Common practice, no source. */
const TAPE_SD_MM = 1;

/** Hooks `calibrate rig board | control-points | stick | barbell` onto the command line. */
export function registerCalibrateRig(calibrate: Command): void {
  const rig = calibrate
    .command('rig')
    .description('Where the cameras stand, with a report: from a board, control points, a waved stick or the barbell.');
  registerBoard(rig);
  registerControlPoints(rig);
  registerStick(rig);
  registerBarbell(rig);
}

function registerBoard(rig: Command): void {
  const command = rig
    .command('board')
    .description('From pictures or videos of one printed board, moved through the space in which the lift will be.')
    .argument(
      '<sources...>',
      'CAMERA=FOLDER, CAMERA=VIDEO, "CAMERA=PATTERN", or pictures called left01.jpg, right01.jpg …',
    )
    .requiredOption('--board <board>', 'built-in board (kneeward board --list) or board file')
    .option('--lenses <file>', 'lens file of "kneeward calibrate lens"; without it the lenses are fitted too')
    .addOption(
      new Option('--distortion <terms>', 'lens terms fitted; auto = the fewest that predict unseen pictures')
        .choices(DISTORTION_CHOICES)
        .default('auto'),
    )
    .option('--up <image:how>', 'IMAGE:lies = board flat on the floor; IMAGE:stands = its columns vertical')
    .addOption(
      millimetres('--up-height-mm', 'height of that board above the floor: its plane, or its lowest inner corner', 0),
    )
    .addOption(
      degrees('--level-sd-deg', 'how level (or plumb) that board is, standard deviation each way', BOARD_LEVEL_SD_DEG),
    );
  addCommon(command).addHelpText(
    'after',
    '\nExamples:' +
      '\n  kneeward calibrate rig board datasets/chessboard-photographs --board datasets/chessboard-photographs/board.json --out out/rig' +
      '\n  kneeward calibrate rig board left=left.mp4 right=right.mp4 --board charuco-a3 --lenses lens.json --up t012.40:lies',
  );
  command.action(async (sources: string[], given) => {
    await finish(given, '.', (common, ledger, progress) =>
      rigFromBoardPictures(
        {
          ...common,
          sources,
          board: given.board,
          lensFile: given.lenses ?? null,
          terms: termsOf(given.distortion),
          up:
            given.up === undefined
              ? null
              : { ...boardUp(given.up, given.upHeightMm / 1000), levelSdDeg: given.levelSdDeg },
        },
        ledger,
        progress,
      ),
    );
  });
}

function registerControlPoints(rig: Command): void {
  const command = rig
    .command('control-points')
    .description('From at least six measured points, not in one plane, marked in every picture.')
    .requiredOption('--points <file>', 'CSV point,x,y,z')
    .requiredOption('--pixels <file>', 'CSV camera,point,u,v; (0, 0) = centre of the top-left pixel, v downward')
    .addOption(sizes('WIDTHxHEIGHT for all cameras, or CAMERA=WIDTHxHEIGHT'))
    .addOption(unit('m'))
    .addOption(forward())
    .addOption(up())
    .addOption(floor())
    .option('--lenses <file>', 'lens file of "kneeward calibrate lens", or a rig file; then only the poses are fitted');
  addCommon(command, { vertical: false }).addHelpText(
    'after',
    '\nExample:\n  kneeward calibrate rig control-points --points frame.csv --pixels marks.csv --unit cm --image-size 1080x1920 --out out/rig',
  );
  command.action(async (given) => {
    await finish(given, dirname(given.points), (common, ledger) =>
      rigFromSurveyedPoints(
        {
          ...common,
          points: given.points,
          pixels: given.pixels,
          unit: given.unit,
          axes: axesOf(given),
          floorHeight: given.floorHeight,
          imageSizes: given.imageSize,
          lensFile: given.lenses ?? null,
        },
        ledger,
      ),
    );
  });
}

function registerStick(rig: Command): void {
  const command = rig
    .command('stick')
    .description('From a stick of known length, waved in all directions through the space in which the lift will be.')
    .argument('<tracks>', 'CSV camera,time_s,end,u,v, or camera,frame,end,u,v; two ends, for instance a and b')
    .requiredOption('--lenses <file>', 'lens file of "kneeward calibrate lens", or a rig file')
    .addOption(millimetres('--length-mm', 'distance of the two ends').makeOptionMandatory())
    .addOption(millimetres('--length-sd-mm', 'standard deviation of that distance', TAPE_SD_MM))
    .addOption(withNumber('--frame-rate-hz <hz>', '--frame-rate-hz', 'of a table that counts frames'))
    .addOption(clockSd());
  addCommon(command).addHelpText(
    'after',
    '\nExample:\n  kneeward calibrate rig stick stick.csv --lenses lens.json --length-mm 1000 --plumb plumb.csv --out out/rig',
  );
  command.action(async (stick: string, given) => {
    await finish(given, dirname(stick), (common, ledger) =>
      rigFromWavedStick({ ...common, ...movingOf(given), stick, frameRateHz: given.frameRateHz ?? null }, ledger),
    );
  });
}

function registerBarbell(rig: Command): void {
  const command = rig
    .command('barbell')
    .description(
      "From the ends of the barbell and the lifter's own joints during a set; no board is needed in the gym.",
    )
    .argument(
      '<recording>',
      'recording.yaml whose views mark bar_left_end, bar_right_end and joints; its rig is not read',
    )
    .requiredOption('--lenses <file>', 'lens file of "kneeward calibrate lens", or a rig file')
    .addOption(new Option('--bar <rule>', 'competition bar: men 2200 mm, women 2010 mm').choices(['men', 'women']))
    .addOption(millimetres('--length-mm', 'length of the bar as measured (default: as the recording or --bar says)'))
    .addOption(millimetres('--length-sd-mm', 'standard deviation of that length', TAPE_SD_MM))
    .option('--standing <from,to>', 'the lifter stands upright and still between these times, s: a weak vertical')
    .addOption(clockSd());
  addCommon(command).addHelpText(
    'after',
    '\nExample:\n  kneeward calibrate rig barbell monday/recording.yaml --lenses lens.json --bar men --plumb plumb.csv --out out/rig',
  );
  command.action(async (recording: string, given) => {
    await finish(given, dirname(recording), (common, ledger) =>
      rigFromLift(
        {
          ...common,
          evidence: [...common.evidence, ...standing(given.standing)],
          ...movingOf(given),
          recording,
          bar: given.bar ?? null,
        },
        ledger,
      ),
    );
  });
}

// biome-ignore lint/suspicious/noExplicitAny: commander gives the options of a command untyped
type Given = any;

const movingOf = (given: Given) => ({
  lensFile: given.lenses as string,
  lengthM: given.lengthMm === undefined ? null : given.lengthMm / 1000,
  lengthSdM: given.lengthSdMm / 1000,
  clockSdS: (given.clockSdS ?? null) as number | null,
  seed: 1,
});

function addCommon(command: Command, { vertical } = { vertical: true }): Command {
  command.addOption(
    new Option('--tape <first:second=m>', 'distance between two lenses by tape, to check all lengths').argParser(
      tapeOption,
    ),
  );
  if (vertical) {
    command
      .option('--plumb <file>', 'hanging string, rack upright or door frame: CSV camera,line,u,v')
      .addOption(
        degrees(
          '--plumb-sd-deg',
          'how plumb that is, standard deviation (a string at rest: 0.05)',
          PLUMB_STRING_SD_DEG,
        ),
      )
      .option('--fall <file>', 'dropped or thrown object: CSV camera,time_s,u,v');
  }
  return command
    .addOption(
      new Option('--out <folder>', 'folder for rig, report and tables').argParser(placeOption).default('out/rig'),
    )
    .option('--quiet', 'no progress', false);
}

const millimetres = (name: string, what: string, standard?: number): Option =>
  withNumber(`${name} <mm>`, name, `${what}, mm`, standard);
const degrees = (name: string, what: string, standard?: number): Option =>
  withNumber(`${name} <deg>`, name, `${what}, degrees`, standard);
const clockSd = () =>
  withNumber(
    '--clock-sd-s <s>',
    '--clock-sd-s',
    'fit the clocks too; how well offset_s is known, standard deviation, s',
  );

function withNumber(flags: string, name: string, what: string, standard?: number): Option {
  const option = new Option(flags, what).argParser((text: string) => {
    const value = numberOption(name)(text);
    if (value < 0) throw usage(`${name} ${text}: must not be below 0.`);
    return value;
  });
  return standard === undefined ? option : option.default(standard);
}

function standing(text: string | undefined): VerticalEvidence[] {
  if (text === undefined) return [];
  const [fromS, toS, ...rest] = text.split(',').map(numberOption('--standing'));
  if (rest.length > 0 || !(toS > fromS)) throw usage(`--standing ${text}: write FROM,TO in seconds, for instance 0,1.`);
  return [{ kind: 'standing athlete', fromS, toS }];
}

/** Makes the calibration, writes its folder whole, and says what came out. */
async function finish(
  given: Given,
  folder: string,
  make: (common: RigCommon, ledger: InputLedger, progress: Progress) => Calibration | Promise<Calibration>,
): Promise<void> {
  const { out, quiet, ...settings } = given;
  const ledger = new InputLedger(folder);
  const evidence: VerticalEvidence[] = [];
  if (given.plumb !== undefined) {
    const lines = readPlumbLines(given.plumb, ledger);
    evidence.push({ kind: 'plumb line', lines, plumbSdDeg: given.plumbSdDeg, pixelSdPx: MARK_SD_PX });
  }
  if (given.fall !== undefined) evidence.push({ kind: 'free fall', tracks: readFallTracks(given.fall, ledger) });
  const calibration = await make({ tapes: given.tape ?? [], evidence }, ledger, progressOn(process.stderr, quiet));
  for (const { camera, image, reason } of calibration.dropped) {
    process.stderr.write(`${imagesLeftOut(camera, image, reason)}\n`);
  }
  const { files, graded } = await calibrationFiles(calibration, namesOnly(settings), ledger.list());
  writeFiles(out, files);
  process.stdout.write(`${rigSummary(calibration, graded)}${calibrationWritten(out)}\n`);
}

/** Settings for the provenance record: no folder of this machine in it. */
function namesOnly(settings: Readonly<Record<string, unknown>>): Record<string, unknown> {
  const short = (value: unknown) => (typeof value === 'string' ? value.split(/[\\/]/).at(-1) : value);
  return Object.fromEntries(Object.entries(settings).map(([key, value]) => [key, short(value)]));
}

function rigSummary({ rig }: Calibration, graded: GradedRig): string {
  const { reprojectionRmsPx, pointsUsed, measured } = rig.quality;
  const fit = reprojectionRmsPx === null ? 'not stated' : `${reprojectionRmsPx.toFixed(3)} px rms`;
  const held = measured?.heldOutLength ?? null;
  const lines = [cameraTable(rig), `${fit} over ${pointsUsed} image points\n`];
  if (held !== null) {
    lines.push(
      `${held.what}: ${(1000 * held.rmsM).toFixed(2)} mm rms (${(100 * held.share).toFixed(2)} %), ${held.count} lengths\n`,
    );
  }
  lines.push(notesText(rig), `${gradeInWords(graded)}\n`);
  return lines.join('');
}
