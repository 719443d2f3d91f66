import { type Command, Option } from 'commander';
import type { CameraRig, Distortion, PixelLens } from '../cameras/rig.ts';
import { usage } from '../messages/cli.ts';
import { registerCalibrateClocks } from './calibrate-clocks.ts';
import { registerCalibrateLens } from './calibrate-lens.ts';
import {
  axesOf,
  boardUp,
  countOption,
  floor,
  forward,
  imageSize,
  numberOption,
  numbers,
  out,
  sizes,
  unit,
  up,
} from './calibrate-options.ts';
import { registerCalibrateRig } from './calibrate-rig.ts';
import { calibrateBoardCorners, calibrateControlPoints, calibrateDltCoefficients } from './calibrate-rigs.ts';

export { calibrateBoardCorners, calibrateControlPoints, calibrateDltCoefficients };

/** Writes the finished rig file; the summary is for stdout. */
export type WriteRig = (rig: CameraRig, out: string, summary: string) => void | Promise<void>;

/** Hooks `calibrate control-points | board-corners | dlt-coefficients` onto the command line. */
export function registerCalibrate(program: Command, write: WriteRig): void {
  const calibrate = program
    .command('calibrate')
    .description('Make a rig file: where the cameras stand and how they see.');
  registerCalibrateLens(calibrate);
  registerCalibrateRig(calibrate);
  registerCalibrateClocks(calibrate);
  registerControlPoints(calibrate, write);
  registerBoardCorners(calibrate, write);
  registerDltCoefficients(calibrate, write);
}

function registerControlPoints(calibrate: Command, write: WriteRig): void {
  calibrate
    .command('control-points')
    .description('From at least six measured points, not in one plane, marked in every picture.')
    .requiredOption('--points <file>', 'CSV point,x,y,z')
    .requiredOption('--pixels <file>', 'CSV camera,point,u,v; (0, 0) = centre of the top-left pixel, v downward')
    .addOption(sizes('WIDTHxHEIGHT for all cameras, or CAMERA=WIDTHxHEIGHT'))
    .addOption(unit('m'))
    .addOption(forward())
    .addOption(up())
    .addOption(floor())
    .addOption(new Option('--focal <number>', 'focal lengths fitted').choices(['one', 'two', 'auto']).default('one'))
    .addOption(
      new Option('--distortion <terms>', 'lens terms fitted; auto = as many as the points support')
        .choices(['none', 'k1', 'k1,k2', 'auto'])
        .default('auto'),
    )
    .option('--lenses-from <rig>', 'take the lenses from this rig file and fit the poses only')
    .addOption(out())
    .addHelpText(
      'after',
      '\nExample:\n  kneeward calibrate control-points --points frame.csv --pixels marks.csv --unit cm --up +z --image-size 1920x1080 --out rig.json',
    )
    .action(async (given) => {
      const made = await calibrateControlPoints({
        points: given.points,
        pixels: given.pixels,
        unit: given.unit,
        axes: axesOf(given),
        floorHeight: given.floorHeight,
        imageSizes: given.imageSize,
        fit: { focal: given.focal, distortion: given.distortion.replace(',', ' ') },
        lensesFrom: given.lensesFrom ?? null,
      });
      await write(made.rig, given.out, made.summary);
    });
}

