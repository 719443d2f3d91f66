/**
 * How many moments of a correlated series make one independent moment: the integrated autocorrelation time
 *
 *   τ = 1 + 2 Σ_{k ≥ 1} ρ_k   (in steps),   variance of a mean = σ² τ / n.
 *
 * ρ_k is pooled over all series (same length, NaN = missing), about zero and not about each series' mean: a shift that lasts
 * as long as the recording (a keypoint that is not the same spot from two sides) is correlation of the worst kind and must
 * count. The sum ends at the first lag M ≥ 5 τ(M) (Sokal 1989), or at a third of the length. Never below 1.
 */
export function correlationTime(series: readonly Float64Array[]): CorrelationTime {
  const length = Math.max(0, ...series.map((one) => one.length));
  const zero = pooledProduct(series, 0);
  if (!(zero > 0)) return { steps: 1, relativeError: 0 };
  let tau = 1;
  let lag = 1;
  for (; lag <= Math.floor(length / 3); lag++) {
    const product = pooledProduct(series, lag);
    if (!Number.isFinite(product)) break;
    tau += (2 * product) / zero;
    if (lag >= 5 * tau) break;
  }
  let count = 0;
  for (const one of series) for (const x of one) if (!Number.isNaN(x)) count++;
  return { steps: Math.max(1, tau), relativeError: Math.sqrt((2 * (2 * lag + 1)) / count) };
}

export interface CorrelationTime {
  /** τ, in steps. */
  readonly steps: number;
  /** Standard error of τ over τ if all values of all series were independent draws: √(2 (2 M + 1) / N) (Sokal 1989). */
  readonly relativeError: number;
}

function pooledProduct(series: readonly Float64Array[], lag: number): number {
  let sum = 0;
  let count = 0;
  for (const x of series) {
    for (let i = 0; i + lag < x.length; i++) {
      const product = x[i] * x[i + lag];
      if (Number.isNaN(product)) continue;
      sum += product;
      count++;
    }
  }
  return sum / count;
}
