/* The non-central t distribution: that of the one-sided tolerance factor of a normal sample, and of a standardised difference. */

import { normalProbability } from './normal.ts';

/** Half width of the range of u, in standard deviations of u for many degrees of freedom. */
const REACH = 9;
/** Steps in one such standard deviation: the trapezoid rule on a smooth bell converges beyond all powers of it. */
const STEPS = 4;

/** Nodes that weigh less than this share of the largest are left out. */
const LIGHTEST = 1e-18;

export interface ChiNodes {
  readonly s: Float64Array;
  /** Sum 1. */
  readonly weight: Float64Array;
}

/**
 * Nodes s and weights of E[f(s)] for s = √(χ²_ν / ν): with s = e^u the density is ∝ exp(ν (u − e^(2u)/2)), a smooth bell in u.
 * steepness: of f in u, one over the width of its rise; for Φ(t s − δ) that is |δ|, since it rises where t s = δ. The steps are
 * small beside both widths.
 */
export function chiNodes(nu: number, steepness: number): ChiNodes {
  const bell = 1 / Math.sqrt(2 * nu);
  const step = 1 / Math.max(1 / bell, steepness) / STEPS;
  // To the left the bell only falls as e^(ν u): go on until that is below 1e-17.
  const left = Math.ceil(Math.max(REACH * bell, 40 / nu) / step);
  const right = Math.ceil(Math.max(REACH * bell, 1.2) / step);
  const s: number[] = [];
  const weight: number[] = [];
  let sum = 0;
  for (let i = -left; i <= right; i++) {
    const u = i * step;
    const place = Math.exp(u);
    const density = Math.exp(nu * (u - 0.5 * (place * place - 1)));
    if (density < LIGHTEST) continue;
    s.push(place);
    weight.push(density);
    sum += density;
  }
  return { s: Float64Array.from(s), weight: Float64Array.from(weight, (density) => density / sum) };
}

/** P(T < t) = E[Φ(t s − δ)]. The nodes must be as fine as δ asks. */
export function nonCentralStudentBelow({ s, weight }: ChiNodes, t: number, noncentrality: number): number {
  let below = 0;
  for (let i = 0; i < s.length; i++) below += weight[i] * normalProbability(t * s[i] - noncentrality);
  return below;
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
  const nodes = chiNodes(Math.min(degreesOfFreedom, 1e7), Math.abs(noncentrality));
  return risingRoot((t) => nonCentralStudentBelow(nodes, t, noncentrality) - p, noncentrality);
}

/** Root of a function that rises through 0, looked for outwards from `start`. */
export function risingRoot(f: (x: number) => number, start: number): number {
  let width = 1;
  let low = start - width;
  let atLow = f(low);
  while (atLow > 0) {
    width *= 2;
    low = start - width;
    atLow = f(low);
  }
  let high = start + width;
  let atHigh = f(high);
  while (atHigh < 0) {
    width *= 2;
    high = start + width;
    atHigh = f(high);
  }
  return rootBetween(f, low, atLow, high, atHigh);
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
