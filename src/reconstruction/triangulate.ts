import type { Camera } from '../cameras/rig.ts';
import { SampleStatus, type SampleStatusCode } from '../capture/sample-status.ts';
import { nothingReconstructed, pointsBehindCamera, viewsDisagree } from '../messages/reconstruction.ts';
import { median } from '../numerics/statistics.ts';
import { samplesBeyondRange } from './body-range.ts';
import { BEHIND_CAMERA_SHARE, VIEWS_DISAGREE_OF_DIAGONAL } from './limits.ts';
import { outlierLimitPx, pixelNoise, robustScales } from './pixel-noise.ts';
import { solveWithoutWorstViews } from './robust-views.ts';
import type { SynchronisedViews } from './synchronise.ts';
import { type PointProblem, pointProblem, triangulatePoint } from './triangulate-point.ts';

/** All points of a recording in the rig's world; sample = frame * landmarks + landmark. */
export interface Triangulation {
  readonly views: number;
  /** `3 * sample`, metres; NaN where the status is not `seen`. */
  readonly position: Float64Array;
  /** `6 * sample`, m²/px²: (JᵀWJ)⁻¹; after `triangulate` m², the covariance. */
  readonly covariance: Float64Array;
  readonly status: Uint8Array;
  /** `sample * views + view`, px²; NaN for a view not used. */
  readonly squaredResidual: Float64Array;
  /** Sum of squared residuals, px², and degrees of freedom 2 · views − 3, per sample. */
  readonly squaredSum: Float64Array;
  readonly freedom: Uint8Array;
  /** Samples in which a view was left out against the others, per view. */
  readonly leftOut: Uint32Array;
  /** Standard deviation of one pixel coordinate, px, per landmark. */
  readonly pixelSd: Float64Array;
}

/**
 * Every landmark of every frame from all views that see it.
 *
 * First every point from all its views; then, with the scale of the residuals known, points with a view that disagrees
 * are solved again without it (three views or more) or given up (two); then the volume test and the covariance
 * σ² (JᵀWJ)⁻¹ with σ² = Σr² / Σ(2 · views − 3) pooled per landmark over the recording.
 * Errors: points-behind-camera, views-disagree, nothing-reconstructed.
 */
export function triangulate(
  file: string,
  views: SynchronisedViews,
  cameras: readonly Camera[],
  notes: string[],
): Triangulation {
  const problem = pointProblem(cameras);
  const result = solveAll(views, problem);
  checkViewsFit(file, views, cameras, result);
  rejectOutliers(views, problem, result);
  for (const sample of samplesBeyondRange(result.position)) giveUp(result, sample, SampleStatus.beyondRange);
  if (!result.status.includes(SampleStatus.seen)) throw nothingReconstructed(file, countByName(result.status));
  scaleCovariance(views, result, notes);
  return result;
}

function solveAll(views: SynchronisedViews, problem: PointProblem): Triangulation {
  const samples = views.frames * views.landmarks.length;
  const count = views.views.length;
  const result: Triangulation = {
    views: count,
    position: new Float64Array(3 * samples).fill(Number.NaN),
    covariance: new Float64Array(6 * samples).fill(Number.NaN),
    status: new Uint8Array(samples),
    squaredResidual: new Float64Array(samples * count).fill(Number.NaN),
    squaredSum: new Float64Array(samples).fill(Number.NaN),
    freedom: new Uint8Array(samples),
    leftOut: new Uint32Array(count),
    pixelSd: new Float64Array(views.landmarks.length),
  };
  for (let s = 0; s < samples; s++) {
    loadPoint(problem, views, s);
    const status = triangulatePoint(problem);
    storePoint(result, s, problem, status === SampleStatus.occluded ? reasonForTooFewViews(views, s) : status);
  }
  return result;
}

function loadPoint(problem: PointProblem, views: SynchronisedViews, sample: number): void {
  for (let v = 0; v < views.views.length; v++) {
    const { pixel, status } = views.views[v];
    problem.use[v] = status[sample] === SampleStatus.seen ? 1 : 0;
    problem.pixel[2 * v] = pixel[2 * sample];
    problem.pixel[2 * v + 1] = pixel[2 * sample + 1];
  }
}

function storePoint(result: Triangulation, sample: number, problem: PointProblem, status: SampleStatusCode): void {
  result.status[sample] = status;
  for (let i = 0; i < 3; i++) result.position[3 * sample + i] = problem.position[i];
  for (let i = 0; i < 6; i++) result.covariance[6 * sample + i] = problem.cofactor[i];
  for (let v = 0; v < result.views; v++) {
    result.squaredResidual[sample * result.views + v] = problem.squaredResidual[v];
  }
  result.squaredSum[sample] = problem.summary[0];
  result.freedom[sample] = status === SampleStatus.seen ? problem.summary[2] : 0;
}

