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
import { calibrationPixelOutside, lensMissingInRig } from '../messages/cameras.ts';
import { measureBoard } from './board-check.ts';
import { readBoardCorners, readControlPixels, readControlPoints, readDltCoefficients } from './calibrate-files.ts';
import { type ImageSizes, imageSizeOf } from './calibrate-options.ts';
import { boardCheckText, boardTable, cameraTable, controlPointTable, notesText } from './calibrate-summary.ts';

/** Share of the picture by which a mark may miss it: a border marked by hand (common practice, no source). */
const OUTSIDE_SHARE = 0.01;

/** A rig and a short table about it for the terminal. */
export interface Calibrated {
  readonly rig: CameraRig;
  readonly summary: string;
}

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
    checkInside(options.pixels, camera, size, seen.values());
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
  for (const { camera, corners } of images)
    checkInside(options.files.join(', '), camera, imageSizeOf(camera, options.imageSizes), pairs(corners));
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

/** What a camera shows lies in its picture: a pixel beyond it means another image size, or a mistyped pixel. */
function checkInside(
  file: string,
  camera: string,
  { width, height }: ImageSize,
  pixels: Iterable<readonly [number, number]>,
): void {
  for (const [u, v] of pixels) {
    const beyond = Math.max(-u / width, (u - width) / width, -v / height, (v - height) / height);
    if (beyond > OUTSIDE_SHARE) throw calibrationPixelOutside(file, camera, u, v, width, height);
  }
}

function* pairs(values: Float64Array): Iterable<readonly [number, number]> {
  for (let i = 0; i < values.length; i += 2) yield [values[i], values[i + 1]];
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
