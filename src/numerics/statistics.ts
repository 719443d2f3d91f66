/* Summary statistics. Nothing is ignored: one NaN in gives NaN out. Too few values give NaN. */

/** Arithmetic mean. */
export function mean(x: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < x.length; i++) sum += x[i];
  return sum / x.length;
}

/** Standard deviation with divisor n − 1 (two passes). NaN for fewer than two values. */
export function standardDeviation(x: ArrayLike<number>): number {
  if (x.length < 2) return Number.NaN;
  const centre = mean(x);
  let sum = 0;
  for (let i = 0; i < x.length; i++) sum += (x[i] - centre) ** 2;
  return Math.sqrt(sum / (x.length - 1));
}

/** Middle value; of an even number, the mean of the two middle ones. */
export function median(x: ArrayLike<number>): number {
  return quantile(x, 0.5);
}

/** For normal data, standard deviation ≈ this × median absolute deviation: 1 / Φ⁻¹(3/4). */
export const SD_PER_MEDIAN_ABSOLUTE_DEVIATION = 1.482602218505602;

/** Median of |x − median(x)|, not scaled: multiply by SD_PER_MEDIAN_ABSOLUTE_DEVIATION for a robust standard deviation. */
export function medianAbsoluteDeviation(x: ArrayLike<number>): number {
  const centre = median(x);
  const deviations = new Float64Array(x.length);
  for (let i = 0; i < x.length; i++) deviations[i] = Math.abs(x[i] - centre);
  return median(deviations);
}

/**
 * Sample quantile, type 7 of Hyndman & Fan (1996, Am. Stat. 50:361–365): linear between order statistics at (n − 1) p.
 * p in 0 … 1, else RangeError.
 */
export function quantile(x: ArrayLike<number>, p: number): number {
  if (!(p >= 0 && p <= 1)) throw new RangeError(`quantile: probability ${p} is not within 0 to 1`);
  if (x.length === 0) return Number.NaN;
  const sorted = Float64Array.from(x).sort();
  // A typed array sorts NaN to the end.
  if (Number.isNaN(sorted[sorted.length - 1])) return Number.NaN;
  const at = (sorted.length - 1) * p;
  const below = Math.floor(at);
  const above = Math.min(below + 1, sorted.length - 1);
  const part = at - below;
  return part === 0 ? sorted[below] : sorted[below] + part * (sorted[above] - sorted[below]);
}

/** Root of the mean square. */
export function rms(x: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < x.length; i++) sum += x[i] * x[i];
  return Math.sqrt(sum / x.length);
}

/** Pearson's product-moment correlation. NaN where either series is constant or shorter than two. Unequal lengths: RangeError. */
export function correlation(x: ArrayLike<number>, y: ArrayLike<number>): number {
  if (x.length !== y.length) throw new RangeError(`correlation: ${x.length} against ${y.length} values`);
  const xMean = mean(x);
  const yMean = mean(y);
  let xx = 0;
  let yy = 0;
  let xy = 0;
  for (let i = 0; i < x.length; i++) {
    const dx = x[i] - xMean;
    const dy = y[i] - yMean;
    xx += dx * dx;
    yy += dy * dy;
    xy += dx * dy;
  }
  if (xx === 0 || yy === 0) return Number.NaN;
  return Math.max(-1, Math.min(1, xy / (Math.sqrt(xx) * Math.sqrt(yy))));
}
