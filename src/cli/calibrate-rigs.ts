import { calibrateRigFromBoard } from '../cameras/board-rig.ts';
import type { BoardUp } from '../cameras/board-vertical.ts';
import type { KnownLens } from '../cameras/control-point-start.ts';
import { type ControlPointOptions, rigFromControlPoints } from '../cameras/control-points.ts';
import { rigFromDltCoefficients } from '../cameras/dlt-coefficients.ts';
import type { BoardDistortion, ImageSize } from '../cameras/lens-calibration.ts';
import type { CameraRig, PixelLens } from '../cameras/rig.ts';
import { parseRig } from '../cameras/rig-file.ts';
import { pointsToWorld, worldFromFile } from '../cameras/world-axes.ts';
import { readJson } from '../capture/json-file.ts';
import type { FileAxes, LengthUnit } from '../capture/recording.ts';
import { DataError } from '../errors.ts';
import { imageSizeMissing, lensMissingInRig } from '../messages/cameras.ts';
import { measureBoard } from './board-check.ts';
import { readBoardCorners, readControlPixels, readControlPoints, readDltCoefficients } from './calibrate-files.ts';
import { boardCheckText, boardTable, cameraTable, controlPointTable, notesText } from './calibrate-summary.ts';

/** A rig and a short table about it for the terminal. */
export interface Calibrated {
  readonly rig: CameraRig;
  readonly summary: string;
}

/** Image sizes by camera name; '' = every camera not named. */
export type ImageSizes = ReadonlyMap<string, ImageSize>;

export interface ControlPointsOptions {
  /** CSV `point,x,y,z` in `unit` and `axes`. */
  readonly points: string;
  /** CSV `camera,point,u,v`, pixels, y down. */
  readonly pixels: string;
  readonly unit: LengthUnit;
  readonly axes: FileAxes;
  /** Height of the floor along the up axis, file units. */
  readonly floorHeight: number;
  readonly imageSizes: ImageSizes;
  readonly fit: ControlPointOptions;
  /** A rig file whose lenses are taken, camera by camera; then only the poses are fitted. */
  readonly lensesFrom: string | null;
}

/** A rig from control points. Errors name the pixel file. */
export async function calibrateControlPoints(options: ControlPointsOptions): Promise<Calibrated> {
  const world = worldFromFile(options.axes, options.unit, options.floorHeight);
  const read = readControlPoints(options.points);
  const points = { labels: read.labels, positions: pointsToWorld(read.positions, world) };
  const pixels = readControlPixels(options.pixels);
  const lenses = options.lensesFrom === null ? null : parseRig(readJson(options.lensesFrom, null), options.lensesFrom);
  const views = [...pixels].map(([camera, seen]) => {
    const size = imageSizeOf(camera, options.imageSizes);
    const lens = lenses === null ? undefined : lensOf(lenses, camera, options.lensesFrom!);
    return { camera, imageWidth: size.width, imageHeight: size.height, pixels: seen, lens };
  });
  const { rig, details } = naming(options.pixels, () => rigFromControlPoints(points, views, options.fit));
  return { rig, summary: `${controlPointTable(details)}${notesText(rig)}` };
}

export interface BoardCornersOptions {
  /** CSV files `camera,image,corner,col,row,u,v`, or one a camera and image. */
  readonly files: readonly string[];
  readonly columns: number;
  readonly rows: number;
  readonly squareSizeM: number;
  readonly imageSizes: ImageSizes;
  readonly lenses: 'held' | 'refined';
  readonly distortion: BoardDistortion;
  readonly up: BoardUp | null;
}

/** A rig from the corners of one board. */
export async function calibrateBoardCorners(options: BoardCornersOptions): Promise<Calibrated> {
  const board = { columns: options.columns, rows: options.rows, squareSizeM: options.squareSizeM };
  const images = readBoardCorners(options.files, board);
  const cameras = [...new Set(images.map((image) => image.camera))].map((name) => ({
    name,
    imageSize: imageSizeOf(name, options.imageSizes),
  }));
  const { lenses, distortion, up } = options;
  const made = await namingLater(options.files.join(', '), () =>
    calibrateRigFromBoard(images, board, cameras, { lenses, distortion, ...(up === null ? {} : { up }) }),
  );
  const check = measureBoard(made.rig, images, board);
  return { rig: made.rig, summary: `${boardTable(made)}${boardCheckText(check, board)}${notesText(made.rig)}` };
}

export interface DltCoefficientsOptions {
  /** CSV, one column a camera, rows L1 to L11. */
  readonly coefficients: string;
  readonly pixelY: 'up' | 'down';
  readonly imageSize: ImageSize;
  readonly unit: LengthUnit;
  readonly axes: FileAxes;
  readonly floorHeight: number;
  readonly lens: PixelLens | null;
  readonly pointInView: readonly [number, number, number] | null;
}

/** A rig from published DLT coefficients. Errors name the coefficient file. */
export async function calibrateDltCoefficients(options: DltCoefficientsOptions): Promise<Calibrated> {
  const published = readDltCoefficients(options.coefficients);
  const { pixelY, imageSize, unit, axes, floorHeight, lens, pointInView } = options;
  const rig = naming(options.coefficients, () =>
    rigFromDltCoefficients(published, {
      imageWidth: imageSize.width,
      imageHeight: imageSize.height,
      pixelY,
      unit,
      axes,
      floorHeight,
      ...(lens === null ? {} : { lens }),
      ...(pointInView === null ? {} : { pointInView }),
    }),
  );
  return { rig, summary: `${cameraTable(rig)}${notesText(rig)}` };
}

function imageSizeOf(camera: string, sizes: ImageSizes): ImageSize {
  const size = sizes.get(camera) ?? sizes.get('');
  if (size === undefined) throw imageSizeMissing(camera);
  return size;
}

function lensOf(rig: CameraRig, camera: string, file: string): KnownLens {
  const found = rig.cameras.find((one) => one.name === camera);
  if (found === undefined)
    throw lensMissingInRig(
      file,
      camera,
      rig.cameras.map((one) => one.name),
    );
  return found;
}

/** Runs `work`; a DataError that does not yet name a file gets this one in front. */
function naming<T>(file: string, work: () => T): T {
  try {
    return work();
  } catch (error) {
    throw withFile(file, error);
  }
}

async function namingLater<T>(file: string, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    throw withFile(file, error);
  }
}

function withFile(file: string, error: unknown): unknown {
  if (!(error instanceof DataError) || 'file' in error.facts) return error;
  return new DataError(error.code, `${file}: ${error.message}`, { ...error.facts, file });
}
