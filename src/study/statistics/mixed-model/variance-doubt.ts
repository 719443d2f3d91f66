import { choleskyInPlace, solveLowerInPlace, solveUpperInPlace } from '../../../numerics/block-cholesky.ts';
import type { GroupMoments } from './group-moments.ts';
import {
  type Criterion,
  type Evaluation,
  emptyEvaluation,
  evaluateInto,
  slopeInFactor,
  varianceRows,
} from './likelihood.ts';
import type { SmoothFunction } from './newton-minimum.ts';
import { type Places, secondDerivatives } from './second-derivatives.ts';
import { factorAt, freePlaces, type Solution } from './solve.ts';

/** How well the variance parameters are known: the elements of Λ that are not held at the edge, and ln σ last. */
export interface VarianceDoubt {
  readonly places: Places;
  /** (places + 1)², row-major: 2 · (second derivatives of −2 ln L)⁻¹. null where those are not positive definite. */
  readonly covariance: Float64Array | null;
}

/** −2 ln L as a function of the elements of Λ at `places` and of ln σ (last): σ² is not profiled out. `evaluation` holds the last one. */
export function fullDeviance(
  moments: GroupMoments,
  criterion: Criterion,
  places: Places,
): SmoothFunction & { readonly evaluation: Evaluation } {
  const { k } = moments;
  const work = emptyEvaluation(moments);
  const n = varianceRows(moments, criterion);
  const size = places.length;
  return {
    evaluation: work,
    value(slope, x) {
      const lambda = factorAt(x, places, k);
      const sigma2 = Math.exp(2 * x[size]);
      if (!evaluateInto(work, moments, lambda)) {
        slope.fill(Number.NaN);
        return Number.POSITIVE_INFINITY;
      }
      const full = slopeInFactor(moments, work, lambda, sigma2, criterion);
      for (let t = 0; t < size; t++) slope[t] = full[places[t][0] * k + places[t][1]];
      slope[size] = 2 * n - (2 * work.rss) / sigma2;
      const fixed = criterion === 'REML' ? work.logDetH : 0;
      return work.logDetW + fixed + n * Math.log(2 * Math.PI * sigma2) + work.rss / sigma2;
    },
    curvature(x) {
      const lambda = factorAt(x, places, k);
      const sigma2 = Math.exp(2 * x[size]);
      evaluateInto(work, moments, lambda);
      const { factor, rss } = secondDerivatives(moments, work, lambda, sigma2, criterion, places);
      const whole = new Float64Array((size + 1) ** 2);
      for (let a = 0; a < size; a++) {
        for (let b = 0; b < size; b++) whole[a * (size + 1) + b] = factor[a * size + b];
        whole[a * (size + 1) + size] = whole[size * (size + 1) + a] = (-2 * rss[a]) / sigma2;
      }
      whole[size * (size + 1) + size] = (4 * work.rss) / sigma2;
      return whole;
    },
  };
}

/** Large-sample covariance of the variance parameters at a solution. A spread estimated as 0 counts as known. */
export function varianceDoubt(
  moments: GroupMoments,
  criterion: Criterion,
  correlated: boolean,
  { lambda, sigma2 }: Solution,
): VarianceDoubt {
  const { k } = moments;
  const places = freePlaces(k, correlated).filter(([, j]) => lambda[j * k + j] > 0);
  const at = Float64Array.from([...places.map(([i, j]) => lambda[i * k + j]), Math.log(sigma2) / 2]);
  const size = at.length;
  const second = fullDeviance(moments, criterion, places).curvature(at);
  if (choleskyInPlace(second, 0, size, 1e-10) !== size) return { places, covariance: null };
  const covariance = new Float64Array(size * size);
  for (let i = 0; i < size; i++) covariance[i * size + i] = 2;
  solveLowerInPlace(second, 0, size, covariance, 0, size);
  solveUpperInPlace(second, 0, size, covariance, 0, size);
  return { places, covariance };
}

/**
 * Covariance of weights·γ for `count` rows of weights (count × p), count × count: σ² L H⁻¹ Lᵀ.
 */
export function covarianceOf(
  weights: Float64Array,
  count: number,
  p: number,
  { evaluation, sigma2 }: Solution,
): Float64Array {
  const turned = new Float64Array(p * count);
  for (let c = 0; c < count; c++) for (let j = 0; j < p; j++) turned[j * count + c] = weights[c * p + j];
  solveLowerInPlace(evaluation.h, 0, p, turned, 0, count);
  const out = new Float64Array(count * count);
  for (let a = 0; a < count; a++)
    for (let b = 0; b < count; b++)
      for (let j = 0; j < p; j++) out[a * count + b] += sigma2 * turned[j * count + a] * turned[j * count + b];
  return out;
}

/**
 * Slope of the variance v = σ² lᵀH⁻¹l of one contrast in the parameters of `fullDeviance`: with u = ZᵀW⁻¹X H⁻¹ l of each
 * group, ∂v/∂Λ = 2 σ² Σ u uᵀ Λ and ∂v/∂ ln σ = 2 v.
 */
export function varianceSlope(
  weights: Float64Array,
  moments: GroupMoments,
  solution: Solution,
  places: Places,
): Float64Array {
  const { groups, k, p } = moments;
  const { evaluation, sigma2, lambda } = solution;
  const direction = weights.slice();
  solveLowerInPlace(evaluation.h, 0, p, direction, 0, 1);
  solveUpperInPlace(evaluation.h, 0, p, direction, 0, 1);
  const squares = new Float64Array(k * k);
  const u = new Float64Array(k);
  for (let g = 0; g < groups; g++) {
    u.fill(0);
    for (let i = 0; i < k; i++) for (let j = 0; j < p; j++) u[i] += evaluation.zwx[(g * k + i) * p + j] * direction[j];
    for (let i = 0; i < k; i++) for (let j = 0; j < k; j++) squares[i * k + j] += u[i] * u[j];
  }
  const slope = new Float64Array(places.length + 1);
  places.forEach(([i, j], t) => {
    for (let l = 0; l < k; l++) slope[t] += 2 * sigma2 * squares[i * k + l] * lambda[l * k + j];
  });
  let variance = 0;
  for (let j = 0; j < p; j++) variance += sigma2 * weights[j] * direction[j];
  slope[places.length] = 2 * variance;
  return slope;
}

/**
 * Degrees of freedom of a variance estimate v with slope g in parameters of covariance A (Satterthwaite 1946, Biometrics
 * Bull 2:110–114; for mixed models Giesbrecht & Burns 1985, and as here Kuznetsova, Brockhoff & Christensen 2017, J Stat
 * Softw 82(13), sec. 2): 2 v² / (gᵀ A g). NaN without A.
 */
export function satterthwaite(variance: number, slope: Float64Array, { covariance }: VarianceDoubt): number {
  if (!covariance) return Number.NaN;
  const size = slope.length;
  let spread = 0;
  for (let i = 0; i < size; i++)
    for (let j = 0; j < size; j++) spread += slope[i] * covariance[i * size + j] * slope[j];
  return (2 * variance * variance) / spread;
}
