import { fitsNotComparable } from '../../../messages/mixed-model.ts';
import { triangulariseInPlace } from '../../../numerics/householder.ts';
import { normalProbability } from '../../../numerics/normal.ts';
import type { MixedFit } from './mixed-fit.ts';

/** A column of which no more than this share is left beside the larger model's columns lies in their span. */
const IN_SPAN = 1e-7;
/** A larger model whose −2 ln L is more than this above the smaller one's has not been fitted to its end. */
const WORSE = 1e-4;

export interface LikelihoodRatio {
  /** Fall of −2 ln L from the smaller to the larger model. */
  readonly statistic: number;
  /** Parameters that the larger model has more. */
  readonly freedom: number;
  /** By χ² of that freedom: too large where the question is whether a spread is 0 (`variances` true). */
  readonly p: number;
  /** The random parts differ. */
  readonly variances: boolean;
  /**
   * For one random effect more: by the half-and-half mixture of χ² for a spread at the edge of what is possible (Self &
   * Liang 1987, J Am Stat Assoc 82:605; Stram & Lee 1994, Biometrics 50:1171). NaN where that does not apply.
   */
  readonly pMixture: number;
}

/**
 * Likelihood-ratio test of nested fits to the same rows (Wilks 1938): both by ML, or by REML with the same fixed effects.
 * Approximate for fixed effects when groups are few; it then rejects too often (Pinheiro & Bates 2000, sec. 2.4.2).
 * Throws a DataError where the fits cannot be compared.
 */
export function likelihoodRatio(small: MixedFit, large: MixedFit): LikelihoodRatio {
  requireNested(small, large);
  const [a, b] = [small.inner, large.inner];
  const freedom = large.parameters - small.parameters;
  if (freedom <= 0) throw fitsNotComparable('the second model has no parameter more than the first');
  const statistic = small.deviance - large.deviance;
  if (statistic < -WORSE)
    throw fitsNotComparable(
      `the larger model fits worse (−2 ln L ${large.deviance} against ${small.deviance}): see whether it converged`,
    );
  const more = b.design.randomEffects.length - a.design.randomEffects.length;
  const sameForm = a.model.random.correlated === b.model.random.correlated || a.design.randomEffects.length === 1;
  const variances = more > 0 || a.model.random.correlated !== b.model.random.correlated;
  const x = Math.max(0, statistic);
  const p = chiSquareTail(x, freedom);
  const pMixture = more === 1 && sameForm ? (p + chiSquareTail(x, freedom - 1)) / 2 : Number.NaN;
  return { statistic, freedom, p, variances, pMixture };
}

function requireNested(small: MixedFit, large: MixedFit): void {
  const [a, b] = [small.inner, large.inner];
  if (small.criterion !== large.criterion) throw fitsNotComparable('one fit is by REML, the other by ML');
  if (a.rows.used.length !== b.rows.used.length || a.rows.used.some((row, i) => row !== b.rows.used[i]))
    throw fitsNotComparable(
      `the fits rest on different rows (${small.n} and ${large.n}); drop rows with a missing value in either model from both`,
    );
  if (a.rows.response.some((y, i) => y !== b.rows.response[i])) throw fitsNotComparable('the responses differ');
  if (a.design.groupOf.some((group, i) => group !== b.design.groupOf[i])) throw fitsNotComparable('the groups differ');
  const { rows, x: ax, effects: ae, z: az, randomEffects: ar } = a.design;
  const { x: bx, effects: be, z: bz, randomEffects: br } = b.design;
  if (!within(ax, ae.length, bx, be.length, rows))
    throw fitsNotComparable('the fixed effects of the first are not among those of the second');
  if (small.criterion === 'REML' && ae.length !== be.length)
    throw fitsNotComparable('REML criteria of different fixed effects are on different scales; fit both by ML');
  const nested = b.model.random.correlated
    ? within(az, ar.length, bz, br.length, rows)
    : (!a.model.random.correlated || ar.length === 1) && ar.every((name) => br.includes(name));
  if (!nested) throw fitsNotComparable('the random effects of the first are not among those of the second');
}

/** Whether every column of a lies in the span of the columns of b. */
function within(a: Float64Array, ka: number, b: Float64Array, kb: number, rows: number): boolean {
  const width = kb + 1;
  const work = new Float64Array(rows * width);
  for (let j = 0; j < ka; j++) {
    let whole = 0;
    for (let row = 0; row < rows; row++) {
      for (let i = 0; i < kb; i++) work[row * width + i] = b[row * kb + i];
      work[row * width + kb] = a[row * ka + j];
      whole += a[row * ka + j] ** 2;
    }
    triangulariseInPlace(work, rows, width, new Float64Array(width));
    // What is left of the appended column after all of b.
    const rest = Math.abs(work[kb * width + kb]);
    if (rest > IN_SPAN * Math.sqrt(whole)) return false;
  }
  return true;
}

/**
 * P(χ² > x) for a whole number of degrees of freedom ≥ 0, by Q(a + 1, x) = Q(a, x) + xᵃ e⁻ˣ / Γ(a + 1) (DLMF 8.8.6) from one
 * or two degrees. 0 degrees: all of it at 0. At x = 0 it is the 1 of a p-value.
 */
export function chiSquareTail(x: number, freedom: number): number {
  if (x <= 0) return 1;
  if (freedom === 0) return 0;
  const half = x / 2;
  const odd = freedom % 2 === 1;
  let a = odd ? 0.5 : 1;
  let tail = odd ? 2 * normalProbability(-Math.sqrt(x)) : Math.exp(-half);
  // xᵃ e⁻ˣ / Γ(a + 1), Γ(3/2) = √π / 2.
  let term = odd ? (2 * Math.sqrt(half) * Math.exp(-half)) / Math.sqrt(Math.PI) : half * Math.exp(-half);
  for (; a < freedom / 2 - 0.25; a++) {
    tail += term;
    term *= half / (a + 1);
  }
  return Math.min(1, tail);
}
