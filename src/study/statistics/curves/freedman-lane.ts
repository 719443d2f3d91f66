import { largestZ, type StatisticScale } from './largest-statistic.ts';
import { ordersOf } from './orders.ts';
import type { Arrangements } from './sign-flips.ts';

/** A covariate beside others that are allowed for; every athlete known at every place that takes part. */
export interface PartialModel {
  readonly athletes: number;
  /** Orthonormal columns that span constant and other covariates, `athlete * columns + column`. */
  readonly basis: Float64Array;
  readonly columns: number;
  /** The covariate of interest less what the others explain of it. */
  readonly rest: Float64Array;
}

/** Σ rest² below this share of Σ(x − x̄)² is none: the covariate is a mixture of the others. */
const NOTHING_LEFT = 1e-10;

/**
 * Constant and other covariates made orthonormal (Gram–Schmidt, twice), and what they leave of the covariate of interest.
 * null where the others leave nothing of it. A column that the ones before already say is left out.
 */
export function partialModel(covariate: ArrayLike<number>, others: readonly ArrayLike<number>[]): PartialModel | null {
  const athletes = covariate.length;
  const columns = orthonormalColumns([
    new Float64Array(athletes).fill(1),
    ...others.map((one) => Float64Array.from(one)),
  ]);
  const x = Float64Array.from(covariate);
  const centred = norm(without(x, columns.slice(0, 1)));
  const rest = without(x, columns);
  if (!(norm(rest) ** 2 > NOTHING_LEFT * centred ** 2)) return null;
  const basis = new Float64Array(athletes * columns.length);
  columns.forEach((column, k) => {
    for (let i = 0; i < athletes; i++) basis[i * columns.length + k] = column[i];
  });
  return { athletes, basis, columns: columns.length, rest };
}

/** The columns made orthonormal (Gram–Schmidt, twice); one that those before it already say is left out. */
export function orthonormalColumns(columns: readonly Float64Array[]): Float64Array[] {
  const found: Float64Array[] = [];
  for (const column of columns) {
    const left = without(column, found);
    const rest = norm(left);
    if (rest > Math.sqrt(NOTHING_LEFT) * norm(column)) found.push(left.map((value) => value / rest));
  }
  return found;
}

/** `values` less what the orthonormal columns explain of them. */
export function without(values: Float64Array, columns: readonly Float64Array[]): Float64Array {
  const left = Float64Array.from(values);
  // Twice: what rounding left after the first pass.
  for (let pass = 0; pass < 2; pass++) {
    for (const column of columns) {
      let along = 0;
      for (let i = 0; i < left.length; i++) along += column[i] * left[i];
      for (let i = 0; i < left.length; i++) left[i] -= along * column[i];
    }
  }
  return left;
}

const norm = (values: Float64Array): number => Math.sqrt(values.reduce((sum, value) => sum + value * value, 0));

/**
 * Largest |t| of the covariate over the places when whole residual curves are exchanged between athletes: residuals e of the model
 * without the covariate are permuted, and the full model is fitted to them (Freedman & Lane 1983, J. Bus. Econ. Stat. 1:292; the
 * fitted part of the reduced model drops out of t). Exact only to the order of the estimation of the other covariates.
 *
 * R² = (Σ x̃ e_π)² / (Σ x̃² (Σe² − Σ_k (q_k · e_π)²)), x̃ the rest of the covariate, q the basis. e: `athlete * places + place`;
 * squares: Σe² per place, 0 where the place takes no part.
 */
export function largestOfResidualOrders(
  e: Float64Array,
  squares: Float64Array,
  { athletes, basis, columns, rest }: PartialModel,
  scale: StatisticScale,
  arrangements: Arrangements,
): Float64Array {
  const places = squares.length;
  const largest = new Float64Array(arrangements.used);
  const next = ordersOf(
    Int32Array.from({ length: athletes }, (_, i) => i),
    arrangements,
  );
  const order = new Int32Array(athletes);
  const along = new Float64Array(places);
  const fitted = new Float64Array(places);
  const left = new Float64Array(places);
  const r2 = new Float64Array(places);
  const xx = norm(rest) ** 2;
  for (let g = 0; g < largest.length; g++) {
    next(order);
    along.fill(0);
    left.set(squares);
    for (let i = 0; i < athletes; i++) {
      const x = rest[order[i]];
      const row = i * places;
      for (let p = 0; p < places; p++) along[p] += x * e[row + p];
    }
    // The constant is the first column: residuals have no mean in any order.
    for (let k = 1; k < columns; k++) {
      fitted.fill(0);
      for (let i = 0; i < athletes; i++) {
        const q = basis[order[i] * columns + k];
        const row = i * places;
        for (let p = 0; p < places; p++) fitted[p] += q * e[row + p];
      }
      for (let p = 0; p < places; p++) left[p] -= fitted[p] * fitted[p];
    }
    for (let p = 0; p < places; p++) {
      r2[p] = left[p] > 1e-12 * squares[p] ? Math.min(1, (along[p] * along[p]) / (xx * left[p])) : 0;
    }
    largest[g] = largestZ(r2, scale);
  }
  return largest;
}
