import { type BoardDefinition, DICTIONARIES, type DictionaryName, dictionaryBits } from '../../capture/board-file.ts';
import type { GreyImage } from '../../capture/image-file.ts';
import type { ArucoDetector, CharucoDetector, Deletable, DetectorParameters, Mat, OpenCv } from '../cv.d.ts';
import { placedMarkers } from '../defined-board.ts';
import { openDictionary } from './dictionary.ts';

/** What opencv.js reads in a picture. */
export interface DetectedBoard {
  /** (u, v) px of the board's corners, `2 * (row * columns + column)`; NaN where not found. */
  readonly corners: Float64Array;
  readonly cornerCount: number;
  /** Numbers of the markers of this dictionary that stand where the board has them. */
  readonly markerIds: readonly number[];
  /** (u, v) px of each marker's corners from its own top left on clockwise, 8 numbers a marker. */
  readonly markerCorners: Float64Array;
}

/** Marks an object of opencv.js for deletion (`withOpenCv`). */
export type Keep = <D extends Deletable>(made: D) => D;

/** The picture as a matrix; `keep` deletes it. */
export function greyMat(cv: OpenCv, keep: Keep, { width, height, pixels }: GreyImage): Mat {
  return keep(cv.matFromArray(height, width, cv.CV_8UC1, pixels));
}

/** Markers and chessboard corners of a ChArUco board (with `markers`) in a picture. */
export function detectBoard(cv: OpenCv, keep: Keep, image: Mat, board: BoardDefinition): DetectedBoard {
  const [corners, cornerIds, markerIds] = [keep(new cv.Mat()), keep(new cv.Mat()), keep(new cv.Mat())];
  const markerCorners = keep(new cv.MatVector());
  boardDetector(cv, keep, board).detectBoard(image, corners, cornerIds, markerCorners, markerIds);
  const count = cornerIds.total();
  const placed = new Float64Array(2 * (board.squaresAcross - 1) * (board.squaresDown - 1)).fill(Number.NaN);
  for (let i = 0; i < count; i++) placed.set(corners.data32F.subarray(2 * i, 2 * i + 2), 2 * cornerIds.data32S[i]);
  const markers = markerIds.total();
  const outline = new Float64Array(8 * markers);
  for (let i = 0; i < markers; i++) outline.set(keep(markerCorners.get(i)).data32F.subarray(0, 8), 8 * i);
  return {
    corners: placed,
    cornerCount: count,
    markerIds: [...markerIds.data32S.subarray(0, markers)],
    markerCorners: outline,
  };
}

/** Numbers of all markers of a dictionary in a picture, on a board or not. */
export function detectMarkers(cv: OpenCv, keep: Keep, image: Mat, name: DictionaryName): number[] {
  const ids = keep(new cv.Mat());
  const detector: ArucoDetector = keep(
    new cv.aruco_ArucoDetector(keep(openDictionary(cv, name)), detectorParameters(cv, keep), refinement(cv, keep)),
  );
  detector.detectMarkers(image, keep(new cv.MatVector()), ids, keep(new cv.MatVector()));
  return [...ids.data32S.subarray(0, ids.total())];
}

/** The largest dictionary of each marker size; the smaller ones are its beginnings. */
export const WHOLE_DICTIONARIES: readonly DictionaryName[] = DICTIONARIES.filter((name) => name.endsWith('_1000'));

/** The largest dictionary with markers of that size. */
export const wholeDictionary = (name: DictionaryName): DictionaryName =>
  WHOLE_DICTIONARIES.find((whole) => dictionaryBits(whole) === dictionaryBits(name)) ?? name;

function boardDetector(cv: OpenCv, keep: Keep, board: BoardDefinition): CharucoDetector {
  const { markers, squaresAcross, squaresDown, squareMm } = board;
  if (markers === null) throw new RangeError(`${board.name} has no markers`);
  const ids = placedMarkers(board).map(({ id }) => id);
  const made = keep(
    new cv.aruco_CharucoBoard(
      new cv.Size(squaresAcross, squaresDown),
      squareMm,
      markers.sideMm,
      keep(openDictionary(cv, markers.dictionary)),
      keep(cv.matFromArray(1, ids.length, cv.CV_32SC1, ids)),
    ),
  );
  made.setLegacyPattern(markers.topLeftSquare === 'white');
  return keep(
    new cv.aruco_CharucoDetector(
      made,
      keep(new cv.aruco_CharucoParameters()),
      detectorParameters(cv, keep),
      refinement(cv, keep),
    ),
  );
}

/**
 * Settings that differ from those OpenCV ships. A bit is read from the middle third of its field, 8 samples a side, so that
 * blur from its neighbours does not count; one wrong bit is forgiven where the dictionary allows it, since a marker must
 * also stand where the board has it; thresholds over larger neighbourhoods find larger markers. On rendered boards with
 * fields of 4 to 6 px and blur of 0.8 to 1.5 px these find 99 % of the corners, the shipped ones 43 % (docs/method/boards.md).
 */
function detectorParameters(cv: OpenCv, keep: Keep): DetectorParameters {
  const parameters = keep(new cv.aruco_DetectorParameters());
  parameters.perspectiveRemovePixelPerCell = 8;
  parameters.perspectiveRemoveIgnoredMarginPerCell = 0.33;
  parameters.errorCorrectionRate = 1;
  parameters.adaptiveThreshWinSizeMin = 5;
  parameters.adaptiveThreshWinSizeMax = 53;
  parameters.adaptiveThreshWinSizeStep = 12;
  return parameters;
}

const refinement = (cv: OpenCv, keep: Keep) => keep(new cv.aruco_RefineParameters(10, 3, true));
