import { Matrix, SVD } from 'ml-matrix';
import { triangulariseInPlace } from './householder.ts';

export interface ParameterUncertainty {
  readonly covariance: Float64Array;
  readonly standardDeviations: Float64Array;
  readonly rank: number;
}

/** What of a Jacobian with unit columns counts as 0: exact derivatives are good to rounding, differences to about 1e-10. */
export const DEPENDENCE_EXACT = 1e-13;
export const DEPENDENCE_DIFFERENCES = 1e-9;
/** A parameter with more than this of its (unit) direction in the null space is not determined. */
const NULL_SHARE = 1e-8;

/**
 * Covariance of least-squares parameters, (JᵀJ)⁻¹ · rss / (m − rank), from the singular values of J with its columns
 * scaled to unit norm; those below `dependence` of the largest are 0. Parameters with a part in the null space of J get NaN; the others keep their covariance. With
 * m ≤ rank there is no residual freedom and everything is NaN.
 */
export function parameterUncertainty(
  jacobian: Float64Array,
  m: number,
  n: number,
  residualSumOfSquares: number,
  dependence: number,
): ParameterUncertainty {
  const norms = new Float64Array(n);
  for (let j = 0; j < n; j++) {
    for (let i = 0; i < m; i++) norms[j] += jacobian[i * n + j] ** 2;
    norms[j] = Math.sqrt(norms[j]) || 1;
  }
  const scaled = Float64Array.from(jacobian, (value, at) => value / norms[at % n]);
  triangulariseInPlace(scaled, m, n, new Float64Array(n));
  const triangle = Matrix.zeros(n, n);
  for (let i = 0; i < Math.min(m, n); i++) for (let j = i; j < n; j++) triangle.set(i, j, scaled[i * n + j]);
  const svd = new SVD(triangle, { computeLeftSingularVectors: false });
  const sizes = svd.diagonal;
  const directions = svd.rightSingularVectors;
  const least = Math.max(...sizes) * dependence;
  const determined = sizes.map((size) => size > least && size > 0);
  const rank = determined.filter(Boolean).length;

  const covariance = new Float64Array(n * n).fill(Number.NaN);
  const standardDeviations = new Float64Array(n).fill(Number.NaN);
  if (m <= rank) return { covariance, standardDeviations, rank };
  const variance = residualSumOfSquares / (m - rank);
  const nullShare = (j: number) => determined.reduce((sum, is, k) => (is ? sum : sum + directions.get(j, k) ** 2), 0);
  const known = Array.from({ length: n }, (_, j) => nullShare(j) <= NULL_SHARE);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      if (!known[i] || !known[j]) continue;
      let sum = 0;
      for (let k = 0; k < n; k++)
        if (determined[k]) sum += (directions.get(i, k) * directions.get(j, k)) / sizes[k] ** 2;
      covariance[i * n + j] = (variance * sum) / (norms[i] * norms[j]);
    }
    if (known[i]) standardDeviations[i] = Math.sqrt(covariance[i * n + i]);
  }
  return { covariance, standardDeviations, rank };
}
