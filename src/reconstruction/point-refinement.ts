import { depthInPacked, residualInto } from '../cameras/packed-cameras.ts';
import type { PointProblem } from './point-problem.ts';

/** Gauss–Newton ends where the steps still to come would move the images by less than this, px: see `refine`. */
const TOLERANCE_PX = 1e-8;
/** Where a step promises less than this share of the sum of squares, rounding hides whether it lowers it: the step is taken. */
const DESCENT_FLOOR = 1e-12;
const MAX_STEPS = 30;
const MAX_HALVINGS = 6;

/** Sum of the weights of the views taken. */
export function weightOfTaken({ taken, weight }: PointProblem): number {
  let sum = 0;
  for (let v = 0; v < taken.length; v++) if (taken[v] === 1) sum += weight[v];
  return sum;
}

export function isInFront({ packed, taken, position }: PointProblem): boolean {
  for (let v = 0; v < taken.length; v++) {
    if (taken[v] === 1 && !(depthInPacked(packed, v, position) > 0)) return false;
  }
  return true;
}

/**
 * Gauss–Newton from `position`, whose sum of squares is `cost` and whose normal equations are accumulated; halves steps that
 * do not lower the sum. Fills cofactor and residuals.
 *
 * A step moves the images by √(gᵀδ). Near the minimum the steps shrink by a steady ratio (the curvature that Gauss–Newton
 * leaves out), so a step whose square over the one before it is below the tolerance is the last: the residuals behind it
 * follow from the Jacobian, and the cofactor is that of the point before it.
 */
export function refine(problem: PointProblem, startCost: number): boolean {
  if (!Number.isFinite(startCost)) return false;
  const { position, step, cofactor: c, gradient: g, summary } = problem;
  const tolerance = (TOLERANCE_PX * TOLERANCE_PX * weightOfTaken(problem)) / summary[1];
  let cost = startCost;
  let before = tolerance;
  for (let iteration = 0; iteration < MAX_STEPS; iteration++) {
    if (!invertNormal(problem)) return false;
    step[0] = c[0] * g[0] + c[1] * g[1] + c[2] * g[2];
    step[1] = c[1] * g[0] + c[3] * g[1] + c[4] * g[2];
    step[2] = c[2] * g[0] + c[4] * g[1] + c[5] * g[2];
    const moved = step[0] * g[0] + step[1] * g[1] + step[2] * g[2];
    moveBy(position, step, 1);
    if (moved * moved <= tolerance * before) {
      cost = residualsAfterStep(problem);
      break;
    }
    let next = accumulate(problem);
    const highest = moved <= DESCENT_FLOOR * cost ? Number.POSITIVE_INFINITY : cost;
    let scale = 1;
    for (let halving = 0; !(next <= highest) && halving < MAX_HALVINGS; halving++) {
      scale *= 0.5;
      moveBy(position, step, -scale);
      next = accumulate(problem);
    }
    if (!(next <= highest)) {
      // No part of the step lowers the sum of squares: its start is the minimum.
      moveBy(position, step, -scale);
      cost = accumulate(problem);
      if (!invertNormal(problem)) return false;
      break;
    }
    before = moved;
    cost = next;
  }
  summary[0] = cost;
  return true;
}

function moveBy(position: Float64Array, step: Float64Array, scale: number): void {
  position[0] += scale * step[0];
  position[1] += scale * step[1];
  position[2] += scale * step[2];
}

/** Squared residuals after `step`, to first order; returns their weighted sum. */
function residualsAfterStep({ taken, weight, step, residual, jacobian: j, squaredResidual }: PointProblem): number {
  let cost = 0;
  for (let v = 0; v < taken.length; v++) {
    if (taken[v] === 0) continue;
    const o = 6 * v;
    const ru = residual[2 * v] - (j[o] * step[0] + j[o + 1] * step[1] + j[o + 2] * step[2]);
    const rv = residual[2 * v + 1] - (j[o + 3] * step[0] + j[o + 4] * step[1] + j[o + 5] * step[2]);
    squaredResidual[v] = ru * ru + rv * rv;
    cost += weight[v] * squaredResidual[v];
  }
  return cost;
}

/**
 * JᵀWJ (upper triangle, in `normal[0 … 5]`), JᵀWr and the squared residuals at `position`; returns the weighted sum of
 * squares, NaN where the point is not in front of a camera.
 */
export function accumulate(problem: PointProblem): number {
  const { packed, pixel, taken, weight, position, normal, gradient, residual, jacobian: j, squaredResidual } = problem;
  let n0 = 0;
  let n1 = 0;
  let n2 = 0;
  let n3 = 0;
  let n4 = 0;
  let n5 = 0;
  let g0 = 0;
  let g1 = 0;
  let g2 = 0;
  let cost = 0;
  for (let v = 0; v < taken.length; v++) {
    if (taken[v] === 0) continue;
    if (!residualInto(residual, j, packed, v, position, pixel)) return Number.NaN;
    const o = 6 * v;
    const ux = j[o];
    const uy = j[o + 1];
    const uz = j[o + 2];
    const vx = j[o + 3];
    const vy = j[o + 4];
    const vz = j[o + 5];
    const ru = residual[2 * v];
    const rv = residual[2 * v + 1];
    const w = weight[v];
    n0 += w * (ux * ux + vx * vx);
    n1 += w * (ux * uy + vx * vy);
    n2 += w * (ux * uz + vx * vz);
    n3 += w * (uy * uy + vy * vy);
    n4 += w * (uy * uz + vy * vz);
    n5 += w * (uz * uz + vz * vz);
    g0 += w * (ux * ru + vx * rv);
    g1 += w * (uy * ru + vy * rv);
    g2 += w * (uz * ru + vz * rv);
    const squared = ru * ru + rv * rv;
    squaredResidual[v] = squared;
    cost += w * squared;
  }
  normal[0] = n0;
  normal[1] = n1;
  normal[2] = n2;
  normal[3] = n3;
  normal[4] = n4;
  normal[5] = n5;
  gradient[0] = g0;
  gradient[1] = g1;
  gradient[2] = g2;
  return cost;
}

/** cofactor = inverse of the symmetric 3 × 3 in `normal[0 … 5]`, by cofactors; false where it is singular. */
export function invertNormal({ normal: n, cofactor }: PointProblem): boolean {
  const c0 = n[3] * n[5] - n[4] * n[4];
  const c1 = n[2] * n[4] - n[1] * n[5];
  const c2 = n[1] * n[4] - n[2] * n[3];
  const determinant = n[0] * c0 + n[1] * c1 + n[2] * c2;
  if (!(determinant > 0)) return false;
  const scale = 1 / determinant;
  cofactor[0] = c0 * scale;
  cofactor[1] = c1 * scale;
  cofactor[2] = c2 * scale;
  cofactor[3] = (n[0] * n[5] - n[2] * n[2]) * scale;
  cofactor[4] = (n[1] * n[2] - n[0] * n[4]) * scale;
  cofactor[5] = (n[0] * n[3] - n[1] * n[1]) * scale;
  return true;
}
