import { DataError } from '../errors.ts';
import {
  foldRefused,
  leftOutPointsMiss,
  surveyedScaleNotStated,
  surveyedVerticalNotStated,
  undeterminedParameters,
} from '../messages/acceptance.ts';
import type { Calibration, CalibrationObservation } from './calibration.ts';
import {
  type ControlPointCamera,
  type ControlPointOptions,
  type ControlPoints,
  type ControlPointView,
  cameraFromControlPoints,
  rigFromControlPoints,
} from './control-points.ts';
import { type HeldOutPair, lengthFigure } from './held-out-length.ts';
import { pointFromViews } from './point-from-views.ts';
import { sideBySide } from './pose-covariance.ts';
import type { Camera, MeasuredQuality } from './rig.ts';
import { measuredQuality } from './rig-quality.ts';

/** All control points of one camera make one view. */
export const CONTROL_POINT_VIEW = 'control points';

/** What the pixels cannot tell: how well the control points themselves were set up and measured. */
export interface SurveyQuality {
  readonly vertical?: MeasuredQuality['vertical'];
  readonly scale?: MeasuredQuality['scale'];
}

/** A control point left out of the calibration and seen again by its cameras. */
export interface LeftOutPoint {
  readonly label: string;
  /** Distance from its surveyed place, metres. */
  readonly errorM: number;
}

export interface ControlPointCalibration extends Calibration {
  readonly details: readonly ControlPointCamera[];
  readonly leftOut: readonly LeftOutPoint[];
}

/**
 * `rigFromControlPoints` with what its report shows. Every point that two cameras see is left out in turn, all cameras
 * are fitted without it, and it is placed by them: its distances to the other points are the held-out lengths, its
 * distance from its surveyed place stands in `leftOut`. The rig itself is made from all points.
 */
export function controlPointCalibration(
  points: ControlPoints,
  views: readonly ControlPointView[],
  options: ControlPointOptions = {},
  survey: SurveyQuality = {},
): ControlPointCalibration {
  const { rig, details } = rigFromControlPoints(points, views, options);
  const used = points.labels.filter((label) => views.some((view) => view.pixels.has(label)));
  const places = Float64Array.from(used.flatMap((label) => [...placeOf(points, label)]));
  const observations = details.flatMap((detail, c) => observationsOf(detail, views[c]));
  const { leftOut, held } = leaveOneOut(points, views, options);
  const { measured, undetermined } = measuredQuality({
    cameras: rig.cameras,
    covariance: sideBySide(details.map((detail) => detail.covariance)),
    observations,
    boardNormals: new Map(),
    points: places,
    clocks: new Map(),
    heldOutLength: held.figure,
    vertical: survey.vertical ?? null,
    scale: survey.scale ?? null,
  });
  const notes = [
    ...rig.quality.notes,
    ...(survey.vertical ? [] : [surveyedVerticalNotStated()]),
    ...(survey.scale ? [] : [surveyedScaleNotStated()]),
    ...(leftOut.length > 0
      ? [leftOutPointsMiss(rootMeanSquare(leftOut), worst(leftOut).label, worst(leftOut).errorM)]
      : []),
    ...(undetermined.length > 0 ? [undeterminedParameters(undetermined)] : []),
    ...held.notes,
  ];
  return {
    rig: { ...rig, quality: { ...rig.quality, notes, measured } },
    observations,
    points: places,
    views: details.map((detail) => ({
      camera: detail.camera.name,
      image: CONTROL_POINT_VIEW,
      points: detail.labels.length,
      rmsPx: detail.rmsPx,
      tiltDeg: null,
    })),
    dropped: [],
    details,
    leftOut,
  };
}

function observationsOf(
  { camera, labels, residuals }: ControlPointCamera,
  view: ControlPointView,
): CalibrationObservation[] {
  return labels.map((label, i) => {
    const [u, v] = view.pixels.get(label)!;
    return {
      camera: camera.name,
      image: CONTROL_POINT_VIEW,
      point: label,
      u,
      v,
      du: residuals[2 * i],
      dv: residuals[2 * i + 1],
      used: true,
    };
  });
}

function leaveOneOut(points: ControlPoints, views: readonly ControlPointView[], options: ControlPointOptions) {
  const leftOut: LeftOutPoint[] = [];
  const pairs: HeldOutPair[] = [];
  const notes: string[] = [];
  for (const label of points.labels) {
    const seeing = views.filter((view) => view.pixels.has(label));
    if (seeing.length < 2) continue;
    try {
      const cameras = seeing.map((view) => cameraFromControlPoints(points, without(view, label), options).camera);
      const found = placedBy(cameras, seeing, label);
      if (found === null) continue;
      leftOut.push({ label, errorM: distance(found, placeOf(points, label)) });
      for (const other of points.labels) {
        if (other === label) continue;
        const trueM = distance(placeOf(points, label), placeOf(points, other));
        pairs.push({ measuredM: distance(found, placeOf(points, other)), trueM });
      }
    } catch (error) {
      if (!(error instanceof DataError)) throw error;
      notes.push(foldRefused(`point ${label}`, error.code));
    }
  }
  const what = 'distances to the other control points of each control point that the calibration did not use';
  return { leftOut, held: lengthFigure(what, pairs, notes) };
}

function without(view: ControlPointView, label: string): ControlPointView {
  return { ...view, pixels: new Map([...view.pixels].filter(([name]) => name !== label)) };
}

function placedBy(cameras: readonly Camera[], views: readonly ControlPointView[], label: string): Float64Array | null {
  return pointFromViews(
    cameras,
    views.flatMap((view) => [...view.pixels.get(label)!]),
  );
}

function placeOf({ labels, positions }: ControlPoints, label: string): Float64Array {
  const i = labels.indexOf(label);
  return positions.subarray(3 * i, 3 * i + 3);
}

function distance(a: Float64Array, b: Float64Array): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}

function rootMeanSquare(leftOut: readonly LeftOutPoint[]): number {
  return Math.sqrt(leftOut.reduce((sum, { errorM }) => sum + errorM ** 2, 0) / leftOut.length);
}

function worst(leftOut: readonly LeftOutPoint[]): LeftOutPoint {
  return leftOut.reduce((a, b) => (b.errorM > a.errorM ? b : a));
}
