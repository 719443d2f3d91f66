import { choleskyInPlace, solveLowerInPlace, solveUpperInPlace } from '../../../numerics/block-cholesky.ts';
import type { GroupMoments } from './group-moments.ts';

export type Criterion = 'REML' | 'ML';

/**
 * What the likelihood of one relative Cholesky factor Λ needs, with W = I + Z Λ Λᵀ Zᵀ (var y = σ² W), by small matrices of
 * each group: Bates, Mächler, Bolker & Walker (2015, J Stat Softw 67(1)), sec. 3.4, whose one sparse Cholesky factor falls
 * into these blocks when one factor groups the rows.
 */
export interface Evaluation {
  /** ln|W|, and ln|XᵀW⁻¹X| in the coordinates of the moments. */
  logDetW: number;
  logDetH: number;
  /** Least eᵀW⁻¹e over the fixed effects: σ² is this over rows (ML) or rows − p (REML). */
  rss: number;
  /** p × p, lower Cholesky factor of H = XᵀW⁻¹X. */
  readonly h: Float64Array;
  /** Fixed effects on top of `start`. */
  readonly gamma: Float64Array;
  /** A group each: ZᵀW⁻¹Z (k × k), ZᵀW⁻¹X (k × p), ZᵀW⁻¹(e − X γ) (k), M⁻¹ of M = I + ΛᵀZᵀZΛ (k × k). */
  readonly zwz: Float64Array;
  readonly zwx: Float64Array;
  readonly zwe: Float64Array;
  readonly inner: Float64Array;
  /** Room for one group's matrices. */
  readonly room: {
    readonly al: Float64Array;
    readonly m: Float64Array;
    readonly d: Float64Array;
    readonly f: Float64Array;
  };
}

// Hoisted: some test runners make every look-up of a global slow.
const { log, sqrt } = Math;

export function emptyEvaluation({ groups, k, p }: GroupMoments): Evaluation {
  return {
    logDetW: Number.NaN,
    logDetH: Number.NaN,
    rss: Number.NaN,
    h: new Float64Array(p * p),
    gamma: new Float64Array(p),
    zwz: new Float64Array(groups * k * k),
    zwx: new Float64Array(groups * k * p),
    zwe: new Float64Array(groups * k),
    inner: new Float64Array(groups * k * k),
    room: {
      al: new Float64Array(k * k),
      m: new Float64Array(k * k),
      d: new Float64Array(k * (p + 1)),
      f: new Float64Array(k * (p + 1)),
    },
  };
}

/**
 * Fills `out` for Λ (k × k, row-major, lower triangular). By Woodbury: W⁻¹ = I − ZΛM⁻¹ΛᵀZᵀ and |W| = |M|, group by group.
 * False where H has no Cholesky factor: Λ is beyond what rounding bears.
 */
export function evaluateInto(out: Evaluation, moments: GroupMoments, lambda: Float64Array): boolean {
  const { groups, k, p, zz, zx, ze, xx, xe, ee } = moments;
  const width = p + 1;
  const { al, m, d, f } = out.room;
  const { h, gamma, inner } = out;
  h.set(xx);
  gamma.set(xe);
  let yy = ee;
  let logDetW = 0;
  for (let g = 0; g < groups; g++) {
    const aAt = g * k * k;
    const cAt = g * k * p;
    const eAt = g * k;
    // A Λ, M = I + Λᵀ A Λ and D = Λᵀ [C e].
    for (let i = 0; i < k; i++)
      for (let j = 0; j < k; j++) {
        let sum = 0;
        for (let l = j; l < k; l++) sum += zz[aAt + i * k + l] * lambda[l * k + j];
        al[i * k + j] = sum;
      }
    for (let i = 0; i < k; i++) {
      for (let j = 0; j < k; j++) {
        let sum = i === j ? 1 : 0;
        for (let l = i; l < k; l++) sum += lambda[l * k + i] * al[l * k + j];
        m[i * k + j] = sum;
      }
      for (let j = 0; j < p; j++) {
        let sum = 0;
        for (let l = i; l < k; l++) sum += lambda[l * k + i] * zx[cAt + l * p + j];
        d[i * width + j] = sum;
      }
      let sum = 0;
      for (let l = i; l < k; l++) sum += lambda[l * k + i] * ze[eAt + l];
      d[i * width + p] = sum;
    }
    const determinant = invertInto(inner, aAt, m, k);
    if (!(determinant > 0)) return false;
    logDetW += log(determinant);
    for (let i = 0; i < k; i++)
      for (let j = 0; j < width; j++) {
        let sum = 0;
        for (let l = 0; l < k; l++) sum += inner[aAt + i * k + l] * d[l * width + j];
        f[i * width + j] = sum;
      }
    for (let i = 0; i < k; i++) {
      for (let j = 0; j < k; j++) {
        // A − A Λ M⁻¹ (A Λ)ᵀ
        let sum = zz[aAt + i * k + j];
        for (let l = 0; l < k; l++)
          for (let o = 0; o < k; o++) sum -= al[i * k + l] * inner[aAt + l * k + o] * al[j * k + o];
        out.zwz[aAt + i * k + j] = sum;
      }
      for (let j = 0; j < p; j++) {
        let sum = zx[cAt + i * p + j];
        for (let l = 0; l < k; l++) sum -= al[i * k + l] * f[l * width + j];
        out.zwx[cAt + i * p + j] = sum;
      }
      let sum = ze[eAt + i];
      for (let l = 0; l < k; l++) sum -= al[i * k + l] * f[l * width + p];
      out.zwe[eAt + i] = sum;
    }
    for (let l = 0; l < k; l++) {
      const at = l * width;
      for (let i = 0; i < p; i++) {
        const di = d[at + i];
        for (let j = 0; j <= i; j++) h[i * p + j] -= di * f[at + j];
        gamma[i] -= di * f[at + p];
      }
      yy -= d[at + p] * f[at + p];
    }
  }
  if (choleskyInPlace(h, 0, p, 0) !== p) return false;
  out.logDetW = logDetW;
  out.logDetH = 0;
  for (let i = 0; i < p; i++) out.logDetH += 2 * log(h[i * p + i]);
  solveLowerInPlace(h, 0, p, gamma, 0, 1);
  for (let i = 0; i < p; i++) yy -= gamma[i] * gamma[i];
  solveUpperInPlace(h, 0, p, gamma, 0, 1);
  out.rss = yy;
  for (let at = 0; at < groups * k; at++) for (let j = 0; j < p; j++) out.zwe[at] -= out.zwx[at * p + j] * gamma[j];
  return yy > 0;
}

