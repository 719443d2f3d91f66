import { choleskyInPlace } from '../../../numerics/block-cholesky.ts';
import type { GroupMoments } from './group-moments.ts';
import {
  type Criterion,
  type Evaluation,
  emptyEvaluation,
  evaluateInto,
  profiledDeviance,
  slopeInFactor,
  varianceRows,
} from './likelihood.ts';
import { newtonMinimum, type SmoothFunction } from './newton-minimum.ts';
import { type Places, secondDerivatives } from './second-derivatives.ts';

/** Multiples of the identity tried as a start: spread between groups from far below to far above the residual's. */
const STARTS = [0.1, 0.5, 2, 10, 50];
/** Beside a start near the solution. */
const STARTS_BESIDE = [0.3, 3];
/** Relative to the residual SD. A spread below this, if −2 ln L does not rise by more than EDGE_RISE without it, is 0. */
const EDGE = 1e-3;
const EDGE_RISE = 1e-7;
/** Above this ratio of spread to residual SD the residual is taken to vanish: beyond it, rounding of sums is most of it. */
const MOST_RATIO = 1e4;

/** Variances and fixed effects at the least −2 ln L, in the coordinates of the moments. */
export interface Solution {
  /** Relative Cholesky factor, k × k, lower triangular, diagonal ≥ 0; a column of zeros for each direction without spread. */
  readonly lambda: Float64Array;
  readonly sigma2: number;
  /** Least −2 ln L; REML in the coordinates of the moments. */
  readonly deviance: number;
  readonly evaluation: Evaluation;
  readonly singular: boolean;
  readonly converged: boolean;
  readonly iterations: number;
  /** The residual is nothing beside the spread between the groups. */
  readonly vanishes: boolean;
}

/** Places (row, column) of Λ that are free: the lower triangle, or the diagonal for uncorrelated random effects. */
export function freePlaces(k: number, correlated: boolean): (readonly [number, number])[] {
  const places: (readonly [number, number])[] = [];
  for (let j = 0; j < k; j++) for (let i = j; i < k; i++) if (correlated || i === j) places.push([i, j]);
  return places;
}

/** −2 ln L with σ² profiled out, as a function of the free elements of Λ. */
export function devianceFunction(
  moments: GroupMoments,
  criterion: Criterion,
  places: Places,
  work: Evaluation = emptyEvaluation(moments),
): SmoothFunction {
  const { k } = moments;
  const n = varianceRows(moments, criterion);
  const size = places.length;
  const lambda = new Float64Array(k * k);
  const last = new Float64Array(size).fill(Number.NaN);
  return {
    value(slope, theta) {
      factorInto(lambda, theta, places, k);
      last.set(theta);
      if (!theta.every((x) => Math.abs(x) < 10 * MOST_RATIO) || !evaluateInto(work, moments, lambda)) {
        slope.fill(Number.NaN);
        return Number.POSITIVE_INFINITY;
      }
      const full = slopeInFactor(moments, work, lambda, work.rss / n, criterion);
      for (let t = 0; t < size; t++) slope[t] = full[places[t][0] * k + places[t][1]];
      return profiledDeviance(moments, work, criterion);
    },
    curvature(theta) {
      factorInto(lambda, theta, places, k);
      // Mostly the step just taken: what is known of it need not be worked out again.
      if (theta.some((x, t) => x !== last[t])) {
        evaluateInto(work, moments, lambda);
        last.fill(Number.NaN);
      }
      const sigma2 = work.rss / n;
      const { factor, rss } = secondDerivatives(moments, work, lambda, sigma2, criterion, places);
      // n ln rss: its second derivative has the square of the first, which σ² held does not.
      for (let a = 0; a < size; a++)
        for (let b = 0; b < size; b++) factor[a * size + b] -= (rss[a] * rss[b]) / (n * sigma2 * sigma2);
      return factor;
    },
  };
}

