import { seededRandom } from '../../../numerics/random.ts';
import { largestZ, type StatisticScale } from './largest-statistic.ts';

/** A set of rearrangements: all of them, or a seeded random draw with the observed one first. */
export interface Arrangements {
  readonly exact: boolean;
  /** Number of different rearrangements there are. */
  readonly all: number;
  /** Number that is gone through, the observed one among them. */
  readonly used: number;
  readonly seed: number;
}

/** Exact up to this many rearrangements, unless told otherwise. 16 athletes in pairs, 9 against 9, a covariate of 8. */
export const EXACT_UP_TO = 65_536;
/** Random rearrangements beside the observed one: a p of 0.05 is then known within 0.4 %. */
export const RANDOM_DRAWS = 9_999;

/** @param all number of different rearrangements */
export function arrangementsOf(all: number, exactUpTo: number, draws: number, seed: number): Arrangements {
  const exact = all <= exactUpTo;
  return { exact, all, used: exact ? all : draws + 1, seed };
}

/**
 * Largest |t| over the places for every way of turning the signs of whole curves. A pattern and its mirror image give one |t|: of
 * all 2^n patterns half are gone through, by Gray code (one curve turned a step); else random ones after the observed.
 *
 * x: `athlete * places + place`, 0 where unknown. inverse: 1 / (n Σx²) per place, 0 where it takes no part: R² = (Σ±x)² · inverse.
 * @returns one value a pattern, or a pair of mirrored patterns; the first is the observed one
 */
export function largestOfFlips(
  x: Float64Array,
  athletes: number,
  inverse: Float64Array,
  scale: StatisticScale,
  arrangements: Arrangements,
): Float64Array {
  return arrangements.exact
    ? allFlips(x, athletes, inverse, scale)
    : randomFlips(x, athletes, inverse, scale, arrangements);
}

function allFlips(x: Float64Array, athletes: number, inverse: Float64Array, scale: StatisticScale): Float64Array {
  const places = inverse.length;
  const count = 2 ** Math.max(0, athletes - 1);
  const largest = new Float64Array(count);
  const sum = new Float64Array(places);
  const r2 = new Float64Array(places);
  const sign = new Float64Array(athletes).fill(1);
  for (let i = 0; i < athletes; i++) for (let p = 0; p < places; p++) sum[p] += x[i * places + p];
  for (let g = 0; ; ) {
    for (let p = 0; p < places; p++) r2[p] = sum[p] * sum[p] * inverse[p];
    largest[g] = largestZ(r2, scale);
    if (++g === count) return largest;
    const turned = 31 - Math.clz32(g & -g);
    const by = -2 * sign[turned];
    sign[turned] = -sign[turned];
    const row = turned * places;
    for (let p = 0; p < places; p++) sum[p] += by * x[row + p];
  }
}

function randomFlips(
  x: Float64Array,
  athletes: number,
  inverse: Float64Array,
  scale: StatisticScale,
  { used, seed }: Arrangements,
): Float64Array {
  const places = inverse.length;
  const largest = new Float64Array(used);
  const sum = new Float64Array(places);
  const r2 = new Float64Array(places);
  const random = seededRandom(seed);
  for (let g = 0; g < used; g++) {
    sum.fill(0);
    let word = 0;
    for (let i = 0; i < athletes; i++) {
      if (i % 32 === 0) word = g === 0 ? 0 : random.integer(4294967296);
      const row = i * places;
      if ((word >>> (i % 32)) & 1) for (let p = 0; p < places; p++) sum[p] -= x[row + p];
      else for (let p = 0; p < places; p++) sum[p] += x[row + p];
    }
    for (let p = 0; p < places; p++) r2[p] = sum[p] * sum[p] * inverse[p];
    largest[g] = largestZ(r2, scale);
  }
  return largest;
}
