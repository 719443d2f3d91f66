import { bootstrapWrong } from '../../../messages/mixed-model.ts';
import { quantileOfSorted } from '../../../uncertainty/intervals.ts';
import { type Weights, weightVector } from './contrast.ts';
import type { MixedFit } from './mixed-fit.ts';
import type { Solution } from './solve.ts';
import { effectsFrom, randomFrom } from './standardised.ts';

export interface BootstrapOptions {
  /** At least 100; 1,000 or more for an interval to print (Efron & Tibshirani 1993, sec. 13.5). */
  readonly draws: number;
  /** Integer ≥ 0; equal seeds give equal intervals. */
  readonly seed: number;
  /** Beside the fixed effects. */
  readonly contrasts?: readonly { readonly name: string; readonly weights: Weights }[];
}

export interface BootstrapInterval {
  readonly name: string;
  /** Of the data. */
  readonly estimate: number;
  /** Standard deviation of the draws. */
  readonly sd: number;
  /** 95 % percentile interval. */
  readonly lower: number;
  readonly upper: number;
}

export interface Bootstrap {
  readonly draws: number;
  /** Draws that gave no fit (an effect could not be told apart, or the search did not settle) and are not in the intervals. */
  readonly failed: number;
  /** Draws whose fit lay at the edge. */
  readonly singular: number;
  /** Fixed effects, then contrasts. */
  readonly fixed: readonly BootstrapInterval[];
  readonly randomSds: readonly BootstrapInterval[];
  readonly residualSd: BootstrapInterval;
}

const FEWEST_DRAWS = 100;
const HALF = 0.025;

/**
 * Repeats `refit` and takes percentile intervals (Efron & Tibshirani 1993, ch. 13). `refit(d)` gives the solution of a
 * draw and its γ less that of the data, or null where there is none.
 */
export function summarised(
  fit: MixedFit,
  { draws, contrasts = [] }: BootstrapOptions,
  refit: (draw: number) => { solution: Solution; gamma: Float64Array } | null,
): Bootstrap {
  if (!Number.isInteger(draws) || draws < FEWEST_DRAWS) throw bootstrapWrong('draws', draws, FEWEST_DRAWS);
  const { design, standardised } = fit.inner;
  const p = design.effects.length;
  const k = design.randomEffects.length;
  const rows = contrasts.map(({ weights }) => weightVector(design.effects, weights));
  const width = p + rows.length + k + 1;
  const found: Float64Array[] = [];
  let singular = 0;
  for (let d = 0; d < draws; d++) {
    const drawn = refit(d);
    if (!drawn) continue;
    const { solution, gamma } = drawn;
    const values = new Float64Array(width);
    const beta = effectsFrom(gamma, standardised);
    values.set(beta);
    rows.forEach((weights, c) => {
      for (let j = 0; j < p; j++) values[p + c] += weights[j] * beta[j];
    });
    const factor = randomFrom(solution.lambda, k, standardised);
    const sigma = Math.sqrt(solution.sigma2);
    for (let i = 0; i < k; i++)
      values[p + rows.length + i] = sigma * Math.hypot(...factor.subarray(i * k, (i + 1) * k));
    values[width - 1] = sigma;
    if (solution.singular) singular++;
    found.push(values);
  }
  const beta = fit.fixedEffects.map(({ estimate }) => estimate);
  const ofRow = (weights: Float64Array) => weights.reduce((sum, weight, j) => sum + weight * beta[j], 0);
  const interval = (at: number, name: string, estimate: number) =>
    intervalOf(
      found.map((v) => v[at]),
      name,
      estimate,
    );
  return {
    draws,
    failed: draws - found.length,
    singular,
    fixed: [
      ...design.effects.map((name, j) => interval(j, name, beta[j])),
      ...contrasts.map(({ name }, c) => interval(p + c, name, ofRow(rows[c]))),
    ],
    randomSds: fit.randomSds.map(({ name, sd }, i) => interval(p + rows.length + i, name, sd)),
    residualSd: interval(width - 1, 'residual', fit.residualSd),
  };
}

function intervalOf(values: readonly number[], name: string, estimate: number): BootstrapInterval {
  const sorted = Float64Array.from(values).sort();
  const n = sorted.length;
  if (n < FEWEST_DRAWS / 2) return { name, estimate, sd: Number.NaN, lower: Number.NaN, upper: Number.NaN };
  const centre = sorted.reduce((sum, x) => sum + x, 0) / n;
  const sd = Math.sqrt(sorted.reduce((sum, x) => sum + (x - centre) ** 2, 0) / (n - 1));
  return { name, estimate, sd, lower: quantileOfSorted(sorted, HALF), upper: quantileOfSorted(sorted, 1 - HALF) };
}
