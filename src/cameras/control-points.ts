import {
  controlPointLabelUnknown,
  controlPointsDoNotFit,
  controlPointsTooFew,
  lensDoesNotCoverImage,
  rigCameraNamedTwice,
  rigWithoutCamera,
} from '../messages/cameras.ts';
import { cameraCentre } from './camera-model.ts';
import { checkControlPointGeometry, type SeenControlPoints, suspects } from './control-point-checks.ts';
import { type ControlPointView, misfitLimitPx, startingCameras } from './control-point-start.ts';
import type { CameraFit, FreeLensParameter } from './fit-camera.ts';
import { coversImage } from './image-cover.ts';
import { aicc, bestFit, type ControlPointOptions, chooseFit, lensModels, ROUNDING_PX } from './lens-choice.ts';
import { blockOf, type CameraCovariance, centreCovariance, covarianceOfFit } from './pose-covariance.ts';
import type { Camera, CameraRig } from './rig.ts';

/** Surveyed points: labels and 3 × n coordinates in the rig's world, metres (see `pointsToWorld`). */
export interface ControlPoints {
  readonly labels: readonly string[];
  readonly positions: Float64Array;
}

export interface ControlPointCamera {
  readonly camera: Camera;
  readonly labels: readonly string[];
  /** Predicted − measured, pixels, 2 × labels. */
  readonly residuals: Float64Array;
  readonly rmsPx: number;
  readonly free: readonly FreeLensParameter[];
  /** Standard deviation of the (mean) focal length, px; NaN where the lens was given or not determined. */
  readonly focalSdPx: number;
  /** Standard deviations of the camera's centre, metres, world axes. */
  readonly centreSdM: Float64Array;
  /** Covariance of what was fitted, for a small turn of the camera in place of its rotation vector. */
  readonly covariance: CameraCovariance;
  /** Every lens model tried, with its criterion; lower is better. */
  readonly tried: readonly {
    readonly free: readonly FreeLensParameter[];
    readonly rmsPx: number;
    readonly aicc: number;
  }[];
  readonly notes: readonly string[];
}

/** Focal length less certain than this part of itself is noted. Common practice, no source. */
const FOCAL_DOUBT = 0.05;

/**
 * One camera from ≥ 6 non-coplanar control points: DLT (Abdel-Aziz & Karara 1971), decomposed to K, R, t, then refined
 * by least squares on pixels with the fewest lens parameters that AICc supports (Hurvich & Tsai 1989). Skew is 0.
 * Throws a DataError with the reason where the set is degenerate or does not fit.
 */
export function cameraFromControlPoints(
  points: ControlPoints,
  view: ControlPointView,
  options: ControlPointOptions = {},
): ControlPointCamera {
  const seen = seenPoints(points, view);
  checkControlPointGeometry(seen);
  const starts = startingCameras(seen, view);
  const models = view.lens === undefined ? lensModels(options) : [[]];
  const fits = models.flatMap((free) => bestFit(starts, seen, free));
  if (fits.length === 0) throw controlPointsTooFew(view.camera, seen.labels.length, fewestPointsFor(models[0]));
  const chosen = chooseFit(fits);
  const worst = worstResiduals(chosen, seen.labels);
  const limitPx = misfitLimitPx(view);
  if (chosen.rmsPx > limitPx) {
    const farthest = `Farthest off: ${worst.map(({ label, px }) => `${label} (${px.toFixed(0)} px)`).join(', ')}.`;
    throw controlPointsDoNotFit(view.camera, chosen.rmsPx, limitPx, suspects(seen, limitPx) || farthest);
  }
  if (!coversImage(chosen.camera)) throw lensDoesNotCoverImage(view.camera, chosen.camera.distortion);
  const covariance = covarianceOfFit(chosen);
  return {
    camera: chosen.camera,
    labels: seen.labels,
    residuals: chosen.residuals,
    rmsPx: chosen.rmsPx,
    free: chosen.free,
    focalSdPx: focalSd(chosen),
    centreSdM: centreSd(chosen, covariance),
    covariance,
    tried: fits.map((fit) => ({ free: fit.free, rmsPx: fit.rmsPx, aicc: aicc(fit) })),
    notes: notesOn(chosen, view, worst),
  };
}

