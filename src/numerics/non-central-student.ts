/* The non-central t distribution: that of the one-sided tolerance factor of a normal sample. Checked against SciPy. */

import { normalProbability } from './normal.ts';

/** Half width of the range of u, in standard deviations of u for many degrees of freedom. */
const REACH = 9;
/** Steps in one such standard deviation: the trapezoid rule on a smooth bell converges beyond all powers of it. */
const STEPS = 4;

/** Nodes s and weights of E[f(s)] for s = √(χ²_ν / ν): with s = e^u the density is ∝ exp(ν (u − e^(2u)/2)), a smooth bell in u. */
function chiNodes(nu: number): { readonly s: Float64Array; readonly weight: Float64Array } {
  const step = 1 / Math.sqrt(2 * nu) / STEPS;
  // To the left the bell only falls as e^(ν u): go on until that is below 1e-17.
  const left = Math.ceil(Math.max(REACH * STEPS, 40 / nu / step));
  const right = Math.ceil(Math.max(REACH * STEPS, 1.2 / step));
  const count = left + right + 1;
  const s = new Float64Array(count);
  const weight = new Float64Array(count);
  let sum = 0;
  for (let i = 0; i < count; i++) {
    const u = (i - left) * step;
    s[i] = Math.exp(u);
    weight[i] = Math.exp(nu * (u - 0.5 * (s[i] * s[i] - 1)));
    sum += weight[i];
  }
  for (let i = 0; i < count; i++) weight[i] /= sum;
  return { s, weight };
}

/**
 * Quantile of the non-central t, (Z + δ) / √(χ²_ν / ν): the t for which E[Φ(t s − δ)] = p, by false position (Illinois). ν > 0
 * need not be whole; p within 0 … 1, ends left out; else RangeError.
 */
export function nonCentralStudentQuantile(p: number, degreesOfFreedom: number, noncentrality: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`non-central t: probability ${p} is not between 0 and 1`);
  if (!(degreesOfFreedom > 0))
    throw new RangeError(`non-central t: ${degreesOfFreedom} degrees of freedom; above 0 wanted`);
  if (!Number.isFinite(noncentrality))
    throw new RangeError(`non-central t: noncentrality ${noncentrality} is not finite`);
  const { s, weight } = chiNodes(Math.min(degreesOfFreedom, 1e7));
  const above = (t: number): number => {
    let sum = -p;
    for (let i = 0; i < s.length; i++)
      if (weight[i] > 1e-18) sum += weight[i] * normalProbability(t * s[i] - noncentrality);
    return sum;
  };
  let width = 1;
  let low = noncentrality - width;
  let atLow = above(low);
  while (atLow > 0) {
    width *= 2;
    low = noncentrality - width;
    atLow = above(low);
  }
  let high = noncentrality + width;
  let atHigh = above(high);
  while (atHigh < 0) {
    width *= 2;
    high = noncentrality + width;
    atHigh = above(high);
  }
  return rootBetween(above, low, atLow, high, atHigh);
}

/** Root of a rising function between two places: false position, an end that stays twice counts half (Dowell & Jarratt 1971). */
function rootBetween(f: (t: number) => number, low: number, atLow: number, high: number, atHigh: number): number {
  let kept = 0;
  for (let k = 0; k < 200; k++) {
    const t = (low * atHigh - high * atLow) / (atHigh - atLow);
    const at = f(t);
    if (at === 0 || high - low <= 1e-13 * Math.max(1, Math.abs(t)) || Math.abs(at) < 1e-15) return t;
    if (at < 0) {
      [low, atLow] = [t, at];
      if (kept === 1) atHigh /= 2;
      kept = 1;
    } else {
      [high, atHigh] = [t, at];
      if (kept === -1) atLow /= 2;
      kept = -1;
    }
  }
  return 0.5 * (low + high);
}
