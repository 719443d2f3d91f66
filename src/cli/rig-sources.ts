import { calibrationOfBoardRig } from '../cameras/board-calibration.ts';
import { type BoardCamera, type BoardRig, calibrateRigFromBoard } from '../cameras/board-rig.ts';
import type { BoardUp } from '../cameras/board-vertical.ts';
import type { Calibration } from '../cameras/calibration.ts';
import { controlPointCalibration } from '../cameras/control-point-calibration.ts';
import { cornerGrid } from '../cameras/defined-board.ts';
import { heldOutBoardLength } from '../cameras/held-out-board.ts';
import type { BoardTerms } from '../cameras/lens-calibration.ts';
import { rigFromBarbell, rigFromRods } from '../cameras/moving-points/moving-points-rig.ts';
import { competitionBar, measuredRod, type RodRule } from '../cameras/moving-points/scale-budget.ts';
import { type VerticalEvidence, verticalFrom } from '../cameras/vertical/vertical-evidence.ts';
import { pointsToWorld, worldFromFile } from '../cameras/world-axes.ts';
import { readBoard } from '../capture/board-file.ts';
import type { InputLedger } from '../capture/input-file.ts';
import { DEFAULT_SETTINGS, type FileAxes, type LengthUnit, type Recording } from '../capture/recording.ts';
import { readRecordingFile } from '../capture/recording-file.ts';
import { checkSameMode } from '../capture/video/mode.ts';
import { readView } from '../capture/view-track.ts';
import { barbellWithoutViews, lensModeDiffers, photographsOnly, rodLengthWanted } from '../messages/calibrate.ts';
import { usage } from '../messages/cli.ts';
import { lensMissing } from '../messages/lenses.ts';
import type { BoardSightings } from './board-sightings.ts';
import { readControlPixels, readControlPoints } from './calibrate-files.ts';
import { type ImageSizes, imageSizeOf } from './calibrate-options.ts';
import { findBoard } from './find-board.ts';
import { type KnownLenses, readLenses } from './known-lenses.ts';
import { readStickTracks } from './moving-point-files.ts';
import { pictureSources } from './picture-sources.ts';
import type { Progress } from './progress.ts';
import { checkTapes, type Tape } from './tape-check.ts';

/** What all ways of making a rig take. */
export interface RigCommon {
  readonly tapes: readonly Tape[];
  readonly evidence: readonly VerticalEvidence[];
}

export interface FromBoard extends RigCommon {
  readonly sources: readonly string[];
  readonly board: string;
  readonly lensFile: string | null;
  readonly terms: BoardTerms | 'auto';
  readonly up: BoardUp | null;
}

/** A rig from board pictures or videos, with its held-out lengths. */
export async function rigFromBoardPictures(
  options: FromBoard,
  ledger: InputLedger,
  progress: Progress,
): Promise<Calibration> {
  const board = readBoard(options.board, ledger);
  const sources = pictureSources(options.sources);
  if (sources.length < 2) {
    throw usage('A rig needs the pictures of two cameras or more. For one lens use "kneeward calibrate lens".');
  }
  const found = await findBoard(sources, board, progress, ledger);
  const known = options.lensFile === null ? null : readLenses(options.lensFile, ledger);
  const cameras = sources.map(({ camera }): BoardCamera => {
    const imageSize = found.sizes.get(camera)!;
    if (known === null) return { name: camera, imageSize };
    return { name: camera, imageSize, lens: lensInMode(known, camera, found) };
  });
  const { up, evidence, terms } = options;
  const grid = cornerGrid(board);
  const fit = { outliers: 'dropped', loss: 'huber' } as const;
  progress.step(0, 2, 'fitting cameras and boards together');
  const made = await calibrateRigFromBoard(found.images, grid, cameras, {
    ...fit,
    distortion: terms,
    ...(up === null ? {} : { up }),
    ...(evidence.length === 0 ? {} : { vertical: (placed) => verticalFrom(placed, null, evidence, 0)! }),
  });
  checkTapes(options.tapes, made.rig.cameras, board.printedSquareMm);
  const isKept = ({ camera, image }: { camera: string; image: string }) =>
    !made.dropped.some((one) => one.camera === camera && one.image === image);
  progress.step(1, 2, 'measuring boards that were left out');
  // The terms are those chosen with all images: a choice in every part would take minutes and say nothing more.
  const heldOut = await heldOutBoardLength(found.images.filter(isKept), grid, cameras, {
    ...fit,
    distortion: chosenTerms(made, terms),
  });
  progress.end();
  const calibration = calibrationOfBoardRig(made, found.images, grid, {
    heldOut,
    ...(up === null ? {} : { up }),
  });
  const { quality } = calibration.rig;
  const notes = [...quality.notes, ...found.notes, ...(found.from === 'photographs' ? [photographsOnly()] : [])];
  return {
    ...calibration,
    rig: { ...calibration.rig, quality: { ...quality, method: `board, ${found.from}`, notes } },
    dropped: [...found.dropped, ...calibration.dropped],
  };
}

/** The richest of the terms chosen for the cameras. */
function chosenTerms({ choices }: BoardRig, given: BoardTerms | 'auto'): BoardTerms {
  if (given !== 'auto') return given;
  const order = ['none', 'k1', 'k1 k2', 'k1 k2 p1 p2', 'k1 k2 p1 p2 k3'] as const;
  return order[Math.max(0, ...choices.map((choice) => (choice === null ? 0 : order.indexOf(choice.terms))))];
}

