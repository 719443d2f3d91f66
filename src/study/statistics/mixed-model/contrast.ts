import { contrastWrong } from '../../../messages/mixed-model.ts';
import { studentProbability, studentQuantile } from '../../../numerics/student.ts';
import type { Estimate, FitInner, MixedFit } from './mixed-fit.ts';
import { effectsFrom, weightsOnStandardised } from './standardised.ts';
import { covarianceOf, satterthwaite, varianceSlope } from './variance-doubt.ts';

const LEVEL = 0.95;

/** Weights on the fixed effects: one each in their order, or by name with the others 0. */
export type Weights = ArrayLike<number> | Readonly<Record<string, number>>;

/** Weights as a vector. Throws a DataError for a wrong length, an unknown name, a weight that is not finite, or all 0. */
export function weightVector(effects: readonly string[], weights: Weights): Float64Array {
  const p = effects.length;
  const vector = new Float64Array(p);
  if (typeof (weights as ArrayLike<number>).length === 'number') {
    const given = weights as ArrayLike<number>;
    if (given.length !== p) throw contrastWrong(`${given.length} weights were given`, p, effects);
    vector.set(Array.from(given));
  } else {
    for (const [name, weight] of Object.entries(weights as Readonly<Record<string, number>>)) {
      const at = effects.indexOf(name);
      if (at < 0) throw contrastWrong(`no fixed effect is called "${name}"`, p, effects);
      vector[at] = weight;
    }
  }
  if (!vector.every(Number.isFinite)) throw contrastWrong('a weight is not a finite number', p, effects);
  if (vector.every((weight) => weight === 0)) throw contrastWrong('all weights are 0', p, effects);
  return vector;
}

/** Any weighted sum of the fixed effects, with Satterthwaite's degrees of freedom, 95 % interval and test against 0. */
export function contrast(fit: MixedFit, weights: Weights, name = 'contrast'): Estimate {
  return estimateOf(fit.inner, weightVector(fit.inner.design.effects, weights), name);
}

/** The same for weights already checked; also for the fixed effects themselves, before the fit is put together. */
export function estimateOf(inner: Omit<FitInner, 'rows' | 'model'>, weights: Float64Array, name: string): Estimate {
  const { standardised, moments, solution, doubt } = inner;
  const l = weightsOnStandardised(weights, standardised);
  const { gamma } = solution.evaluation;
  let estimate = 0;
  const beta = effectsFrom(
    gamma.map((g, j) => g + moments.start[j]),
    standardised,
  );
  for (let j = 0; j < beta.length; j++) estimate += weights[j] * beta[j];
  const [variance] = covarianceOf(l, 1, moments.p, solution);
  const freedom = satterthwaite(variance, varianceSlope(l, moments, solution, doubt.places), doubt);
  return withInterval(name, estimate, Math.sqrt(variance), freedom);
}

/** t, p and the 95 % interval of Student's distribution; NaN where the freedom is unknown. */
export function withInterval(name: string, estimate: number, se: number, freedom: number): Estimate {
  const t = estimate / se;
  const known = freedom > 0;
  const half = known ? studentQuantile((1 + LEVEL) / 2, freedom) * se : Number.NaN;
  const p = known ? 2 * studentProbability(-Math.abs(t), freedom) : Number.NaN;
  return {
    name,
    estimate,
    se,
    freedom: known ? freedom : Number.NaN,
    t,
    p,
    lower: estimate - half,
    upper: estimate + half,
  };
}
