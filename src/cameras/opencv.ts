import { DICTIONARIES } from '../capture/board-file.ts';
import { DataError } from '../errors.ts';
import { openCvFailed, openCvUnfit } from '../messages/cameras.ts';
import type { Deletable, OpenCv } from './cv.d.ts';

let loading: Promise<OpenCv> | undefined;

/** opencv.js, loaded on first use (about half a second) and checked for the functions that builds often lack. */
export function loadOpenCv(): Promise<OpenCv> {
  loading ??= load();
  return loading;
}

async function load(): Promise<OpenCv> {
  const module: { default: unknown } = await import('@techstark/opencv-js');
  const cv = (await module.default) as OpenCv;
  const needed: readonly (keyof OpenCv)[] = [
    'Mat',
    'MatVector',
    'matFromArray',
    'calibrateCameraExtended',
    'getPredefinedDictionary',
    'aruco_ArucoDetector',
    'aruco_CharucoBoard',
    'aruco_CharucoDetector',
    'aruco_CharucoParameters',
    'aruco_DetectorParameters',
    'aruco_RefineParameters',
    'flip',
    'resize',
    'INTER_AREA',
    'INTER_CUBIC',
    ...DICTIONARIES,
    'exceptionFromPtr',
    'CV_8UC1',
    'CV_32SC1',
    'CV_32FC2',
    'CV_32FC3',
    'CALIB_FIX_K2',
    'CALIB_FIX_K3',
    'CALIB_ZERO_TANGENT_DIST',
    'TermCriteria_COUNT',
    'TermCriteria_EPS',
  ];
  for (const name of needed) if (cv[name] === undefined) throw openCvUnfit(`it has no ${name}`);
  return cv;
}

/**
 * Runs `work` with a `keep` that marks objects to delete afterwards, whatever happens. C++ exceptions, which arrive as
 * numbers, become `openCvFailed` with the library's own reason; `what` says what was being done.
 */
export function withOpenCv<T>(cv: OpenCv, what: string, work: (keep: <D extends Deletable>(made: D) => D) => T): T {
  const kept: Deletable[] = [];
  try {
    return work((made) => {
      kept.push(made);
      return made;
    });
  } catch (error) {
    if (error instanceof DataError) throw error;
    if (typeof error === 'number') throw openCvFailed(what, cv.exceptionFromPtr(error).msg.trim());
    throw error;
  } finally {
    for (const made of kept.reverse()) made.delete();
  }
}
