import { DataError } from '../errors.ts';

/** Texts about how good a rig is: its file, its limits, and why a number is not known. */

// Rig files

export const rigNumberNotFinite = (field: string) =>
  new DataError(
    'rig-number-not-finite',
    `The rig cannot be written: ${field} is not a finite number. What is not known is null there, never NaN.`,
    { field },
  );

export const rigLensFolds = (file: string, camera: string, radiusPx: number, borderPx: number) =>
  new DataError(
    'rig-lens-folds',
    `${file}, camera ${camera}: its lens terms fold the picture back on itself ${radiusPx.toFixed(0)} px from the ` +
      `principal point, inside the border, which in that direction is ${borderPx.toFixed(0)} px away: points beyond ` +
      'have no place in space. Check the order and signs of k1 k2 p1 p2 k3 and the focal length in pixels, or calibrate ' +
      'with points near the border or with fewer terms.',
    { file, camera, radiusPx, borderPx },
  );

export const rigMeasuredWrong = (file: string, field: string, problem: string) =>
  new DataError(
    'rig-measured-wrong',
    `${file}, quality.measured.${field}: ${problem}. Leave out the whole "measured" block where its numbers are not known.`,
    { file, field },
  );

export const measuredCameraUnknown = (camera: string) => `camera "${camera}" is not one of the rig's cameras`;
export const measuredCameraTwice = (camera: string) => `camera "${camera}" stands there twice`;
export const measuredVolumeReversed = () => 'the least X, Y, Z must come first and not exceed the greatest';
export const measuredTriangleLength = (found: number, expected: number, parameters: number) =>
  `${found} numbers, but the lower triangle of ${parameters} parameters has ${expected}`;
export const measuredVarianceNotPositive = (parameter: string) => `the variance of ${parameter} must be above 0`;
export const measuredCorrelation = (a: string, b: string) =>
  `the covariance of ${a} and ${b} is larger than their variances allow`;

// Limits

export const rigLimitsInvalid = (file: string, place: string, problem: string) =>
  new DataError(
    'rig-limits-invalid',
    `${file}: ${place}: ${problem}. Each limit of a rig needs name, means, direction ("at most" or "at least"), good, ` +
      'usable, unit, needed, source and remedy; "usable" must not be stricter than "good".',
    { file, place },
  );

export const rigLimitUnknown = (file: string, name: string, known: readonly string[]) =>
  new DataError(
    'rig-limit-unknown',
    `${file}: limit "${name}" is not one that can be measured of a rig. Known limits: ${known.join(', ')}.`,
    { file, name },
  );

export const rigLimitUnit = (name: string, unit: string, expected: string) =>
  `the limit ${name} is in "${expected}", not in "${unit}"`;
export const limitsReversed = (good: number, usable: number) =>
  `good ${good} and usable ${usable} are the wrong way round`;

// Why a number of a rig is not known

export const qualityNotMeasured = () =>
  'the rig file holds no measured quality: it was written by hand, taken from published numbers, or made by an older version';
export const residualNotStated = () => 'the rig file does not say how well its points fit';
export const noLengthLeftOut = () => 'no length was left out of the calibration to be measured afterwards';
export const verticalNotKnown = () => 'nothing in the calibration tells how upright the world of the rig stands';
export const scaleNotKnown = () => 'nothing in the calibration tells how sure its lengths are';
export const lensHeld = () => 'the lens was taken from elsewhere as exact';
export const poseHeld = () => 'no camera position was left free';
export const noBoard = () => 'no board was used: tilt does not apply';
export const noCoverage = () => 'no image points are recorded';
export const lensFromElsewhere = () => 'the lenses were calibrated apart: see the lens file';
export const noClock = () => 'no clock was estimated: does not apply to cameras that one trigger starts';
export const noVolume = () => 'the places of the calibration points are not recorded';

// Notes of a calibration

export const undeterminedParameters = (names: readonly string[]) =>
  `not determined by this calibration: ${names.join(', ')}; their standard deviations are left out`;
export const surveyedVerticalNotStated = () =>
  'vertical from the axes of the control points: how plumb they were set up is not stated, so the uncertainty of the vertical is not known';
export const surveyedScaleNotStated = () =>
  'scale from the surveyed positions of the control points: their uncertainty is not stated, so that of the scale is not known';
export const leftOutPointsMiss = (rmsM: number, worst: string, worstM: number) =>
  `control points left out one by one come out ${(1000 * rmsM).toFixed(1)} mm r.m.s. from their surveyed places (worst: ${worst}, ${(1000 * worstM).toFixed(1)} mm)`;
export const boardLengthAssumed = (halfWidthMm: number) =>
  `scale: the board is taken to be measured along its longer side with a ruler read to ± ${halfWidthMm} mm, and flat`;
export const foldRefused = (leftOut: string, reason: string) =>
  `held-out check: without ${leftOut} no rig could be made (${reason}); it is not part of the figure`;
export const tooFewToLeaveOut = () => 'held-out check: too few images or points to leave any out';

// Why a view was dropped

export const cornersTooFewIn = (found: number, fewest: number) =>
  `${found} corners found, at least ${fewest} are needed`;
export const seenByOneCameraOnly = () =>
  'only this camera saw the board there; with lenses held it says nothing about the others';
