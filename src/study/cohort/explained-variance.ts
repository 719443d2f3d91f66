import type { MixedFit } from '../statistics/mixed-model/mixed-fit.ts';

/** How the variance of the response divides, in its unit squared. */
export interface VarianceParts {
  /** Of the fixed part over the rows used. */
  readonly fixed: number;
  /** Between athletes: of the random part, mean over the rows used. */
  readonly athletes: number;
  readonly residual: number;
}

/**
 * Parts of the variance: of the fixed part with n − 1; of the random part the mean of z Ψ zᵀ over the rows, which with random slopes
 * depends on the covariate (Johnson 2014, Methods Ecol. Evol. 5:944–946).
 */
export function varianceParts({
  inner,
  fixedEffects,
  randomSds,
  randomCorrelations,
  residualSd,
}: MixedFit): VarianceParts {
  const { x, z, rows: n, effects, randomEffects } = inner.design;
  const p = effects.length;
  const q = randomEffects.length;
  const fitted = Float64Array.from({ length: n }, (_, row) => {
    let sum = 0;
    for (let j = 0; j < p; j++) sum += x[row * p + j] * fixedEffects[j].estimate;
    return sum;
  });
  const centre = fitted.reduce((sum, value) => sum + value, 0) / n;
  const covariance = new Float64Array(q * q);
  randomSds.forEach(({ sd }, i) => {
    covariance[i * q + i] = sd * sd;
  });
  for (const { first, second, correlation } of randomCorrelations) {
    const [i, j] = [randomEffects.indexOf(first), randomEffects.indexOf(second)];
    const value = Number.isNaN(correlation) ? 0 : correlation * randomSds[i].sd * randomSds[j].sd;
    covariance[i * q + j] = covariance[j * q + i] = value;
  }
  let athletes = 0;
  for (let row = 0; row < n; row++)
    for (let i = 0; i < q; i++)
      for (let j = 0; j < q; j++) athletes += (z[row * q + i] * covariance[i * q + j] * z[row * q + j]) / n;
  return {
    fixed: fitted.reduce((sum, value) => sum + (value - centre) ** 2, 0) / (n - 1),
    athletes,
    residual: residualSd ** 2,
  };
}

/** R² of Nakagawa & Schielzeth (2013, Methods Ecol. Evol. 4:133–142, eq. 29 and 30), and the share of the athlete in what the fixed part leaves. */
export function explained({ fixed, athletes, residual }: VarianceParts) {
  const total = fixed + athletes + residual;
  return {
    marginal: fixed / total,
    conditional: (fixed + athletes) / total,
    athleteShare: athletes / (athletes + residual),
  };
}
