import type { FitInner, GroupModes, RandomCorrelation, RandomSpread } from './mixed-fit.ts';
import { effectsFrom, randomFrom } from './standardised.ts';

/** A random SD below this share of its scale beside the others is rounding of a 0. */
const ROUNDED_TO_ZERO = 1e-12;

/** Standard deviations and correlations of the random effects, in the units of the data. */
export function spreadOf({ design, moments, standardised, solution, model }: FitInner) {
  const { k } = moments;
  const factor = randomFrom(solution.lambda, k, standardised);
  const sigma = Math.sqrt(solution.sigma2);
  const row = (i: number) => factor.subarray(i * k, (i + 1) * k);
  const sizes = design.randomEffects.map((_, i) => Math.hypot(...row(i)));
  // T⁻¹ mixes rows: what cancels there leaves rounding of the terms it was made of.
  const scales = design.randomEffects.map((_, i) => termsOf(i, solution.lambda, k, standardised.t));
  const known = sizes.map((size, i) => (size <= ROUNDED_TO_ZERO * scales[i] ? 0 : size));
  const randomSds: RandomSpread[] = design.randomEffects.map((name, i) => ({ name, sd: sigma * known[i] }));
  const randomCorrelations: RandomCorrelation[] = [];
  for (let i = 1; i < k; i++)
    for (let j = 0; j < i; j++) {
      let product = 0;
      for (let l = 0; l < k; l++) product += row(i)[l] * row(j)[l];
      const correlation = known[i] > 0 && known[j] > 0 ? product / (known[i] * known[j]) : Number.NaN;
      randomCorrelations.push({
        first: design.randomEffects[j],
        second: design.randomEffects[i],
        correlation: model.random.correlated ? Math.max(-1, Math.min(1, correlation)) : 0,
      });
    }
  return { randomSds, randomCorrelations };
}

function termsOf(i: number, lambda: Float64Array, k: number, t: Float64Array): number {
  let most = 0;
  for (let j = 0; j <= i; j++)
    for (let l = 0; l < k; l++)
      most = Math.max(
        most,
        (Math.abs(lambda[j * k + l]) * Math.max(1, Math.abs(t[i * k + j] / t[j * k + j]))) / t[i * k + i],
      );
  return most;
}

/** b = Λ M⁻¹ Λᵀ Zᵀ(y − Xβ) of each group, with conditional covariance σ² Λ M⁻¹ Λᵀ (Bates et al. 2015, sec. 3.3). */
export function groupModes({ design, moments, standardised, solution }: FitInner): GroupModes[] {
  const { k } = moments;
  const { evaluation, lambda, sigma2 } = solution;
  const factor = randomFrom(lambda, k, standardised);
  const rows = new Int32Array(design.groups.length);
  for (const group of design.groupOf) rows[group]++;
  return design.groups.map((group, g) => {
    const b = randomFrom(standardisedModes(lambda, evaluation.zwe.subarray(g * k, (g + 1) * k), k), 1, standardised);
    const inner = evaluation.inner.subarray(g * k * k, (g + 1) * k * k);
    const sds = design.randomEffects.map((_, i) => {
      let variance = 0;
      for (let l = 0; l < k; l++)
        for (let o = 0; o < k; o++) variance += factor[i * k + l] * inner[l * k + o] * factor[i * k + o];
      return Math.sqrt(sigma2 * Math.max(0, variance));
    });
    return { group, rows: rows[g], modes: Array.from(b), sds };
  });
}

/** Λ Λᵀ Zᵀ W⁻¹ (y − Xβ): the same as by M, from what the evaluation holds. */
function standardisedModes(lambda: Float64Array, zwe: Float64Array, k: number): Float64Array {
  const half = new Float64Array(k);
  const b = new Float64Array(k);
  for (let l = 0; l < k; l++) for (let i = l; i < k; i++) half[l] += lambda[i * k + l] * zwe[i];
  for (let i = 0; i < k; i++) for (let l = 0; l <= i; l++) b[i] += lambda[i * k + l] * half[l];
  return b;
}

/** Fixed part + conditional modes of each row of the table; NaN where the row was not used. */
export function fittedValues({ rows, design, moments, standardised, solution }: FitInner): Float64Array {
  const { k, p } = moments;
  const beta = effectsFrom(
    solution.evaluation.gamma.map((g, j) => g + moments.start[j]),
    standardised,
  );
  const modes = Array.from(design.groups, (_, g) =>
    standardisedModes(solution.lambda, solution.evaluation.zwe.subarray(g * k, (g + 1) * k), k),
  );
  const fitted = new Float64Array(rows.tableRows).fill(Number.NaN);
  rows.used.forEach((tableRow, row) => {
    let sum = 0;
    for (let j = 0; j < p; j++) sum += design.x[row * p + j] * beta[j];
    const b = modes[design.groupOf[row]];
    for (let j = 0; j < k; j++) sum += standardised.z[row * k + j] * b[j];
    fitted[tableRow] = sum;
  });
  return fitted;
}
