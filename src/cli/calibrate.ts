import { type Command, Option } from 'commander';
import type { BoardUp } from '../cameras/board-vertical.ts';
import type { ImageSize } from '../cameras/lens-calibration.ts';
import type { CameraRig, Distortion, PixelLens } from '../cameras/rig.ts';
import { axisIndex, SIGNED_AXES } from '../capture/axes.ts';
import type { FileAxes, LengthUnit, SignedAxis } from '../capture/recording.ts';
import { usage } from '../messages/cli.ts';
import { calibrateBoardCorners, calibrateControlPoints, calibrateDltCoefficients } from './calibrate-rigs.ts';
import { placeOption } from './place-option.ts';

export { calibrateBoardCorners, calibrateControlPoints, calibrateDltCoefficients };

/** Writes the finished rig file; the summary is for stdout. */
export type WriteRig = (rig: CameraRig, out: string, summary: string) => void | Promise<void>;

/** Hooks `calibrate control-points | board-corners | dlt-coefficients` onto the command line. */
export function registerCalibrate(program: Command, write: WriteRig): void {
  const calibrate = program
    .command('calibrate')
    .description('Make a rig file: where the cameras stand and how they see.');
  registerControlPoints(calibrate, write);
  registerBoardCorners(calibrate, write);
  registerDltCoefficients(calibrate, write);
}

const out = () => new Option('--out <file>', 'rig file to write').argParser(placeOption).default('rig.json');
const unit = (standard: LengthUnit) =>
  new Option('--unit <unit>', 'unit of length').choices(['m', 'cm', 'mm']).default(standard);
const forward = () =>
  new Option('--forward <axis>', 'axis pointing where the lifter faces').choices(SIGNED_AXES).default('+x');
const up = () => new Option('--up <axis>', 'axis pointing up').choices(SIGNED_AXES).default('+z');
const floor = () =>
  new Option('--floor-height <number>', 'height of the floor along the up axis')
    .argParser(numberOption('--floor-height'))
    .default(0);
const sizes = (help: string) =>
  new Option('--image-size <size>', help)
    .makeOptionMandatory()
    .argParser((text: string, before: Map<string, ImageSize> | undefined) => addImageSize(text, before));

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

function axesOf(given: { forward: SignedAxis; up: SignedAxis }): FileAxes {
  if (axisIndex(given.forward) === axisIndex(given.up)) {
    throw usage(
      `--forward ${given.forward} --up ${given.up}: both lie along one axis. Name two different axes of the file.`,
    );
  }
  return { forward: given.forward, up: given.up };
}

function numberOption(name: string): (text: string) => number {
  return (text) => {
    const value = Number(text);
    if (text.trim() === '' || !Number.isFinite(value)) throw usage(`${name} ${text}: not a number.`);
    return value;
  };
}

function countOption(name: string): (text: string) => number {
  return (text) => {
    if (!/^\d+$/.test(text)) throw usage(`${name} ${text}: not a whole number.`);
    return Number(text);
  };
}

function numbers(text: string, name: string): number[] {
  return text.split(',').map(numberOption(name));
}

function imageSize(text: string): ImageSize {
  const parts = /^(\d+)[x×](\d+)$/i.exec(text);
  const size = { width: Number(parts?.[1]), height: Number(parts?.[2]) };
  if (parts === null || size.width < 2 || size.height < 2) {
    throw usage(`--image-size ${text}: not an image size. Write width x height in pixels, for instance 1920x1080.`);
  }
  return size;
}

function addImageSize(text: string, before: Map<string, ImageSize> | undefined): Map<string, ImageSize> {
  const at = text.lastIndexOf('=');
  const sizes = before ?? new Map<string, ImageSize>();
  sizes.set(at < 0 ? '' : text.slice(0, at), imageSize(text.slice(at + 1)));
  return sizes;
}

function boardUp(text: string, heightM: number): BoardUp {
  const parts = /^(.+):(lies|stands)$/.exec(text);
  if (parts === null) throw usage(`--up ${text}: write IMAGE:lies or IMAGE:stands, for instance 03:lies.`);
  return { image: parts[1], board: parts[2] as 'lies' | 'stands', heightM };
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