function giveUp(result: Triangulation, sample: number, status: SampleStatusCode): void {
  result.status[sample] = status;
  result.position.fill(Number.NaN, 3 * sample, 3 * sample + 3);
  result.covariance.fill(Number.NaN, 6 * sample, 6 * sample + 6);
  result.squaredResidual.fill(Number.NaN, sample * result.views, (sample + 1) * result.views);
  result.squaredSum[sample] = Number.NaN;
  result.freedom[sample] = 0;
}

/** Which reason keeps the point from having two views: an outlying or doubtful keypoint, else nothing seen. */
function reasonForTooFewViews(views: SynchronisedViews, sample: number): SampleStatusCode {
  let seen = 0;
  let doubtful = 0;
  let outlying = 0;
  for (const { status } of views.views) {
    if (status[sample] === SampleStatus.seen) seen++;
    if (status[sample] === SampleStatus.lowConfidence) doubtful++;
    if (status[sample] === SampleStatus.outlier) outlying++;
  }
  if (outlying > 0 && seen + outlying >= 2) return SampleStatus.outlier;
  if (doubtful > 0 && seen + outlying + doubtful >= 2) return SampleStatus.lowConfidence;
  return SampleStatus.occluded;
}

/** Refuses views that do not belong together, before any sample is judged alone. */
function checkViewsFit(
  file: string,
  views: SynchronisedViews,
  cameras: readonly Camera[],
  result: Triangulation,
): void {
  const names = views.views.map((view) => view.camera);
  const distances: number[] = [];
  let behind = 0;
  for (let s = 0; s < result.status.length; s++) {
    if (result.status[s] === SampleStatus.behindCamera) behind++;
    if (result.status[s] === SampleStatus.seen) {
      distances.push(Math.sqrt(result.squaredSum[s] / ((result.freedom[s] + 3) / 2)));
    }
  }
  const tried = behind + distances.length;
  if (tried === 0) throw nothingReconstructed(file, countByName(result.status));
  if (behind / tried > BEHIND_CAMERA_SHARE) {
    throw pointsBehindCamera(file, behind / tried, BEHIND_CAMERA_SHARE, names);
  }
  const limitPx = VIEWS_DISAGREE_OF_DIAGONAL * smallestDiagonalPx(cameras);
  const medianPx = median(distances);
  if (medianPx > limitPx) throw viewsDisagree(file, medianPx, limitPx, names);
}

function rejectOutliers(views: SynchronisedViews, problem: PointProblem, result: Triangulation): void {
  const count = views.landmarks.length;
  const scales = robustScales(result, count);
  const diagonalPx = smallestDiagonalPx(problem.cameras);
  for (let s = 0; s < result.status.length; s++) {
    const status = result.status[s];
    const scale = scales[s % count];
    const limit = outlierLimitPx(scale, diagonalPx);
    const isSuspect =
      status === SampleStatus.behindCamera || (status === SampleStatus.seen && worstDistance(result, s) > limit);
    if (!isSuspect) continue;
    loadPoint(problem, views, s);
    if (solveWithoutWorstViews(problem, limit, scale)) {
      for (let v = 0; v < result.views; v++) {
        if (problem.use[v] === 0 && views.views[v].status[s] === SampleStatus.seen) result.leftOut[v]++;
      }
      storePoint(result, s, problem, SampleStatus.seen);
    } else {
      giveUp(result, s, status === SampleStatus.seen ? SampleStatus.outlier : status);
    }
  }
}

/**
 * The distance that is held against the outlier limit: with one degree of freedom the whole redundant residual √Σr²
 * (both views share it, neither can be blamed), with more the largest distance of a view.
 */
function worstDistance(result: Triangulation, sample: number): number {
  if (result.freedom[sample] === 1) return Math.sqrt(result.squaredSum[sample]);
  let worst = 0;
  for (let v = 0; v < result.views; v++) {
    const squared = result.squaredResidual[sample * result.views + v];
    if (squared > worst) worst = squared;
  }
  return Math.sqrt(worst);
}

function scaleCovariance(views: SynchronisedViews, result: Triangulation, notes: string[]): void {
  result.pixelSd.set(pixelNoise(result, views.landmarks, notes));
  const count = views.landmarks.length;
  for (let s = 0; s < result.status.length; s++) {
    const variance = result.pixelSd[s % count] ** 2;
    for (let i = 0; i < 6; i++) result.covariance[6 * s + i] *= variance;
  }
}

function smallestDiagonalPx(cameras: readonly Camera[]): number {
  return Math.min(...cameras.map((camera) => Math.hypot(camera.imageWidth, camera.imageHeight)));
}

/** Samples per status name; names with none are left out. */
export function countByName(status: Uint8Array): Record<string, number> {
  const counts: Record<string, number> = {};
  for (const [name, code] of Object.entries(SampleStatus)) {
    let count = 0;
    for (let s = 0; s < status.length; s++) if (status[s] === code) count++;
    if (count > 0) counts[name] = count;
  }
  return counts;
}
