import { Matrix, solve } from 'ml-matrix';
import type { MixedFit } from '../../../../src/study/statistics/mixed-model/mixed-fit.ts';

/** The model of a fit with the covariance of all rows written out: nothing is shared with the way it was fitted. */
export interface Dense {
  readonly x: Matrix;
  readonly y: Matrix;
  /** Covariance of the response. */
  readonly v: Matrix;
  /** (XᵀV⁻¹X)⁻¹XᵀV⁻¹. */
  readonly weights: Matrix;
}

export function dense(fit: MixedFit): Dense {
  const { design, rows } = fit.inner;
  const n = design.rows;
  const k = design.randomEffects.length;
  const sds = fit.randomSds.map(({ sd }) => sd);
  const covariance = Matrix.zeros(k, k);
  for (let i = 0; i < k; i++) covariance.set(i, i, sds[i] ** 2);
  let at = 0;
  for (let i = 1; i < k; i++)
    for (let j = 0; j < i; j++) {
      const product = (fit.randomCorrelations[at++].correlation || 0) * sds[i] * sds[j];
      covariance.set(i, j, product);
      covariance.set(j, i, product);
    }
  const z = new Matrix(Array.from({ length: n }, (_, row) => Array.from(design.z.slice(row * k, (row + 1) * k))));
  const p = design.effects.length;
  const x = new Matrix(Array.from({ length: n }, (_, row) => Array.from(design.x.slice(row * p, (row + 1) * p))));
  const v = z.mmul(covariance).mmul(z.transpose());
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++) {
      if (design.groupOf[i] !== design.groupOf[j]) v.set(i, j, 0);
      if (i === j) v.set(i, j, v.get(i, j) + fit.residualSd ** 2);
    }
  const vx = solve(v, x);
  return { x, y: Matrix.columnVector(rows.response), v, weights: solve(x.transpose().mmul(vx), vx.transpose()) };
}

/** ln|A| of a symmetric positive definite matrix by elimination. */
export function logDeterminant(a: Matrix): number {
  const work = a.to2DArray();
  let sum = 0;
  for (let k = 0; k < work.length; k++) {
    sum += Math.log(work[k][k]);
    for (let i = k + 1; i < work.length; i++) {
      const factor = work[i][k] / work[k][k];
      for (let j = k; j < work.length; j++) work[i][j] -= factor * work[k][j];
    }
  }
  return sum;
}
