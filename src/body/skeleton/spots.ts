import { choleskyInPlace, solveLowerInPlace, solveUpperInPlace } from '../../numerics/block-cholesky.ts';
import { DEPENDENCE } from './project-frames.ts';
import type { Rest } from './resting-points.ts';
import type { RodSystem } from './rods.ts';

const { isFinite: isNumber } = Number;

/** Two spots that a rod joins, because their rests share frames. */
export interface SpotPair {
  readonly from: number;
  readonly to: number;
  readonly rod: number;
}

/** Pairs of rests between which a rod must have its length. */
export function spotPairs(rests: readonly Rest[], system: RodSystem): readonly SpotPair[] {
  const pairs: SpotPair[] = [];
  system.rods.forEach((_, rod) => {
    rests.forEach((a, from) => {
      if (a.column !== system.from[rod]) return;
      rests.forEach((b, to) => {
        if (b.column === system.to[rod] && standTogether(a, b)) pairs.push({ from, to, rod });
      });
    });
  });
  return pairs;
}

/** True where in some frame both are wholly at rest. */
function standTogether(a: Rest, b: Rest): boolean {
  for (let k = Math.max(a.first, b.first); k < Math.min(a.end, b.end); k++) {
    if (a.share[k - a.first] === 1 && b.share[k - b.first] === 1) return true;
  }
  return false;
}

/**
 * The spot of every rest: the mean of the point over the rest, each frame weighted by its share over its variance. `3 * rest`,
 * metres; NaN where the point is not known in the rest. scalar variance: mean of the three axes.
 */
export function spotsInto(
  spots: Float64Array,
  rests: readonly Rest[],
  position: Float64Array,
  variance: Float64Array,
  count: number,
): void {
  for (let r = 0; r < rests.length; r++) {
    const { column, first, end, share } = rests[r];
    let sum = 0;
    let x = 0;
    let y = 0;
    let z = 0;
    for (let k = first; k < end; k++) {
      const s = k * count + column;
      if (!isNumber(position[3 * s])) continue;
      const weight = share[k - first] / (variance[6 * s] + variance[6 * s + 3] + variance[6 * s + 5]);
      sum += weight;
      x += weight * position[3 * s];
      y += weight * position[3 * s + 1];
      z += weight * position[3 * s + 2];
    }
    spots[3 * r] = x / sum;
    spots[3 * r + 1] = y / sum;
    spots[3 * r + 2] = z / sum;
  }
}

/** Moves resting points to their spots by their share, in place. */
export function standInto(
  position: Float64Array,
  smoothed: Float64Array,
  rests: readonly Rest[],
  spots: Float64Array,
  count: number,
): void {
  for (let r = 0; r < rests.length; r++) {
    const { column, first, end, share } = rests[r];
    for (let k = first; k < end; k++) {
      const at = 3 * (k * count + column);
      const s = share[k - first];
      for (let axis = 0; axis < 3; axis++) {
        position[at + axis] = smoothed[at + axis] + s * (spots[3 * r + axis] - smoothed[at + axis]);
      }
    }
  }
}

const ROUNDS = 12;
const CLOSED_M = 1e-13;

/**
 * Moves the spots as little as possible (each by its variance over the length of its rest) so that the rods between spots
 * that share frames have their lengths; resting feet then fit their own size exactly and need not move within a rest.
 */
export function fitSpots(
  spots: Float64Array,
  pairs: readonly SpotPair[],
  rests: readonly Rest[],
  lengths: Float64Array,
): void {
  const n = pairs.length;
  if (n === 0) return;
  const unit = new Float64Array(3 * n);
  const matrix = new Float64Array(n * n);
  const right = new Float64Array(n);
  for (let round = 0; round < ROUNDS; round++) {
    let largest = 0;
    for (let i = 0; i < n; i++) {
      const { from, to, rod } = pairs[i];
      const [x, y, z] = [0, 1, 2].map((axis) => spots[3 * to + axis] - spots[3 * from + axis]);
      const length = Math.hypot(x, y, z);
      if (!(length > 0)) {
        right[i] = 0;
        unit.fill(0, 3 * i, 3 * i + 3);
        continue;
      }
      right[i] = length - lengths[rod];
      largest = Math.max(largest, Math.abs(right[i]));
      unit.set([x / length, y / length, z / length], 3 * i);
    }
    if (!(largest > CLOSED_M)) return;
    for (let i = 0; i < n; i++) {
      for (let j = 0; j <= i; j++) {
        const cosine =
          unit[3 * i] * unit[3 * j] + unit[3 * i + 1] * unit[3 * j + 1] + unit[3 * i + 2] * unit[3 * j + 2];
        matrix[i * n + j] = shared(pairs[i], pairs[j], rests) * cosine;
      }
    }
    if (choleskyInPlace(matrix, 0, n, DEPENDENCE) < 0) return;
    solveLowerInPlace(matrix, 0, n, right, 0, 1);
    solveUpperInPlace(matrix, 0, n, right, 0, 1);
    for (let i = 0; i < n; i++) {
      const { from, to } = pairs[i];
      for (let axis = 0; axis < 3; axis++) {
        spots[3 * from + axis] += right[i] * freedom(rests[from]) * unit[3 * i + axis];
        spots[3 * to + axis] -= right[i] * freedom(rests[to]) * unit[3 * i + axis];
      }
    }
  }
}

/** Variance of a spot up to a common factor: a short rest gives way to a long one. */
const freedom = ({ first, end }: Rest): number => 1 / (end - first);

/** Signed sum of the variances of the spots two pairs share. */
function shared(a: SpotPair, b: SpotPair, rests: readonly Rest[]): number {
  let sum = 0;
  if (a.from === b.from) sum += freedom(rests[a.from]);
  if (a.to === b.to) sum += freedom(rests[a.to]);
  if (a.from === b.to) sum -= freedom(rests[a.from]);
  if (a.to === b.from) sum -= freedom(rests[a.to]);
  return sum;
}