function registerBoardCorners(calibrate: Command, write: WriteRig): void {
  calibrate
    .command('board-corners')
    .description('Lenses and places of two or more cameras from the corners of one chessboard.')
    .argument('<corners...>', 'CSV files camera,image,corner,col,row,u,v; the same image name pairs the cameras')
    .requiredOption('--columns <n>', 'inner corners in a row', countOption('--columns'))
    .requiredOption('--rows <n>', 'inner corners in a column', countOption('--rows'))
    .requiredOption('--square-mm <mm>', 'side of a square, mm', numberOption('--square-mm'))
    .addOption(sizes('WIDTHxHEIGHT for all cameras, or CAMERA=WIDTHxHEIGHT'))
    .addOption(
      new Option('--lenses <how>', 'refined = fitted again with all poses; held = as each camera alone gives them')
        .choices(['refined', 'held'])
        .default('refined'),
    )
    .addOption(
      new Option('--distortion <terms>', 'lens terms fitted')
        .choices(['k1', 'k1,k2', 'k1,k2,p1,p2', 'k1,k2,p1,p2,k3'])
        .default('k1,k2,p1,p2'),
    )
    .option('--up <image:how>', 'IMAGE:lies = board flat on the floor; IMAGE:stands = its columns vertical')
    .addOption(
      new Option('--up-height-mm <mm>', 'height of that board above the floor: its plane, or its lowest inner corner')
        .argParser(numberOption('--up-height-mm'))
        .default(0),
    )
    .addOption(out())
    .addHelpText(
      'after',
      '\nExample:\n  kneeward calibrate board-corners datasets/chessboard-corners/corners.csv --columns 9 --rows 6 --square-mm 30 --image-size 640x480 --out rig.json' +
        '\n  kneeward calibrate board-corners left-*.csv right-*.csv --columns 9 --rows 6 --square-mm 40 --image-size 1920x1080 --up floor:lies',
    )
    .action(async (files: string[], given) => {
      const made = await calibrateBoardCorners({
        files,
        columns: given.columns,
        rows: given.rows,
        squareSizeM: given.squareMm / 1000,
        imageSizes: given.imageSize,
        lenses: given.lenses,
        distortion: given.distortion.replaceAll(',', ' '),
        up: given.up === undefined ? null : boardUp(given.up, given.upHeightMm / 1000),
      });
      await write(made.rig, given.out, made.summary);
    });
}

function registerDltCoefficients(calibrate: Command, write: WriteRig): void {
  calibrate
    .command('dlt-coefficients')
    .description('From published coefficients L1 to L11 of each camera (direct linear transformation).')
    .argument('<coefficients>', 'CSV, one column a camera, eleven rows')
    .requiredOption('--image-size <size>', 'WIDTHxHEIGHT', imageSize)
    .addOption(
      new Option('--pixel-y <way>', 'which way the coefficients count rows')
        .choices(['up', 'down'])
        .makeOptionMandatory(),
    )
    .addOption(unit('m'))
    .addOption(forward())
    .addOption(up())
    .addOption(floor())
    .option(
      '--lens <numbers>',
      'lens removed from the pixels before the coefficients were made: fx,fy,cx,cy,k1[,k2[,p1,p2[,k3]]], in their pixel coordinates',
      lensOption,
    )
    .option(
      '--point-in-view <x,y,z>',
      "a point that all cameras see, in the coefficients' unit (default: the origin)",
      pointOption,
    )
    .addOption(out())
    .addHelpText(
      'after',
      '\nExample:\n  kneeward calibrate dlt-coefficients coefficients.csv --pixel-y up --image-size 640x512 --lens 526,526,320,256,-0.3069,0.1134 --out rig.json',
    )
    .action(async (coefficients: string, given) => {
      const made = await calibrateDltCoefficients({
        coefficients,
        pixelY: given.pixelY,
        imageSize: given.imageSize,
        unit: given.unit,
        axes: axesOf(given),
        floorHeight: given.floorHeight,
        lens: given.lens ?? null,
        pointInView: given.pointInView ?? null,
      });
      await write(made.rig, given.out, made.summary);
    });
}

function lensOption(text: string): PixelLens {
  const [fx, fy, cx, cy, ...terms] = numbers(text, '--lens');
  if (![1, 2, 4, 5].includes(terms.length) || !(fx > 0) || !(fy > 0)) {
    throw usage(`--lens ${text}: write fx,fy,cx,cy,k1[,k2[,p1,p2[,k3]]] with focal lengths above 0.`);
  }
  const [k1, k2 = 0, p1 = 0, p2 = 0, k3 = 0] = terms;
  const distortion: Distortion = [k1, k2, p1, p2, k3];
  return { fx, fy, cx, cy, distortion };
}

function pointOption(text: string): [number, number, number] {
  const point = numbers(text, '--point-in-view');
  if (point.length !== 3) throw usage(`--point-in-view ${text}: three numbers x,y,z are needed.`);
  return point as [number, number, number];
}
