import { normalProbability } from '../../numerics/normal.ts';

/** Nodes on either side of the middle of the bell, in quarters of its standard deviation. */
const NODES = 36;
const { exp, sqrt, abs, max, ceil } = Math;

/**
 * The noncentrality δ for which a non-central t with `freedom` ≥ 1 lies below `t` with probability `p`: with p = 0.975 and
 * 0.025 the ends of the exact 95 % interval of δ (Steiger & Fouladi 1997, in Harlow et al., What If There Were No Significance Tests?).
 *
 * P(T < t) = E[Φ(t s − δ)], s = √(χ²_ν / ν), falls with δ. The expectation is taken as in numerics/non-central-student.ts
 * (trapezoid rule in ln s), its nodes once for all δ; the root by false position (Illinois).
 */
export function noncentralityWith(p: number, freedom: number, t: number): number {
  const step = 0.25 / sqrt(2 * freedom);
  const left = ceil(max(NODES, 40 / freedom / step));
  const right = ceil(max(NODES, 1.2 / step));
  const place: number[] = [];
  const weight: number[] = [];
  let sum = 0;
  for (let i = -left; i <= right; i++) {
    const s = exp(i * step);
    const density = exp(freedom * (i * step - 0.5 * (s * s - 1)));
    if (density < 1e-18) continue;
    place.push(t * s);
    weight.push(density);
    sum += density;
  }
  /** Rises with δ. */
  const above = (delta: number): number => {
    let below = 0;
    for (let i = 0; i < place.length; i++) below += weight[i] * normalProbability(place[i] - delta);
    return p - below / sum;
  };
  let width = 1;
  let [low, high] = [t - width, t + width];
  let [atLow, atHigh] = [above(low), above(high)];
  while (atLow > 0) {
    width *= 2;
    low = t - width;
    atLow = above(low);
  }
  while (atHigh < 0) {
    width *= 2;
    high = t + width;
    atHigh = above(high);
  }
  const close = 1e-12 * max(1, abs(t));
  let kept = 0;
  for (let k = 0; k < 200 && high - low > close; k++) {
    const delta = (low * atHigh - high * atLow) / (atHigh - atLow);
    const at = above(delta);
    if (abs(at) < 1e-15) return delta;
    if (at < 0) {
      [low, atLow] = [delta, at];
      if (kept === 1) atHigh /= 2;
      kept = 1;
    } else {
      [high, atHigh] = [delta, at];
      if (kept === -1) atLow /= 2;
      kept = -1;
    }
  }
  return 0.5 * (low + high);
}
