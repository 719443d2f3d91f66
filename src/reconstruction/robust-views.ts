import { SampleStatus } from '../capture/sample-status.ts';
import { OUTLIER_CLEARANCE_VARIANCES } from './limits.ts';
import { type PointProblem, triangulatePoint } from './triangulate-point.ts';

/**
 * Solves a point anew without the views that contradict the others, one at a time, until the rest agree.
 *
 * Of all ways to leave one view out, the one with the least sum of squares is taken. The last choice must be clear: where
 * leaving out another view would fit about as well (within OUTLIER_CLEARANCE_VARIANCES · scale²), it cannot be said
 * which view is wrong. Leaves `use` cleared for the views given up. Returns false where fewer than two views would remain,
 * they do not agree, or the choice is not clear; the problem's result is then meaningless.
 *
 * limitPx: largest residual that counts as agreement; scalePx: robust standard deviation of a pixel coordinate; both of a
 * view of weight 1, against which the others' residuals are standardised.
 */
export function solveWithoutWorstViews(problem: PointProblem, limitPx: number, scalePx: number): boolean {
  const { use, cameras } = problem;
  let remaining = 0;
  for (let v = 0; v < cameras.length; v++) remaining += use[v];
  while (remaining > 2) {
    let best = -1;
    let bestSum = Number.POSITIVE_INFINITY;
    let nextSum = Number.POSITIVE_INFINITY;
    for (let v = 0; v < cameras.length; v++) {
      if (use[v] === 0) continue;
      use[v] = 0;
      const sum = triangulatePoint(problem) === SampleStatus.seen ? problem.summary[0] : Number.POSITIVE_INFINITY;
      use[v] = 1;
      if (sum < bestSum) {
        nextSum = bestSum;
        bestSum = sum;
        best = v;
      } else if (sum < nextSum) {
        nextSum = sum;
      }
    }
    if (best < 0) return false;
    use[best] = 0;
    remaining--;
    if (triangulatePoint(problem) !== SampleStatus.seen) return false;
    if (agrees(problem, limitPx)) return nextSum - bestSum > OUTLIER_CLEARANCE_VARIANCES * scalePx * scalePx;
  }
  return false;
}

/** With one redundant residual the whole of it, with more each view's distance, all weighted, must stay within the limit. */
function agrees({ cameras, squaredResidual, weight, summary }: PointProblem, limitPx: number): boolean {
  const limit = limitPx * limitPx;
  if (summary[2] === 1) return summary[0] <= limit;
  for (let v = 0; v < cameras.length; v++) if (weight[v] * squaredResidual[v] > limit) return false;
  return true;
}