/** All cameras of a rig from the same control points; `details` in the order of the views. */
export function rigFromControlPoints(
  points: ControlPoints,
  views: readonly ControlPointView[],
  options: ControlPointOptions = {},
): { rig: CameraRig; details: readonly ControlPointCamera[] } {
  if (views.length === 0) throw rigWithoutCamera('control points');
  const names = views.map((view) => view.camera);
  const twice = names.find((name, i) => names.indexOf(name) !== i);
  if (twice !== undefined) throw rigCameraNamedTwice('control points', twice);
  const details = views.map((view) => cameraFromControlPoints(points, view, options));
  let squares = 0;
  let used = 0;
  for (const one of details) {
    squares += one.rmsPx ** 2 * one.labels.length;
    used += one.labels.length;
  }
  const rig: CameraRig = {
    kneeward: 1,
    cameras: details.map((one) => one.camera),
    quality: {
      method: 'control points',
      reprojectionRmsPx: Math.sqrt(squares / used),
      pointsUsed: used,
      notes: details.flatMap((one) => one.notes),
    },
    synthetic: false,
  };
  return { rig, details };
}

function seenPoints(points: ControlPoints, view: ControlPointView): SeenControlPoints {
  for (const label of view.pixels.keys()) {
    if (!points.labels.includes(label)) throw controlPointLabelUnknown(view.camera, label, points.labels);
  }
  const labels = points.labels.filter((label) => view.pixels.has(label));
  return {
    camera: view.camera,
    labels,
    points: Float64Array.from(
      labels.flatMap((label) => {
        const i = points.labels.indexOf(label);
        return [...points.positions.subarray(3 * i, 3 * i + 3)];
      }),
    ),
    pixels: Float64Array.from(labels.flatMap((label) => [...view.pixels.get(label)!])),
  };
}

/** Points whose equations leave one over for the given free lens parameters and the pose. */
function fewestPointsFor(free: readonly FreeLensParameter[]): number {
  return Math.floor((free.length + 6) / 2) + 1;
}

function worstResiduals(fit: CameraFit, labels: readonly string[]): { label: string; px: number }[] {
  return labels
    .map((label, i) => ({ label, px: Math.hypot(fit.residuals[2 * i], fit.residuals[2 * i + 1]) }))
    .sort((a, b) => b.px - a.px)
    .slice(0, 3);
}

function focalSd(fit: CameraFit): number {
  const n = fit.parameterCount;
  const variance = (k: number) => fit.covariance[k * n + k];
  if (fit.free[0] === 'f') return Math.sqrt(variance(0));
  if (fit.free[0] === 'fx') return 0.5 * Math.sqrt(variance(0) + variance(1) + 2 * fit.covariance[1]);
  return Number.NaN;
}

/** Standard deviations of the centre along the world's axes, metres. */
function centreSd(fit: CameraFit, { parameters, covariance }: CameraCovariance): Float64Array {
  const first = fit.free.length;
  const pose = blockOf(
    covariance,
    parameters.length,
    [0, 1, 2, 3, 4, 5].map((k) => first + k),
  );
  const centre = centreCovariance(fit.camera, pose);
  return Float64Array.of(Math.sqrt(centre[0]), Math.sqrt(centre[4]), Math.sqrt(centre[8]));
}

function notesOn(fit: CameraFit, view: ControlPointView, worst: readonly { label: string; px: number }[]): string[] {
  const notes: string[] = [];
  const name = view.camera;
  const spare = fit.residuals.length - fit.parameterCount;
  if (spare < 6) {
    notes.push(
      `camera ${name}: ${fit.residuals.length / 2} control points leave ${spare} spare equations; more points would show errors`,
    );
  }
  const doubt = focalSd(fit) / (0.5 * (fit.camera.fx + fit.camera.fy));
  if (doubt > FOCAL_DOUBT) {
    notes.push(
      `camera ${name}: focal length known to ${(100 * doubt).toFixed(0)} % only; use points over a larger part of the picture and of the depth`,
    );
  }
  if (worst[0].px > 3 * fit.rmsPx && fit.rmsPx > ROUNDING_PX) {
    notes.push(
      `camera ${name}: control point ${worst[0].label} is ${worst[0].px.toFixed(1)} px off, against ${fit.rmsPx.toFixed(1)} px r.m.s.; is it measured well?`,
    );
  }
  if (cameraCentre(fit.camera)[1] < 0) {
    notes.push(`camera ${name}: it comes out below the floor; check the up axis and the floor height`);
  }
  return notes;
}

export type { ControlPointOptions, ControlPointView };
