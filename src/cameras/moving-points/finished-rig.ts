import {
  cameraNamesMirrored,
  noteNoVertical,
  noteOutliers,
  noteVertical,
  noteVerticalWide,
} from '../../messages/moving-points.ts';
import type { Calibration } from '../calibration.ts';
import { lengthFigure, rodLengths } from '../held-out-length.ts';
import { pointFromViews } from '../point-from-views.ts';
import type { Pose } from '../pose.ts';
import { bundleObservations, bundlePoints, placedCameras, qualityOfBundle } from '../rig-quality.ts';
import { dot, VERTICAL_LIMIT_DEG, type VerticalEstimate } from '../vertical/vertical-estimate.ts';
import type { Moments } from './image-tracks.ts';
import { heldOut, type JointFit, type RodInMoments } from './joint-fit.ts';
import type { scaleBudget } from './scale-budget.ts';

/** Robust weight below which a point counts as mis-detected. Common practice, no source. */
const LEAST_WEIGHT = 0.5;

/** Pixels of every point at every moment, 2 × cameras each. */
export function viewsOf({ cameras, points, timeS, pixel }: Moments): Float64Array[] {
  const views: Float64Array[] = [];
  for (let k = 0; k < timeS.length; k++) {
    for (let p = 0; p < points.length; p++) views.push(viewOf({ cameras, points, pixel }, k, p));
  }
  return views;
}

export function viewOf(
  { cameras, points, pixel }: Pick<Moments, 'cameras' | 'points' | 'pixel'>,
  k: number,
  p: number,
) {
  return Float64Array.from({ length: 2 * cameras.length }, (_, i) => {
    const c = i >> 1;
    return pixel[2 * ((k * cameras.length + c) * points.length + p) + (i & 1)];
  });
}

export interface Finish {
  readonly method: string;
  readonly vertical: VerticalEstimate | null;
  readonly scale: ReturnType<typeof scaleBudget>;
  readonly notes: readonly string[];
  readonly synthetic: boolean;
}

/** The calibration in the rig's world, with the rods left out measured by the cameras found. */
export function finished(
  fit: JointFit,
  moments: Moments,
  rods: readonly RodInMoments[],
  worldFromBundle: Pose,
  { method, vertical, scale, notes, synthetic }: Finish,
): Calibration {
  const { problem, solution } = fit;
  const left = Array.from(moments.timeS, (_, k) => k).filter(heldOut);
  const pairs = rodLengths(
    solution.cameras,
    left.flatMap((k) =>
      rods.map(({ ends, lengthM }) => ({
        lengthM,
        ends: [viewOf(moments, k, ends[0]), viewOf(moments, k, ends[1])] as const,
      })),
    ),
  );
  const { figure } = lengthFigure('rod at moments left out of the fit', pairs);
  const { measured } = qualityOfBundle(problem, solution, {
    worldFromBundle,
    heldOutLength: figure,
    vertical: vertical && { from: vertical.from, halfWidth95Deg: vertical.halfWidth95Deg },
    scale,
  });
  return {
    rig: {
      kneeward: 1,
      cameras: placedCameras(solution.cameras, worldFromBundle),
      quality: {
        method,
        reprojectionRmsPx: solution.rmsPx,
        pointsUsed: problem.observations.camera.length,
        notes,
        measured,
      },
      synthetic,
    },
    observations: bundleObservations(problem, solution),
    points: bundlePoints(problem.targets, solution, worldFromBundle),
    views: measured.cameras.map(({ camera, points, reprojectionRmsPx }) => ({
      camera,
      image: 'all moments',
      points,
      rmsPx: reprojectionRmsPx,
      tiltDeg: null,
    })),
    dropped: [],
  };
}

export const meanSd = (sdPx: Float64Array): number => Math.sqrt(sdPx.reduce((sum, x) => sum + x * x, 0) / sdPx.length);

export function outlierNotes({ problem, solution }: JointFit): string[] {
  return problem.cameras.flatMap(({ camera }, c) => {
    let seen = 0;
    let wild = 0;
    problem.observations.camera.forEach((index, i) => {
      if (index !== c) return;
      seen++;
      if (solution.weights[i] < LEAST_WEIGHT) wild++;
    });
    return wild > 0 ? [noteOutliers(camera.name, wild, seen)] : [];
  });
}

export function verticalNotes(vertical: VerticalEstimate | null): string[] {
  if (vertical === null) return [noteNoVertical()];
  const { from, halfWidth95Deg } = vertical;
  return [
    halfWidth95Deg <= VERTICAL_LIMIT_DEG
      ? noteVertical(from, halfWidth95Deg)
      : noteVerticalWide(from, halfWidth95Deg, VERTICAL_LIMIT_DEG),
  ];
}

/** A camera called left that stands on the lifter's right, and the other way round: named, not refused. */
export function sideNotes(fit: JointFit, moments: Moments): string[] {
  const [hipL, hipR] = ['left_hip', 'right_hip'].map((name) => moments.points.indexOf(name));
  if (hipL < 0 || hipR < 0) return [];
  const { cameras } = fit.solution;
  const middle = Math.floor(moments.timeS.length / 2);
  const [left, right] = [hipL, hipR].map((p) => pointFromViews(cameras, viewOf(moments, middle, p)));
  if (left === null || right === null) return [];
  const toRight = [0, 1, 2].map((k) => right[k] - left[k]);
  return cameras.flatMap(({ name, rotation: r, translation: t }) => {
    const called = /left/i.test(name) ? -1 : /right/i.test(name) ? 1 : 0;
    const from = [0, 1, 2].map((k) => -(r[k] * t[0] + r[3 + k] * t[1] + r[6 + k] * t[2]) - (left[k] + right[k]) / 2);
    // Straight ahead or behind says nothing: 10° at least to one side.
    const side = dot(from, toRight) / Math.hypot(...from) / Math.hypot(...toRight);
    return called !== 0 && called * side < -Math.sin((10 * Math.PI) / 180) ? [cameraNamesMirrored(name)] : [];
  });
}
