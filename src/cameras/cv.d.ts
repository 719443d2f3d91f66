import type { DictionaryName } from '../capture/board-file.ts';

/**
 * The part of opencv.js 5.0 that is used here, as it really behaves; the types shipped with the package describe another
 * version. Objects made in it live outside the garbage collector: `delete()` each.
 */
export type OpenCv = CodedBoards & {
  readonly Mat: new () => Mat;
  readonly MatVector: new () => MatVector;
  readonly Size: new (width: number, height: number) => Size;
  readonly TermCriteria: new (type: number, maxCount: number, epsilon: number) => TermCriteria;
  matFromArray(rows: number, columns: number, type: number, values: ArrayLike<number>): Mat;
  calibrateCameraExtended(
    objectPoints: MatVector,
    imagePoints: MatVector,
    imageSize: Size,
    cameraMatrix: Mat,
    distortion: Mat,
    rotationVectors: MatVector,
    translations: MatVector,
    intrinsicDeviations: Mat,
    extrinsicDeviations: Mat,
    perViewErrors: Mat,
    flags: number,
    criteria: TermCriteria,
  ): number;
  /** C++ exceptions arrive in JavaScript as a number. */
  exceptionFromPtr(pointer: number): { readonly msg: string };
  readonly CV_32FC2: number;
  readonly CV_32FC3: number;
  readonly CALIB_FIX_K3: number;
  readonly CALIB_FIX_K2: number;
  readonly CALIB_ZERO_TANGENT_DIST: number;
  readonly TermCriteria_COUNT: number;
  readonly TermCriteria_EPS: number;
} & Readonly<Record<DictionaryName, number>>;

/** Coded markers and boards of them (ArUco, ChArUco). */
interface CodedBoards {
  readonly aruco_CharucoBoard: new (
    squares: Size,
    squareLength: number,
    markerLength: number,
    dictionary: ArucoDictionary,
    /** 1 × n int32. */
    ids: Mat,
  ) => CharucoBoard;
  readonly aruco_CharucoParameters: new () => CharucoParameters;
  readonly aruco_DetectorParameters: new () => DetectorParameters;
  readonly aruco_RefineParameters: new (
    minRepDistance: number,
    errorCorrectionRate: number,
    checkAllOrders: boolean,
  ) => Deletable;
  readonly aruco_CharucoDetector: new (
    board: CharucoBoard,
    charuco: CharucoParameters,
    detector: DetectorParameters,
    refine: Deletable,
  ) => CharucoDetector;
  readonly aruco_ArucoDetector: new (
    dictionary: ArucoDictionary,
    detector: DetectorParameters,
    refine: Deletable,
  ) => ArucoDetector;
  getPredefinedDictionary(name: number): ArucoDictionary;
  /** `code` 1 flips left for right. */
  flip(source: Mat, target: Mat, code: number): void;
  resize(source: Mat, target: Mat, size: Size, fx: number, fy: number, interpolation: number): void;
  readonly INTER_AREA: number;
  readonly INTER_CUBIC: number;
  readonly CV_8UC1: number;
  readonly CV_32SC1: number;
}

export interface ArucoDictionary extends Deletable {
  generateImageMarker(id: number, sidePixels: number, image: Mat, borderBits: number): void;
}

export interface CharucoBoard extends Deletable {
  /** true: with an even number of rows the top-left square is white. */
  setLegacyPattern(legacy: boolean): void;
}

export interface CharucoParameters extends Deletable {
  minMarkers: number;
  tryRefineMarkers: boolean;
  checkMarkers: boolean;
}

export interface DetectorParameters extends Deletable {
  adaptiveThreshWinSizeMin: number;
  adaptiveThreshWinSizeMax: number;
  adaptiveThreshWinSizeStep: number;
  perspectiveRemovePixelPerCell: number;
  perspectiveRemoveIgnoredMarginPerCell: number;
  errorCorrectionRate: number;
}

export interface CharucoDetector extends Deletable {
  /**
   * Corners n × 1 of float (u, v), their ids int32 in an n-vector whose shape is 1 × n in this build (use `total()`);
   * markers as 1 × 4 of float (u, v) from their own top left on clockwise, their ids likewise. Nothing found: total 0.
   */
  detectBoard(image: Mat, corners: Mat, cornerIds: Mat, markerCorners: MatVector, markerIds: Mat): void;
}

export interface ArucoDetector extends Deletable {
  detectMarkers(image: Mat, markerCorners: MatVector, markerIds: Mat, rejected: MatVector): void;
}

export interface Deletable {
  delete(): void;
}

export interface Mat extends Deletable {
  readonly rows: number;
  readonly cols: number;
  readonly data: Uint8Array;
  readonly data32S: Int32Array;
  readonly data32F: Float32Array;
  readonly data64F: Float64Array;
  total(): number;
}

export interface MatVector extends Deletable {
  push_back(mat: Mat): void;
  get(index: number): Mat;
  size(): number;
}

/** Plain value objects: nothing to delete. */
export interface Size {
  readonly width: number;
  readonly height: number;
}

export interface TermCriteria {
  readonly type: number;
  readonly maxCount: number;
  readonly epsilon: number;
}
