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
  const work = new Float64Array(x.length);
  for (let i = 0; i < work.length; i++) {
    if (Number.isNaN(x[i])) return Number.NaN;
    work[i] = x[i];
  }
  const at = (work.length - 1) * p;
  const below = Math.floor(at);
  const part = at - below;
  const lower = select(work, below, 0, work.length - 1);
  if (part === 0) return lower;
  // What selection leaves behind `below` is no smaller: the next order statistic is the least of it.
  let upper = work[below + 1];
  for (let i = below + 2; i < work.length; i++) if (work[i] < upper) upper = work[i];
  return lower + part * (upper - lower);
}

/** Longer pieces are narrowed around a sample's order statistics first: the value of the source. */
const SAMPLED_FROM = 600;

/**
 * The k-th smallest of x[left … right], put at x[k] with nothing greater before it and nothing smaller behind it (Floyd &
 * Rivest 1975, Comm. ACM 18:173, Algorithm 489): linear time, without sorting. x holds no NaN.
 */
function select(x: Float64Array, k: number, left: number, right: number): number {
  while (right > left) {
    if (right - left > SAMPLED_FROM) {
      const n = right - left + 1;
      const rank = k - left + 1;
      const z = Math.log(n);
      const sample = 0.5 * Math.exp((2 * z) / 3);
      const sd = 0.5 * Math.sqrt((z * sample * (n - sample)) / n) * Math.sign(rank - n / 2);
      select(
        x,
        k,
        Math.max(left, Math.floor(k - (rank * sample) / n + sd)),
        Math.min(right, Math.floor(k + ((n - rank) * sample) / n + sd)),
      );
    }
    const pivot = x[k];
    let i = left;
    let j = right;
    swap(x, left, k);
    if (x[right] > pivot) swap(x, left, right);
    while (i < j) {
      swap(x, i++, j--);
      while (x[i] < pivot) i++;
      while (x[j] > pivot) j--;
    }
    if (x[left] === pivot) swap(x, left, j);
    else swap(x, ++j, right);
    if (j <= k) left = j + 1;
    if (k <= j) right = j - 1;
  }
  return x[k];
}

function swap(x: Float64Array, i: number, j: number): void {
  const kept = x[i];
  x[i] = x[j];
  x[j] = kept;
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
