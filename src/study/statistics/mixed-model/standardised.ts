import { triangulariseInPlace } from '../../../numerics/householder.ts';
import type { Design } from './design.ts';

/**
 * The design in coordinates in which the fit is well scaled whatever the units and origins of the covariates:
 * X = Q R with orthonormal Q, Z = Z̃ T with Z̃ᵀZ̃ = rows · I (T lower triangular; diagonal for uncorrelated random effects,
 * where no other change leaves the model as it is). Then γ = R β, b̃ = T b and Λ̃ = T Λ, which is lower triangular again.
 */
export interface Standardised {
  readonly rows: number;
  readonly effects: number;
  readonly randomEffects: number;
  readonly groups: number;
  readonly groupOf: Int32Array;
  /** rows × effects. */
  readonly q: Float64Array;
  /** effects × effects, upper triangular. */
  readonly r: Float64Array;
  /** rows × randomEffects. */
  readonly z: Float64Array;
  /** randomEffects × randomEffects, lower triangular, diagonal above 0. */
  readonly t: Float64Array;
  /** 2 ln |det R|, which REML adds for X instead of Q. */
  readonly logDetR: number;
}

export function standardised(design: Design, correlated: boolean): Standardised {
  const { rows, groupOf } = design;
  const p = design.effects.length;
  const k = design.randomEffects.length;
  const r = design.x.slice();
  triangulariseInPlace(r, rows, p, new Float64Array(p));
  const triangle = r.slice(0, p * p);
  let logDetR = 0;
  for (let j = 0; j < p; j++) logDetR += 2 * Math.log(Math.abs(triangle[j * p + j]));
  const q = design.x.slice();
  for (let row = 0; row < rows; row++) solveRowUpper(q, row * p, triangle, p);
  const t = correlated ? lowerScale(design.z, rows, k) : diagonalScale(design.z, rows, k);
  const z = design.z.slice();
  for (let row = 0; row < rows; row++) solveRowLower(z, row * k, t, k);
  return { rows, effects: p, randomEffects: k, groups: design.groups.length, groupOf, q, r: triangle, z, t, logDetR };
}

/** x R = row, in place. */
function solveRowUpper(x: Float64Array, at: number, r: Float64Array, n: number): void {
  for (let j = 0; j < n; j++) {
    let sum = x[at + j];
    for (let i = 0; i < j; i++) sum -= x[at + i] * r[i * n + j];
    x[at + j] = sum / r[j * n + j];
  }
}

/** z T = row, in place. */
function solveRowLower(z: Float64Array, at: number, t: Float64Array, n: number): void {
  for (let j = n - 1; j >= 0; j--) {
    let sum = z[at + j];
    for (let i = j + 1; i < n; i++) sum -= z[at + i] * t[i * n + j];
    z[at + j] = sum / t[j * n + j];
  }
}

/** T with Z = Z̃ T: the QR decomposition of Z with its columns in reverse order, turned round. */
function lowerScale(z: Float64Array, rows: number, k: number): Float64Array {
  const reversed = new Float64Array(rows * k);
  for (let row = 0; row < rows; row++) for (let j = 0; j < k; j++) reversed[row * k + j] = z[row * k + k - 1 - j];
  triangulariseInPlace(reversed, rows, k, new Float64Array(k));
  const t = new Float64Array(k * k);
  for (let i = 0; i < k; i++) {
    const from = (k - 1 - i) * k;
    const sign = reversed[from + (k - 1 - i)] < 0 ? -1 : 1;
    for (let j = 0; j <= i; j++) t[i * k + j] = (sign * reversed[from + (k - 1 - j)]) / Math.sqrt(rows);
  }
  return t;
}

function diagonalScale(z: Float64Array, rows: number, k: number): Float64Array {
  const t = new Float64Array(k * k);
  for (let j = 0; j < k; j++) {
    let square = 0;
    for (let row = 0; row < rows; row++) square += z[row * k + j] ** 2;
    t[j * k + j] = Math.sqrt(square / rows);
  }
  return t;
}

/** β = R⁻¹ γ. */
export function effectsFrom(gamma: Float64Array, { r, effects: p }: Standardised): Float64Array {
  const beta = gamma.slice();
  for (let i = p - 1; i >= 0; i--) {
    for (let j = i + 1; j < p; j++) beta[i] -= r[i * p + j] * beta[j];
    beta[i] /= r[i * p + i];
  }
  return beta;
}

/** Weights on γ that give the same number as `weights` on β: R⁻ᵀ l. */
export function weightsOnStandardised(weights: ArrayLike<number>, { r, effects: p }: Standardised): Float64Array {
  const turned = Float64Array.from(weights);
  solveRowUpper(turned, 0, r, p);
  return turned;
}

/** T⁻¹ A for `columns` columns: random effects, or their Cholesky factor, in the units of the data. */
export function randomFrom(a: Float64Array, columns: number, { t, randomEffects: k }: Standardised): Float64Array {
  const out = a.slice();
  for (let i = 0; i < k; i++)
    for (let c = 0; c < columns; c++) {
      for (let j = 0; j < i; j++) out[i * columns + c] -= t[i * k + j] * out[j * columns + c];
      out[i * columns + c] /= t[i * k + i];
    }
  return out;
}
