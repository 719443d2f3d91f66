/**
 * The part of opencv.js 5.0 that is used here, as it really behaves; the types shipped with the package describe another
 * version. Objects made in it live outside the garbage collector: `delete()` each.
 */
export interface OpenCv {
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
}

export interface Deletable {
  delete(): void;
}

export interface Mat extends Deletable {
  readonly rows: number;
  readonly cols: number;
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