/**
 * Inverse of the symmetric positive definite k × k matrix m, by its Cholesky factor, written to out[at …]; returns its
 * determinant, NaN where there is no factor. m is overwritten: L below the diagonal, L⁻ᵀ on and above it.
 */
function invertInto(out: Float64Array, at: number, m: Float64Array, k: number): number {
  let determinant = 1;
  for (let j = 0; j < k; j++) {
    let pivot = m[j * k + j];
    for (let l = 0; l < j; l++) pivot -= m[j * k + l] * m[j * k + l];
    if (!(pivot > 0)) return Number.NaN;
    determinant *= pivot;
    const inverse = 1 / sqrt(pivot);
    for (let i = j + 1; i < k; i++) {
      let sum = m[i * k + j];
      for (let l = 0; l < j; l++) sum -= m[i * k + l] * m[j * k + l];
      m[i * k + j] = sum * inverse;
    }
    m[j * k + j] = inverse;
    for (let i = 0; i < j; i++) {
      let sum = 0;
      for (let l = i; l < j; l++) sum -= m[j * k + l] * m[i * k + l];
      m[i * k + j] = sum * inverse;
    }
  }
  for (let i = 0; i < k; i++)
    for (let j = 0; j <= i; j++) {
      let sum = 0;
      for (let l = i; l < k; l++) sum += m[i * k + l] * m[j * k + l];
      out[at + i * k + j] = sum;
      out[at + j * k + i] = sum;
    }
  return determinant;
}

/** Rows that carry information on the variances: rows (ML) or rows − p (REML). */
export const varianceRows = ({ rows, p }: GroupMoments, criterion: Criterion): number =>
  criterion === 'REML' ? rows - p : rows;

/** −2 ln L with σ² at its best for this Λ (Bates et al. 2015, sec. 3.4: profiled deviance, and REML criterion). */
export function profiledDeviance(moments: GroupMoments, at: Evaluation, criterion: Criterion): number {
  const n = varianceRows(moments, criterion);
  return at.logDetW + (criterion === 'REML' ? at.logDetH : 0) + n * (1 + Math.log((2 * Math.PI * at.rss) / n));
}

/**
 * Derivative of −2 ln L in each element of Λ at residual variance σ², k × k: 2 B Λ with
 * B = Σ ZᵀW⁻¹Z − ZᵀW⁻¹r rᵀW⁻¹Z / σ², and for REML also − ZᵀW⁻¹X H⁻¹ XᵀW⁻¹Z. From d ln|W| = tr W⁻¹dW and
 * dW⁻¹ = −W⁻¹dW W⁻¹. With σ² profiled out it is the same, σ² being at its best.
 */
export function slopeInFactor(
  moments: GroupMoments,
  at: Evaluation,
  lambda: Float64Array,
  sigma2: number,
  criterion: Criterion,
): Float64Array {
  const { groups, k, p } = moments;
  const b = new Float64Array(k * k);
  const rows = new Float64Array(p * k);
  for (let g = 0; g < groups; g++) {
    const aAt = g * k * k;
    const eAt = g * k;
    for (let i = 0; i < k; i++)
      for (let j = 0; j < k; j++)
        b[i * k + j] += at.zwz[aAt + i * k + j] - (at.zwe[eAt + i] * at.zwe[eAt + j]) / sigma2;
    if (criterion === 'ML') continue;
    for (let i = 0; i < k; i++) for (let j = 0; j < p; j++) rows[j * k + i] = at.zwx[(g * k + i) * p + j];
    solveLowerInPlace(at.h, 0, p, rows, 0, k);
    for (let j = 0; j < p; j++)
      for (let i = 0; i < k; i++) for (let l = 0; l < k; l++) b[i * k + l] -= rows[j * k + i] * rows[j * k + l];
  }
  const slope = new Float64Array(k * k);
  for (let i = 0; i < k; i++)
    for (let j = 0; j < k; j++) for (let l = j; l < k; l++) slope[i * k + j] += 2 * b[i * k + l] * lambda[l * k + j];
  return slope;
}
