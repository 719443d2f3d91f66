import { largestZ, type StatisticScale } from './largest-statistic.ts';
import { ordersOf } from './orders.ts';
import type { Arrangements } from './sign-flips.ts';

/**
 * Largest |t| over the places for arrangements of a covariate (two groups: 0 and 1) over the athletes, whole curves staying as
 * they are: R² is the squared correlation at each place over the athletes that are known there.
 *
 * y: `athlete * places + place`, each place centred over its known athletes, 0 where unknown; known: 1 or 0 likewise.
 * squares: Σy² per place, 0 where the place takes no part. label: per athlete, which of `levels` it has.
 * @returns one value an arrangement
 */
export function largestOfLabelOrders(
  y: Float64Array,
  known: Float64Array,
  squares: Float64Array,
  label: Int32Array,
  levels: Float64Array,
  scale: StatisticScale,
  arrangements: Arrangements,
): Float64Array {
  const places = squares.length;
  const athletes = label.length;
  const count = new Float64Array(places);
  for (let i = 0; i < athletes; i++) for (let p = 0; p < places; p++) count[p] += known[i * places + p];
  let complete = true;
  for (let p = 0; p < places; p++) if (squares[p] > 0 && count[p] !== athletes) complete = false;
  const largest = new Float64Array(arrangements.used);
  const next = ordersOf(label, arrangements);
  const order = new Int32Array(athletes);
  const xy = new Float64Array(places);
  const x = new Float64Array(places);
  const xx = new Float64Array(places);
  const r2 = new Float64Array(places);
  const inverse = complete ? completeInverse(squares, label, levels) : squares;
  for (let g = 0; g < largest.length; g++) {
    next(order);
    xy.fill(0);
    for (let i = 0; i < athletes; i++) {
      const row = i * places;
      const level = levels[order[i]];
      if (level !== 0) for (let p = 0; p < places; p++) xy[p] += level * y[row + p];
    }
    if (complete) {
      for (let p = 0; p < places; p++) r2[p] = xy[p] * xy[p] * inverse[p];
    } else {
      x.fill(0);
      xx.fill(0);
      for (let i = 0; i < athletes; i++) {
        const row = i * places;
        const level = levels[order[i]];
        for (let p = 0; p < places; p++) {
          x[p] += level * known[row + p];
          xx[p] += level * level * known[row + p];
        }
      }
      for (let p = 0; p < places; p++) {
        const spread = xx[p] - (x[p] * x[p]) / count[p];
        // An arrangement in which all known athletes have one label says nothing at this place.
        r2[p] = squares[p] > 0 && spread > 1e-12 * xx[p] ? (xy[p] * xy[p]) / (spread * squares[p]) : 0;
      }
    }
    largest[g] = largestZ(r2, scale);
  }
  return largest;
}

/** 1 / (Σ(x − x̄)² Σy²), the same for every arrangement where no athlete is missing. */
function completeInverse(squares: Float64Array, label: Int32Array, levels: Float64Array): Float64Array {
  let sum = 0;
  for (const one of label) sum += levels[one];
  let spread = 0;
  for (const one of label) spread += (levels[one] - sum / label.length) ** 2;
  return squares.map((yy) => (yy > 0 ? 1 / (spread * yy) : 0));
}
