import fProbability from '@stdlib/stats-base-dists-f-cdf';
import { contrastsDependent, contrastWrong } from '../../../messages/mixed-model.ts';
import { eigenSymmetric } from '../../../numerics/symmetric-eigen.ts';
import { estimateOf, type Weights, weightVector } from './contrast.ts';
import type { MixedFit } from './mixed-fit.ts';
import { type SharedCause, sharedShifts } from './shared-errors.ts';
import { weightsOnStandardised } from './standardised.ts';

/** Smallest against largest eigenvalue of the contrasts' correlation below which they follow from one another. */
const DEPENDENCE = 1e-10;

export interface JointTest {
  readonly contrasts: number;
  readonly f: number;
  /** Numerator: the number of contrasts. */
  readonly freedom1: number;
  /** Denominator; NaN where it cannot be worked out. */
  readonly freedom2: number;
  readonly p: number;
}

/**
 * F-test that several contrasts are all 0, (Lβ)ᵀ (L C Lᵀ)⁻¹ Lβ / r: written as a sum of r independent t², each with
 * Satterthwaite's ν; the denominator's freedom is 2 E / (E − r), E = Σ ν / (ν − 2), which matches the mean of that sum (Fai &
 * Cornelius 1996, J Stat Comput Simul 54:363–378; Kuznetsova et al. 2017, sec. 2). 2 where a ν is not above 2.
 *
 * causes: shared measurement errors, whose part A E Eᵀ Aᵀ is added to C as in `withSharedErrors`; the t are then those of the sum,
 * the added part counting as known in ν. Throws a DataError where contrasts follow from one another.
 */
export function jointTest(
  fit: MixedFit,
  contrasts: readonly Weights[],
  causes: readonly SharedCause[] = [],
): JointTest {
  const { effects } = fit.inner.design;
  const p = effects.length;
  const r = contrasts.length;
  if (r === 0) throw contrastWrong('a joint test of no contrast', p, effects);
  const rows = contrasts.map((weights) => weightVector(effects, weights));
  const covariance = new Float64Array(r * r);
  for (let a = 0; a < r; a++)
    for (let b = 0; b < r; b++)
      for (let i = 0; i < p; i++)
        for (let j = 0; j < p; j++) covariance[a * r + b] += rows[a][i] * fit.fixedCovariance[i * p + j] * rows[b][j];
  const shiftsOf = sharedShifts(fit, causes);
  const shifts = rows.map((row) => shiftsOf(weightsOnStandardised(row, fit.inner.standardised)));
  for (let a = 0; a < r; a++)
    for (let b = 0; b < r; b++)
      covariance[a * r + b] += shifts[a].reduce((product, shift, unknown) => product + shift * shifts[b][unknown], 0);
  requireIndependent(covariance, r);
  const { vectors } = eigenSymmetric(covariance, r);
  let sum = 0;
  const freedoms: number[] = [];
  for (let k = 0; k < r; k++) {
    const weights = new Float64Array(p);
    for (let a = 0; a < r; a++) for (let j = 0; j < p; j++) weights[j] += vectors[a * r + k] * rows[a][j];
    const { estimate, se, freedom } = estimateOf(fit.inner, weights, '');
    let shared = 0;
    for (let unknown = 0; unknown < shifts[0].length; unknown++) {
      let shift = 0;
      for (let a = 0; a < r; a++) shift += vectors[a * r + k] * shifts[a][unknown];
      shared += shift * shift;
    }
    const own = se ** 2;
    sum += estimate ** 2 / (own + shared);
    freedoms.push(freedom * ((own + shared) / own) ** 2);
  }
  const f = sum / r;
  const freedom2 = denominatorFreedom(freedoms);
  // The upper tail as a lower one, so that a small p keeps its digits.
  const probability = Number.isNaN(freedom2) ? Number.NaN : f > 0 ? fProbability(1 / f, freedom2, r) : 1;
  return { contrasts: r, f, freedom1: r, freedom2, p: probability };
}

export function denominatorFreedom(freedoms: readonly number[]): number {
  const r = freedoms.length;
  if (r === 1) return freedoms[0];
  if (freedoms.some(Number.isNaN)) return Number.NaN;
  if (freedoms.some((freedom) => freedom <= 2)) return 2;
  // E − r = Σ 2 / (ν − 2), without the cancellation at large ν.
  const excess = freedoms.reduce((sum, freedom) => sum + 2 / (freedom - 2), 0);
  return (2 * (r + excess)) / excess;
}

function requireIndependent(covariance: Float64Array, r: number): void {
  const correlation = covariance.map(
    (value, at) => value / Math.sqrt(covariance[Math.floor(at / r) * (r + 1)] * covariance[(at % r) * (r + 1)]),
  );
  const { values } = eigenSymmetric(correlation, r);
  const rank = values.filter((value) => value > DEPENDENCE * values[r - 1]).length;
  if (rank < r) throw contrastsDependent(rank, r);
}