export interface FromControlPoints extends RigCommon {
  readonly points: string;
  readonly pixels: string;
  readonly unit: LengthUnit;
  readonly axes: FileAxes;
  readonly floorHeight: number;
  readonly imageSizes: ImageSizes;
  readonly lensFile: string | null;
}

/** A rig from surveyed points, each left out in turn to see how far it misses. */
export function rigFromSurveyedPoints(options: FromControlPoints, ledger: InputLedger): Calibration {
  const read = readControlPoints(options.points, ledger);
  const world = worldFromFile(options.axes, options.unit, options.floorHeight);
  const points = { labels: read.labels, positions: pointsToWorld(read.positions, world) };
  const known = options.lensFile === null ? null : readLenses(options.lensFile, ledger);
  const views = [...readControlPixels(options.pixels, ledger)].map(([camera, pixels]) => {
    const lens = known === null ? null : lensFor(known, camera).camera;
    const size =
      lens === null ? imageSizeOf(camera, options.imageSizes) : { width: lens.imageWidth, height: lens.imageHeight };
    return {
      camera,
      imageWidth: size.width,
      imageHeight: size.height,
      pixels,
      ...(lens === null ? {} : { lens }),
    };
  });
  const calibration = controlPointCalibration(points, views);
  checkTapes(options.tapes, calibration.rig.cameras, null);
  return calibration;
}

export interface FromMovingPoints extends RigCommon {
  readonly lensFile: string;
  /** Length of the rod and its standard deviation, metres; null = by rule or as the recording says. */
  readonly lengthM: number | null;
  readonly lengthSdM: number;
  /** Prior standard deviation of the clocks against the first camera, seconds; null = clocks as given. */
  readonly clockSdS: number | null;
  readonly seed: number;
}

/** A rig from a stick of known length, waved through the space that both cameras see. */
export function rigFromWavedStick(
  options: FromMovingPoints & { readonly stick: string; readonly frameRateHz: number | null },
  ledger: InputLedger,
): Calibration {
  const known = readLenses(options.lensFile, ledger);
  const tracks = readStickTracks(
    options.stick,
    ledger,
    options.frameRateHz,
    (camera) => lensFor(known, camera).camera.imageHeight,
  );
  if (options.lengthM === null) throw rodLengthWanted();
  const calibration = rigFromRods(tracks, known.lenses, {
    rods: [measuredRod(tracks[0].points as [string, string], options.lengthM, options.lengthSdM)],
    points: [],
    clockSdS: options.clockSdS,
    vertical: options.evidence,
    seed: options.seed,
  });
  checkTapes(options.tapes, calibration.rig.cameras, null);
  return calibration;
}

/** A rig from the barbell's ends and the lifter's joints in a recording; the recording's own rig is not opened. */
export function rigFromLift(
  options: FromMovingPoints & { readonly recording: string; readonly bar: 'men' | 'women' | null },
  ledger: InputLedger,
): Calibration {
  const known = readLenses(options.lensFile, ledger);
  const recording = readRecordingFile(options.recording, DEFAULT_SETTINGS, ledger);
  if (recording.source.kind !== 'views') throw barbellWithoutViews(options.recording);
  const tracks = recording.source.views.map((view) => readView(view, recording.settings.minimumConfidence, ledger));
  const calibration = rigFromBarbell(tracks, known.lenses, {
    rods: [barOf(options, recording)],
    clockSdS: options.clockSdS,
    vertical: options.evidence,
    seed: options.seed,
    synthetic: recording.synthetic,
  });
  checkTapes(options.tapes, calibration.rig.cameras, null);
  return calibration;
}

function barOf(
  { lengthM, lengthSdM, bar }: FromMovingPoints & { readonly bar: 'men' | 'women' | null },
  { load }: Recording,
): RodRule {
  if (lengthM === null && bar !== null) {
    const barKg = load.bar.massKg ?? (bar === 'men' ? 20 : 15);
    return competitionBar(bar, Math.max(0, load.totalKg - barKg));
  }
  const measuredM = lengthM ?? load.bar.lengthM;
  if (measuredM === null) throw rodLengthWanted();
  return measuredRod(['bar_left_end', 'bar_right_end'], measuredM, lengthSdM);
}

function lensFor({ file, lenses }: KnownLenses, camera: string) {
  const found = lenses.find((lens) => lens.camera.name === camera);
  if (found !== undefined) return found;
  throw lensMissing(
    file,
    camera,
    lenses.map((lens) => lens.camera.name),
  );
}

/** The camera's lens, refused where it was made from pictures of another kind, size, shape or way up. */
function lensInMode(known: KnownLenses, camera: string, { from, sizes, videos }: BoardSightings) {
  const lens = lensFor(known, camera);
  const { mode } = lens;
  const size = sizes.get(camera)!;
  if (mode.from !== from && mode.from !== 'corners') throw lensModeDiffers(known.file, camera, mode, { from, ...size });
  const video = videos.get(camera);
  if (video !== undefined) checkSameMode({ imageSize: mode, madeFrom: `the ${mode.from} of ${known.file}` }, video);
  else if (mode.width !== size.width || mode.height !== size.height) {
    throw lensModeDiffers(known.file, camera, mode, { from, ...size });
  }
  return lens;
}
