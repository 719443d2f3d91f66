import { SampleStatus, type SampleStatusCode } from '../capture/sample-status.ts';
import type { PointProblem } from './point-problem.ts';
import { accumulate, isInFront, refine, weightOfTaken } from './point-refinement.ts';
import { castRays, raysMeet, startAtRays, startLinear } from './point-start.ts';

export { type PointProblem, pointProblem } from './point-problem.ts';

/**
 * The point nearest to all its images: least weighted sum of squared reprojection distances in raw pixels.
 *
 * Undistort; start at the point nearest to the rays (where they disagree, at the linear DLT on normalised rays: Abdel-Aziz &
 * Karara 1971; Hartley & Zisserman 2004, sec. 12.2); then Gauss–Newton on the distances (ibid. sec. 12.3: the maximum
 * likelihood point under equal normal pixel noise).
 * Returns the status: seen, or occluded (fewer than two views), outlier (no lens inverse in a view leaves fewer than
 * two), parallelRays, behindCamera. Position and cofactor are numbers only where it is seen. Allocates nothing.
 */
export function triangulatePoint(problem: PointProblem): SampleStatusCode {
  const reason = castRays(problem);
  if (reason !== SampleStatus.seen) return reject(problem, reason);
  if (!raysMeet(problem)) return reject(problem, SampleStatus.parallelRays);
  let cost = startAtRays(problem) ? accumulate(problem) : Number.NaN;
  if (!(cost <= problem.nearStartSquared * weightOfTaken(problem))) {
    if (!startLinear(problem)) return reject(problem, SampleStatus.parallelRays);
    if (!isInFront(problem)) return reject(problem, SampleStatus.behindCamera);
    cost = accumulate(problem);
  }
  if (!refine(problem, cost)) return reject(problem, SampleStatus.parallelRays);
  if (!isInFront(problem)) return reject(problem, SampleStatus.behindCamera);
  return SampleStatus.seen;
}

/** Results of many points, one behind the other; each as in PointProblem. */
export interface PointResults {
  readonly status: Uint8Array;
  /** 3 a point. */
  readonly position: Float64Array;
  /** 6 a point. */
  readonly cofactor: Float64Array;
  /** `views` a point. */
  readonly squaredResidual: Float64Array;
  readonly squaredSum: Float64Array;
}

/** Solves `points` points seen by the problem's cameras. pixels: 2 × views a point; `use` and `weight` of the problem hold for all. */
export function triangulatePointsInto(
  out: PointResults,
  problem: PointProblem,
  pixels: Float64Array,
  points: number,
): void {
  const { pixel, position, cofactor, squaredResidual, summary } = problem;
  const views = problem.cameras.length;
  for (let i = 0; i < points; i++) {
    for (let k = 0; k < 2 * views; k++) pixel[k] = pixels[2 * views * i + k];
    out.status[i] = triangulatePoint(problem);
    for (let k = 0; k < 3; k++) out.position[3 * i + k] = position[k];
    for (let k = 0; k < 6; k++) out.cofactor[6 * i + k] = cofactor[k];
    for (let v = 0; v < views; v++) out.squaredResidual[views * i + v] = squaredResidual[v];
    out.squaredSum[i] = summary[0];
  }
}

function reject(problem: PointProblem, status: SampleStatusCode): SampleStatusCode {
  problem.position.fill(Number.NaN);
  problem.cofactor.fill(Number.NaN);
  problem.squaredResidual.fill(Number.NaN);
  problem.summary[0] = Number.NaN;
  return status;
}
