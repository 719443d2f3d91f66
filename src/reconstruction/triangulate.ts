import type { Camera } from '../cameras/rig.ts';
import { SampleStatus, type SampleStatusCode } from '../capture/sample-status.ts';
import { nothingReconstructed, pointsBehindCamera, viewsDisagree } from '../messages/reconstruction.ts';
import { quantile } from '../numerics/statistics.ts';
import { samplesBeyondRange } from './body-range.ts';
import type { PixelNoiseModel } from './evidence.ts';
import { BEHIND_CAMERA_SHARE, VIEWS_DISAGREE_OF_DIAGONAL, VIEWS_DISAGREE_SHARES } from './limits.ts';
import { outlierLimitPx, pixelNoise, robustScales } from './pixel-noise.ts';
import { solveWithoutWorstViews } from './robust-views.ts';
import type { SynchronisedViews } from './synchronise.ts';
import { type PointProblem, pointProblem, triangulatePoint } from './triangulate-point.ts';
import { pixelNoiseModel, slowDoubt, weightsMoved, weightsOf, weightsOfModel, whiteVariances } from './view-weights.ts';

/** All points of a recording in the rig's world; sample = frame * landmarks + landmark. */
export interface Triangulation {
  readonly views: number;
  /** `3 * sample`, metres; NaN where the status is not `seen`. */
  readonly position: Float64Array;
  /** `6 * sample`, m², the covariance: pixelSd² (JᵀWJ)⁻¹. */
  readonly covariance: Float64Array;
  readonly status: Uint8Array;
  /** `sample * views + view`, px²; NaN for a view not used. */
  readonly squaredResidual: Float64Array;
  /** Weighted sum of squared residuals, px², and degrees of freedom 2 · views − 3, per sample. */
  readonly squaredSum: Float64Array;
  readonly freedom: Uint8Array;
  /** Samples in which a view was left out against the others, per view. */
  readonly leftOut: Uint32Array;
  /** Standard deviation of one pixel coordinate of a view of weight 1, px, per landmark. */
  readonly pixelSd: Float64Array;
  /** `landmark * views + view`: inverse variance of the view's pixels relative to the others, as used. */
  readonly weight: Float64Array;
  readonly noise: PixelNoiseModel;
}

/** What the steps below write, before the noise is known. */
type Points = Omit<Triangulation, 'noise'>;

/**
 * Every landmark of every frame from all views that see it.
 *
 * First every point from all its views, weighted by the frame-to-frame noise of their tracks; then, with the scale of the
 * residuals known, points with a view that disagrees are solved again without it (three views or more) or given up (two).
 * The residuals tell the slow noise; where it moves a landmark's weights, its points are solved once more. Then the volume
 * test and the covariance σ² (JᵀWJ)⁻¹ with σ² = Σ w r² / Σ(2 · views − 3) pooled per landmark over the recording.
 * Errors: points-behind-camera, views-disagree, nothing-reconstructed.
 */
export function triangulate(
  file: string,
  views: SynchronisedViews,
  cameras: readonly Camera[],
  notes: string[],
): Triangulation {
  const problem = pointProblem(cameras);
  const white = whiteVariances(views);
  const result = emptyPoints(views, weightsOf(white.variance, cameras.length));
  for (let s = 0; s < result.status.length; s++) solveSample(views, problem, result, s);
  checkViewsFit(file, views, cameras, result);
  rejectOutliers(views, problem, result);
  const contradictions = pixelNoiseModel(views, cameras, result, white, 'mean');
  const noise = pixelNoiseModel(views, cameras, result, white, 'motion');
  weighAgain(views, problem, result, weightsOfModel(contradictions, cameras.length));
  notes.push(...slowDoubt(contradictions));
  for (const sample of samplesBeyondRange(result.position)) giveUp(result, sample, SampleStatus.beyondRange);
  if (!result.status.includes(SampleStatus.seen)) throw nothingReconstructed(file, countByName(result.status));
  scaleCovariance(views, result, notes);
  return { ...result, noise };
}

function emptyPoints(views: SynchronisedViews, weight: Float64Array): Points {
  const samples = views.frames * views.landmarks.length;
  const count = views.views.length;
  return {
    views: count,
    position: new Float64Array(3 * samples).fill(Number.NaN),
    covariance: new Float64Array(6 * samples).fill(Number.NaN),
    status: new Uint8Array(samples),
    squaredResidual: new Float64Array(samples * count).fill(Number.NaN),
    squaredSum: new Float64Array(samples).fill(Number.NaN),
    freedom: new Uint8Array(samples),
    leftOut: new Uint32Array(count),
    pixelSd: new Float64Array(views.landmarks.length),
    weight,
  };
}

