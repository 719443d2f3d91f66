import { solveLowerInPlace } from '../../../numerics/block-cholesky.ts';
import type { GroupMoments } from './group-moments.ts';
import type { Criterion, Evaluation } from './likelihood.ts';

/** Places (row, column) in Λ. */
export type Places = readonly (readonly [number, number])[];

export interface SecondDerivatives {
  /** places × places: of −2 ln L in the elements of Λ at `places`, σ² held. */
  readonly factor: Float64Array;
  /** places: of rss in the same elements. */
  readonly rss: Float64Array;
}

/**
 * Second derivatives of −2 ln L at an evaluation. W is linear in S = Λ Λᵀ, so that along symmetric D and F
 *
 *   ∂² ln|W| = −Σ tr(P D P F),   ∂² ln|H| = Σ tr((D P F + F P D) U H⁻¹ Uᵀ) − tr(H⁻¹ K_D H⁻¹ K_F),
 *   ∂² rss   = 2 (Σ sᵀ D P F s − t_Dᵀ H⁻¹ t_F),
 *
 * with P = ZᵀW⁻¹Z, U = ZᵀW⁻¹X, s = ZᵀW⁻¹r of each group, K_D = Σ UᵀDU, t_D = Σ UᵀDs. The chain rule brings them to Λ:
 * ∂S = EΛᵀ + ΛEᵀ, ∂²S = EFᵀ + FEᵀ for unit matrices E, F.
 */
export function secondDerivatives(
  moments: GroupMoments,
  at: Evaluation,
  lambda: Float64Array,
  sigma2: number,
  criterion: Criterion,
  places: Places,
): SecondDerivatives {
  const { groups, k, p } = moments;
  const reml = criterion === 'REML';
  const n = places.length;
  const factor = new Float64Array(n * n);
  const rss = new Float64Array(n);
  const directions = places.map(([i, j]) => directionOf(lambda, k, i, j));
  // In coordinates in which H is the unit matrix: Uᵀ → H^{-1/2} Uᵀ.
  const u = new Float64Array(p * k);
  const v = new Float64Array(k * k);
  const dp = places.map(() => new Float64Array(k * k));
  const ds = new Float64Array(n * k);
  const kd = places.map(() => new Float64Array(p * p));
  const td = places.map(() => new Float64Array(p));
  const slope = new Float64Array(k * k);
  const turned = new Float64Array(k);
  for (let g = 0; g < groups; g++) {
    const pAt = g * k * k;
    for (let i = 0; i < k; i++) for (let j = 0; j < p; j++) u[j * k + i] = at.zwx[(g * k + i) * p + j];
    solveLowerInPlace(at.h, 0, p, u, 0, k);
    if (reml)
      for (let i = 0; i < k; i++)
        for (let l = 0; l < k; l++) {
          let sum = 0;
          for (let j = 0; j < p; j++) sum += u[j * k + i] * u[j * k + l];
          v[i * k + l] = sum;
        }
    for (let i = 0; i < k; i++)
      for (let l = 0; l < k; l++)
        slope[i * k + l] += at.zwz[pAt + i * k + l] - v[i * k + l] - (at.zwe[g * k + i] * at.zwe[g * k + l]) / sigma2;
    for (let a = 0; a < n; a++) {
      const d = directions[a];
      for (let i = 0; i < k; i++) {
        let s = 0;
        for (let l = 0; l < k; l++) {
          s += d[i * k + l] * at.zwe[g * k + l];
          let sum = 0;
          for (let o = 0; o < k; o++) sum += d[i * k + o] * at.zwz[pAt + o * k + l];
          dp[a][i * k + l] = sum;
        }
        ds[a * k + i] = s;
        rss[a] -= at.zwe[g * k + i] * s;
      }
      for (let j = 0; j < p; j++) {
        for (let i = 0; i < k; i++) {
          td[a][j] += u[j * k + i] * ds[a * k + i];
          turned[i] = 0;
          for (let l = 0; l < k; l++) turned[i] += d[i * k + l] * u[j * k + l];
        }
        if (!reml) continue;
        for (let o = 0; o <= j; o++) {
          let sum = 0;
          for (let i = 0; i < k; i++) sum += turned[i] * u[o * k + i];
          kd[a][j * p + o] += sum;
        }
      }
    }
    for (let a = 0; a < n; a++)
      for (let b = 0; b <= a; b++) {
        let sum = 0;
        for (let i = 0; i < k; i++)
          for (let l = 0; l < k; l++) {
            // tr(D P F P), sᵀ D P F s and tr(D P F V) by their elements.
            sum -= dp[a][i * k + l] * dp[b][l * k + i];
            sum += (2 * ds[a * k + i] * at.zwz[pAt + i * k + l] * ds[b * k + l]) / sigma2;
            if (!reml) continue;
            let fv = 0;
            for (let o = 0; o < k; o++) fv += directions[b][l * k + o] * v[o * k + i];
            sum += 2 * dp[a][i * k + l] * fv;
          }
        factor[a * n + b] += sum;
      }
  }
  for (let a = 0; a < n; a++)
    for (let b = 0; b <= a; b++) {
      let sum = 0;
      for (let j = 0; j < p; j++) {
        sum -= (2 * td[a][j] * td[b][j]) / sigma2;
        for (let o = 0; o <= j; o++) sum -= (o < j ? 2 : 1) * kd[a][j * p + o] * kd[b][j * p + o];
      }
      // ⟨B, E Fᵀ + F Eᵀ⟩ is not 0 where both elements stand in one column.
      const [[i, j], [l, o]] = [places[a], places[b]];
      if (j === o) sum += 2 * slope[i * k + l];
      factor[a * n + b] += sum;
      factor[b * n + a] = factor[a * n + b];
    }
  return { factor, rss };
}

/** ∂S of the element (i, j) of Λ: E Λᵀ + Λ Eᵀ. */
function directionOf(lambda: Float64Array, k: number, i: number, j: number): Float64Array {
  const d = new Float64Array(k * k);
  for (let l = 0; l < k; l++) {
    d[i * k + l] += lambda[l * k + j];
    d[l * k + i] += lambda[l * k + j];
  }
  return d;
}