/** Minimises −2 ln L over Λ; `near` is one more start (a fit to like data). */
export function solve(moments: GroupMoments, criterion: Criterion, correlated: boolean, near?: Float64Array): Solution {
  const { k } = moments;
  const places = freePlaces(k, correlated);
  const work = emptyEvaluation(moments);
  const objective = devianceFunction(moments, criterion, places, work);
  const slope = new Float64Array(places.length);
  const starts = (near ? STARTS_BESIDE : STARTS).map((s) => Float64Array.from(places, ([i, j]) => (i === j ? s : 0)));
  if (near) starts.push(Float64Array.from(places, ([i, j]) => near[i * k + j]));
  let start = starts[0];
  let least = Number.POSITIVE_INFINITY;
  for (const trial of starts) {
    const found = objective.value(slope, trial);
    if (found < least) {
      least = found;
      start = trial;
    }
  }
  const minimum = newtonMinimum(objective, start);
  let lambda = canonical(factorAt(minimum.x, places, k), k);
  let { iterations, converged } = minimum;
  const edge = toEdge(lambda, k, (at) => objective.value(slope, thetaOf(at, places, k)));
  if (edge) {
    // What is left is settled once more, with the directions without spread held at 0.
    const kept = places.filter(([, j]) => edge[j * k + j] > 0);
    const again = newtonMinimum(devianceFunction(moments, criterion, kept, work), thetaOf(edge, kept, k));
    lambda = canonical(factorAt(again.x, kept, k), k);
    iterations += again.iterations;
    converged = again.converged;
  }
  const vanishes = !Number.isFinite(least) || lambda.some((x) => Math.abs(x) > MOST_RATIO);
  const full = evaluateInto(work, moments, lambda);
  return {
    lambda,
    sigma2: work.rss / varianceRows(moments, criterion),
    deviance: full ? profiledDeviance(moments, work, criterion) : Number.NaN,
    evaluation: work,
    singular: edge !== null,
    converged: converged && full,
    iterations,
    vanishes: vanishes || !full,
  };
}

const thetaOf = (lambda: Float64Array, places: Places, k: number) =>
  Float64Array.from(places, ([i, j]) => lambda[i * k + j]);

/** Λ with `theta` at its places and 0 elsewhere; further elements of `theta` are not read. */
export function factorAt(theta: Float64Array, places: Places, k: number): Float64Array {
  const lambda = new Float64Array(k * k);
  factorInto(lambda, theta, places, k);
  return lambda;
}

function factorInto(lambda: Float64Array, theta: Float64Array, places: Places, k: number): void {
  lambda.fill(0);
  for (let t = 0; t < places.length; t++) lambda[places[t][0] * k + places[t][1]] = theta[t];
}

/** The same Λ Λᵀ with a diagonal ≥ 0, and a column of zeros where a row brings no spread of its own. */
function canonical(lambda: Float64Array, k: number): Float64Array {
  const square = new Float64Array(k * k);
  for (let i = 0; i < k; i++)
    for (let j = 0; j < k; j++) for (let l = 0; l < k; l++) square[i * k + j] += lambda[i * k + l] * lambda[j * k + l];
  choleskyInPlace(square, 0, k, 1e-15);
  for (let i = 0; i < k; i++) for (let j = i + 1; j < k; j++) square[i * k + j] = 0;
  return square;
}

/** Λ with directions of hardly any spread set to none, where the likelihood does not object; null where there is no such. */
function toEdge(lambda: Float64Array, k: number, value: (lambda: Float64Array) => number): Float64Array | null {
  let found = lambda;
  let moved = false;
  const most = value(lambda) + EDGE_RISE;
  for (let j = k - 1; j >= 0; j--) {
    if (found[j * k + j] === 0) {
      moved = true;
      continue;
    }
    if (found[j * k + j] >= EDGE) continue;
    const trial = found.slice();
    trial[j * k + j] = 0;
    const next = canonical(trial, k);
    if (!(value(next) <= most)) continue;
    found = next;
    moved = true;
  }
  return moved ? found : null;
}