function solveSample(views: SynchronisedViews, problem: PointProblem, result: Points, sample: number): void {
  loadPoint(problem, views, result.weight, sample);
  const status = triangulatePoint(problem);
  storePoint(result, sample, problem, status === SampleStatus.occluded ? reasonForTooFewViews(views, sample) : status);
}

/** Points of landmarks whose weights moved, each from the views it rests on. */
function weighAgain(views: SynchronisedViews, problem: PointProblem, result: Points, weight: Float64Array): void {
  const count = views.landmarks.length;
  for (let l = 0; l < count; l++) {
    if (!weightsMoved(result.weight, weight, l, result.views)) continue;
    for (let i = l * result.views; i < (l + 1) * result.views; i++) result.weight[i] = weight[i];
    for (let s = l; s < result.status.length; s += count) {
      if (result.status[s] !== SampleStatus.seen) continue;
      loadPoint(problem, views, weight, s);
      for (let v = 0; v < result.views; v++) {
        if (Number.isNaN(result.squaredResidual[s * result.views + v])) problem.use[v] = 0;
      }
      storePoint(result, s, problem, triangulatePoint(problem));
    }
  }
}

function loadPoint(problem: PointProblem, views: SynchronisedViews, weight: Float64Array, sample: number): void {
  const first = (sample % views.landmarks.length) * views.views.length;
  for (let v = 0; v < views.views.length; v++) {
    const { pixel, status } = views.views[v];
    problem.weight[v] = weight[first + v];
    problem.use[v] = status[sample] === SampleStatus.seen ? 1 : 0;
    problem.pixel[2 * v] = pixel[2 * sample];
    problem.pixel[2 * v + 1] = pixel[2 * sample + 1];
  }
}

function storePoint(result: Points, sample: number, problem: PointProblem, status: SampleStatusCode): void {
  result.status[sample] = status;
  for (let i = 0; i < 3; i++) result.position[3 * sample + i] = problem.position[i];
  for (let i = 0; i < 6; i++) result.covariance[6 * sample + i] = problem.cofactor[i];
  for (let v = 0; v < result.views; v++) {
    result.squaredResidual[sample * result.views + v] = problem.squaredResidual[v];
  }
  result.squaredSum[sample] = problem.summary[0];
  result.freedom[sample] = status === SampleStatus.seen ? problem.summary[2] : 0;
}

function giveUp(result: Points, sample: number, status: SampleStatusCode): void {
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
function checkViewsFit(file: string, views: SynchronisedViews, cameras: readonly Camera[], result: Points): void {
  const names = views.views.map((view) => view.camera);
  const distances = new Float64Array(result.status.length);
  let seen = 0;
  let behind = 0;
  for (let s = 0; s < result.status.length; s++) {
    if (result.status[s] === SampleStatus.behindCamera) behind++;
    if (result.status[s] === SampleStatus.seen) {
      distances[seen++] = Math.sqrt(meanSquare(result, s));
    }
  }
  const tried = behind + seen;
  if (tried === 0) throw nothingReconstructed(file, countByName(result.status));
  if (behind / tried > BEHIND_CAMERA_SHARE) {
    throw pointsBehindCamera(file, behind / tried, BEHIND_CAMERA_SHARE, names);
  }
  const limitPx = VIEWS_DISAGREE_OF_DIAGONAL * smallestDiagonalPx(cameras);
  for (const share of VIEWS_DISAGREE_SHARES) {
    const missPx = quantile(distances.subarray(0, seen), 1 - share);
    if (missPx > limitPx) throw viewsDisagree(file, share, missPx, limitPx, names);
  }
}

/** Mean squared distance of the views a point rests on, px². */
function meanSquare({ squaredResidual, views }: Points, sample: number): number {
  let sum = 0;
  let used = 0;
  for (let i = sample * views; i < (sample + 1) * views; i++) {
    if (Number.isNaN(squaredResidual[i])) continue;
    sum += squaredResidual[i];
    used++;
  }
  return sum / used;
}

function rejectOutliers(views: SynchronisedViews, problem: PointProblem, result: Points): void {
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
    loadPoint(problem, views, result.weight, s);
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
 * (both views share it, neither can be blamed), with more the largest distance of a view; both weighted.
 */
function worstDistance(result: Points, sample: number): number {
  if (result.freedom[sample] === 1) return Math.sqrt(result.squaredSum[sample]);
  let worst = 0;
  for (let v = 0; v < result.views; v++) {
    const weight = result.weight[(sample % result.pixelSd.length) * result.views + v];
    const squared = weight * result.squaredResidual[sample * result.views + v];
    if (squared > worst) worst = squared;
  }
  return Math.sqrt(worst);
}

function scaleCovariance(views: SynchronisedViews, result: Points, notes: string[]): void {
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
