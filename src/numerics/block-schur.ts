import { choleskyInPlace, solveLowerInPlace, solveUpperInPlace } from './block-cholesky.ts';
import type { NormalEquations } from './block-normal-equations.ts';
import type { BlockLayout, BlockProblem } from './block-problem.ts';

/**
 * The blocks eliminated from (JᵀJ + λ D²) δ = −Jᵀr: with V + λ D² = L Lᵀ a block and Y = L⁻¹ W,
 * S = U + λ D² − Σ Yᵀ Y (Schur complement; Brown 1958, Triggs et al. 2000, §6.1). Written by `reduceInto`.
 */
export interface Reduction {
  /** S, then its Cholesky factor; sharedCount², lower triangle. */
  readonly reduced: Float64Array;
  /** L of each block, lower triangles. */
  readonly factors: Float64Array;
  /** Y of each block. */
  readonly couples: Float64Array;
  /** L⁻¹ of each block's gradient; shared part: the reduced gradient. */
  readonly forward: Float64Array;
  readonly footprintSquares: readonly Float64Array[];
  readonly footprintVectors: readonly Float64Array[];
}

export function reduction(problem: BlockProblem, layout: BlockLayout): Reduction {
  return {
    reduced: new Float64Array(problem.sharedCount ** 2),
    factors: new Float64Array(layout.squareLength),
    couples: new Float64Array(layout.coupleLength),
    forward: new Float64Array(layout.parameterCount),
    footprintSquares: layout.footprints.map((footprint) => new Float64Array(footprint.length ** 2)),
    footprintVectors: layout.footprints.map((footprint) => new Float64Array(footprint.length)),
  };
}

/**
 * Eliminates the blocks at damping λ and scale² `square` (per step parameter). A direction of a block in which no more
 * than `dependence` of its own information is left gets no row (it is held): for λ = 0, where there may be such.
 * Returns the number of directions kept in all blocks; −1 where a block is not positive definite (not finite).
 */
export function reduceInto(
  out: Reduction,
  problem: BlockProblem,
  layout: BlockLayout,
  eq: NormalEquations,
  damping: number,
  square: Float64Array,
  dependence: number,
): number {
  const { sharedCount: n, blockSizes } = problem;
  const { reduced, factors, couples, forward } = out;
  for (const footprint of out.footprintSquares) footprint.fill(0);
  for (const footprint of out.footprintVectors) footprint.fill(0);
  let kept = 0;
  for (let b = 0; b < blockSizes.length; b++) {
    const size = blockSizes[b];
    const squareAt = layout.squareAt[b];
    const blockAt = layout.blockAt[b];
    const coupleAt = layout.coupleAt[b];
    const f = layout.blockFootprint[b];
    const width = layout.footprints[f].length;
    for (let i = 0; i < size; i++) {
      for (let j = 0; j <= i; j++) factors[squareAt + i * size + j] = eq.squares[squareAt + j * size + i];
      factors[squareAt + i * (size + 1)] += damping * square[blockAt + i];
      forward[blockAt + i] = eq.gradient[blockAt + i];
    }
    const rank = choleskyInPlace(factors, squareAt, size, dependence);
    if (rank < 0) return -1;
    kept += rank;
    solveLowerInPlace(factors, squareAt, size, forward, blockAt, 1);
    for (let k = coupleAt; k < coupleAt + size * width; k++) couples[k] = eq.couples[k];
    solveLowerInPlace(factors, squareAt, size, couples, coupleAt, width);
    addOuter(out.footprintSquares[f], out.footprintVectors[f], width, size, couples, coupleAt, forward, blockAt);
  }

  for (let i = 0; i < n; i++) {
    forward[i] = eq.gradient[i];
    for (let j = 0; j <= i; j++) reduced[i * n + j] = eq.shared[i * n + j];
    reduced[i * (n + 1)] += damping * square[i];
  }
  for (let f = 0; f < layout.footprints.length; f++) {
    const footprint = layout.footprints[f];
    const width = footprint.length;
    for (let i = 0; i < width; i++) {
      forward[footprint[i]] -= out.footprintVectors[f][i];
      // Footprints ascend, so that i ≤ j lands below the diagonal.
      for (let j = i; j < width; j++)
        reduced[footprint[j] * n + footprint[i]] -= out.footprintSquares[f][i * width + j];
    }
  }
  return kept;
}

/** Upper triangle of Yᵀ Y, and Yᵀ y. */
function addOuter(
  square: Float64Array,
  vector: Float64Array,
  width: number,
  size: number,
  y: Float64Array,
  at: number,
  right: Float64Array,
  rightAt: number,
): void {
  let row = 0;
  for (; row + 2 < size; row += 3) {
    const o0 = at + row * width;
    const o1 = o0 + width;
    const o2 = o1 + width;
    const f0 = right[rightAt + row];
    const f1 = right[rightAt + row + 1];
    const f2 = right[rightAt + row + 2];
    for (let i = 0; i < width; i++) {
      const a0 = y[o0 + i];
      const a1 = y[o1 + i];
      const a2 = y[o2 + i];
      vector[i] += a0 * f0 + a1 * f1 + a2 * f2;
      const o = i * width;
      for (let j = i; j < width; j++) square[o + j] += a0 * y[o0 + j] + a1 * y[o1 + j] + a2 * y[o2 + j];
    }
  }
  for (; row < size; row++) {
    const o0 = at + row * width;
    const f0 = right[rightAt + row];
    for (let i = 0; i < width; i++) {
      const a0 = y[o0 + i];
      vector[i] += a0 * f0;
      const o = i * width;
      for (let j = i; j < width; j++) square[o + j] += a0 * y[o0 + j];
    }
  }
}

/** Solves for the step of a reduction (whose S it replaces by its factor); false where S is not positive definite. */
export function solveReducedInto(
  step: Float64Array,
  work: Reduction,
  problem: BlockProblem,
  layout: BlockLayout,
): boolean {
  const { sharedCount: n, blockSizes } = problem;
  const { reduced, factors, couples, forward } = work;
  if (choleskyInPlace(reduced, 0, n, 0) < n) return false;
  for (let i = 0; i < n; i++) step[i] = -forward[i];
  solveLowerInPlace(reduced, 0, n, step, 0, 1);
  solveUpperInPlace(reduced, 0, n, step, 0, 1);
  for (let b = 0; b < blockSizes.length; b++) {
    const size = blockSizes[b];
    const blockAt = layout.blockAt[b];
    const footprint = layout.footprints[layout.blockFootprint[b]];
    const width = footprint.length;
    for (let i = 0; i < size; i++) {
      let sum = forward[blockAt + i];
      const o = layout.coupleAt[b] + i * width;
      for (let j = 0; j < width; j++) sum += couples[o + j] * step[footprint[j]];
      step[blockAt + i] = -sum;
    }
    solveUpperInPlace(factors, layout.squareAt[b], size, step, blockAt, 1);
  }
  return true;
}
