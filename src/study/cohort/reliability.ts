import { mean } from '../../numerics/statistics.ts';
import type { PredictorValue } from './predictor-values.ts';

/**
 * Reliability ratio of a measured predictor: the part of its variance between recordings that is not error, 0–1. A slope on a
 * predictor measured with error comes out too small by about this factor (attenuation; Fuller 1987, Measurement Error Models, sec. 1.1.1).
 *
 * λ = 1 − E[sample variance of the errors] / sample variance of the values. An unknown that many recordings share varies
 * between them only as its effects differ: Σ over causes of the sample variance of their effects, plus the mean noise variance.
 *
 * 1 for what is taken as exact; NaN where it cannot be told: no interval, fewer than two recordings, all alike.
 */
export function reliabilityRatio(values: readonly PredictorValue[]): number {
  const n = values.length;
  const numbers = values.map(({ value }) => value);
  if (n < 2 || !numbers.every((value) => typeof value === 'number')) return Number.NaN;
  const sums = new Map<string, { sum: number; squares: number }>();
  let noise = 0;
  for (const { doubt } of values) {
    if (doubt === null) return Number.NaN;
    noise += doubt.noiseVariance / n;
    for (const [key, effect] of doubt.effects) {
      const of = sums.get(key) ?? { sum: 0, squares: 0 };
      sums.set(key, { sum: of.sum + effect, squares: of.squares + effect * effect });
    }
  }
  let error = noise;
  for (const { sum, squares } of sums.values()) error += (squares - (sum * sum) / n) / (n - 1);
  const centre = mean(numbers as number[]);
  const variance = (numbers as number[]).reduce((sum, value) => sum + (value - centre) ** 2, 0) / (n - 1);
  return variance > 0 ? Math.max(0, Math.min(1, 1 - error / variance)) : Number.NaN;
}
