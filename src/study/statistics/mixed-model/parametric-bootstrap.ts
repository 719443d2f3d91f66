import { hashSeed, seededRandom } from '../../../numerics/random.ts';
import { type Bootstrap, type BootstrapOptions, summarised } from './bootstrap-summary.ts';
import { withResponse } from './group-moments.ts';
import type { MixedFit } from './mixed-fit.ts';
import { solve } from './solve.ts';

/**
 * Intervals by drawing new responses from the fitted model, normal random effects and residuals of the estimated spread,
 * and fitting each anew (Efron & Tibshirani 1993, sec. 6.5). It takes the model as true; a spread estimated as 0 stays 0 in
 * every draw.
 */
export function parametricBootstrap(fit: MixedFit, options: BootstrapOptions): Bootstrap {
  const { model, moments, standardised, solution } = fit.inner;
  const { rows, randomEffects: k, groups, groupOf, z } = standardised;
  const random = seededRandom(hashSeed('mixed model', 'parametric bootstrap', options.seed));
  const sigma = Math.sqrt(solution.sigma2);
  const gamma = solution.evaluation.gamma.map((g, j) => g + moments.start[j]);
  const response = new Float64Array(rows);
  const b = new Float64Array(groups * k);
  const u = new Float64Array(k);
  return summarised(fit, options, () => {
    for (let g = 0; g < groups; g++) {
      for (let i = 0; i < k; i++) u[i] = random.normal();
      for (let i = 0; i < k; i++) {
        b[g * k + i] = 0;
        for (let l = 0; l <= i; l++) b[g * k + i] += sigma * solution.lambda[i * k + l] * u[l];
      }
    }
    // Without the fixed part: it only shifts γ, by just as much.
    for (let row = 0; row < rows; row++) {
      response[row] = sigma * random.normal();
      for (let i = 0; i < k; i++) response[row] += z[row * k + i] * b[groupOf[row] * k + i];
    }
    const drawn = withResponse(moments, standardised, response);
    const found = solve(drawn, model.criterion, model.random.correlated, solution.lambda);
    if (!found.converged || found.vanishes) return null;
    return { solution: found, gamma: found.evaluation.gamma.map((g, j) => g + drawn.start[j] + gamma[j]) };
  });
}
