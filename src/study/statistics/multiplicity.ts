import { probabilityOutside } from '../../messages/reliability.ts';

/**
 * How probabilities of several tests are judged together. `bonferroni`, `holm`: no false alarm at all in 95 % of the cases,
 * however the tests hang together. `hochberg`: the same for independent (or positively dependent) tests. `benjamini-hochberg`: of what is
 * called a finding 5 % are false alarms on average, under the same condition.
 */
export const ADJUSTMENTS = ['bonferroni', 'holm', 'hochberg', 'benjamini-hochberg'] as const;
export type Adjustment = (typeof ADJUSTMENTS)[number];

export interface Adjusted {
  readonly method: Adjustment;
  /** In the order given: at or below the level wanted = stands. NaN where the probability was NaN. Never falls where the probability rises. */
  readonly probabilities: readonly number[];
  /** Tests that took part, and those without a probability. */
  readonly n: number;
  readonly missing: number;
}

/**
 * Adjusted probabilities: Bonferroni m p; Holm (1979, Scand. J. Stat. 6:65–70) running maximum of (m − i + 1) p₍ᵢ₎ from the smallest; Hochberg
 * (1988, Biometrika 75:800–802) running minimum of the same from the largest; Benjamini & Hochberg (1995, J. R. Stat. Soc. B 57:289–300)
 * running minimum of m p₍ᵢ₎ / i from the largest; none above 1. The form with running extremes is that of Wright (1992, Biometrics 48:1005–1013).
 */
export function adjustedProbabilities(probabilities: readonly number[], method: Adjustment): Adjusted {
  probabilities.forEach((p, i) => {
    if (p < 0 || p > 1) throw probabilityOutside(i, p);
  });
  const order = probabilities.map((_, i) => i).filter((i) => !Number.isNaN(probabilities[i]));
  order.sort((a, b) => probabilities[a] - probabilities[b]);
  const m = order.length;
  const adjusted = probabilities.map(() => Number.NaN);
  const factor = (rank: number) =>
    method === 'bonferroni' ? m : method === 'benjamini-hochberg' ? m / (rank + 1) : m - rank;
  const stepsUp = method === 'hochberg' || method === 'benjamini-hochberg';
  let extreme = stepsUp ? 1 : 0;
  for (let step = 0; step < m; step++) {
    const rank = stepsUp ? m - 1 - step : step;
    const own = Math.min(1, factor(rank) * probabilities[order[rank]]);
    extreme = stepsUp ? Math.min(extreme, own) : Math.max(extreme, own);
    adjusted[order[rank]] = extreme;
  }
  return { method, probabilities: adjusted, n: m, missing: probabilities.length - m };
}
