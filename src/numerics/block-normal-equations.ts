import type { BlockLayout, BlockProblem } from './block-problem.ts';
import { lossCurvature, lossWeight } from './robust-loss.ts';

/**
 * Normal equations JᵀJ and gradient Jᵀr of a block problem, in the order (shared, blocks):
 *
 *   | U  Wᵀ |     U: `shared`, sharedCount², both triangles
 *   | W  V  |     V: `squares`, one square a block, upper triangle; W: `couples`, block size × footprint
 */
export interface NormalEquations {
  readonly shared: Float64Array;
  readonly squares: Float64Array;
  readonly couples: Float64Array;
  readonly gradient: Float64Array;
  /** Diagonal of JᵀJ. */
  readonly diagonal: Float64Array;
  /** Upper triangles of U and gradients by list, before they are spread. */
  readonly listSquares: readonly Float64Array[];
  readonly listGradients: readonly Float64Array[];
}

export function normalEquations(problem: BlockProblem, layout: BlockLayout): NormalEquations {
  return {
    shared: new Float64Array(problem.sharedCount ** 2),
    squares: new Float64Array(layout.squareLength),
    couples: new Float64Array(layout.coupleLength),
    gradient: new Float64Array(layout.parameterCount),
    diagonal: new Float64Array(layout.parameterCount),
    listSquares: problem.sharedLists.map((list) => new Float64Array(list.length ** 2)),
    listGradients: problem.sharedLists.map((list) => new Float64Array(list.length)),
  };
}

/** Least 1 − α of the curvature correction: keeps the corrected residual within ten times the plain one. */
const LEAST_SHRINK = 0.1;

/**
 * Brings rows under a robust loss to those of an ordinary sum of squares with the same gradient, in place (Triggs et al.
 * 2000, §4.3): r̃ = √ρ′ r / (1 − α), J̃ = √ρ′ (J − α r rᵀJ / s), (1 − α)² = 1 + 2 s ρ″/ρ′.
 * `curvature` false leaves α = 0: weights alone, as in iteratively reweighted least squares.
 */
export function weighRows(
  problem: BlockProblem,
  layout: BlockLayout,
  residuals: Float64Array,
  jacobian: Float64Array,
  curvature: boolean,
): void {
  const { loss, groupRows, groupRobust } = problem;
  if (loss.kind === 'none') return;
  for (let g = 0; g < groupRows.length; g++) {
    if (groupRobust[g] === 0) continue;
    const rows = groupRows[g];
    const at = layout.residualAt[g];
    let s = 0;
    for (let i = 0; i < rows; i++) s += residuals[at + i] * residuals[at + i];
    if (s === 0) continue;
    const root = Math.sqrt(lossWeight(loss, s));
    const shrink = curvature ? Math.sqrt(Math.max(lossCurvature(loss, s), LEAST_SHRINK * LEAST_SHRINK)) : 1;
    const from = layout.jacobianAt[g];
    const to = g + 1 < groupRows.length ? layout.jacobianAt[g + 1] : layout.jacobianLength;
    const width = (to - from) / rows;
    const part = (1 - shrink) / s;
    for (let k = 0; k < width; k++) {
      let along = 0;
      if (part !== 0) {
        for (let i = 0; i < rows; i++) along += residuals[at + i] * jacobian[from + i * width + k];
        along *= part;
      }
      for (let i = 0; i < rows; i++) {
        const j = from + i * width + k;
        jacobian[j] = root * (jacobian[j] - residuals[at + i] * along);
      }
    }
    for (let i = 0; i < rows; i++) residuals[at + i] *= root / shrink;
  }
}

/** Sums JᵀJ and Jᵀr over all groups. */
export function accumulateInto(
  eq: NormalEquations,
  problem: BlockProblem,
  layout: BlockLayout,
  residuals: Float64Array,
  jacobian: Float64Array,
): void {
  const { sharedCount: n, blockSizes, sharedLists, groupRows, groupBlock, groupList } = problem;
  const { squares, couples, gradient, diagonal, shared } = eq;
  shared.fill(0);
  squares.fill(0);
  couples.fill(0);
  gradient.fill(0);
  for (let l = 0; l < sharedLists.length; l++) {
    eq.listSquares[l].fill(0);
    eq.listGradients[l].fill(0);
  }

  for (let g = 0; g < groupRows.length; g++) {
    const b = groupBlock[g];
    const l = groupList[g];
    const size = b < 0 ? 0 : blockSizes[b];
    const count = l < 0 ? 0 : sharedLists[l].length;
    const width = size + count;
    const rows = groupRows[g];
    for (let row = 0; row < rows; row += 2) {
      // Two rows at a time: half the traffic to the sums. A row that is left over is paired with itself at weight 0.
      const first = layout.jacobianAt[g] + row * width;
      const paired = row + 1 < rows;
      const second = paired ? first + width : first;
      const on = paired ? 1 : 0;
      const r0 = residuals[layout.residualAt[g] + row];
      const r1 = paired ? residuals[layout.residualAt[g] + row + 1] : 0;
      if (b >= 0) {
        addBlockRows(eq, layout, g, b, size, count, jacobian, first, second, on, r0, r1);
      }
      if (l >= 0) {
        addListRows(eq.listSquares[l], eq.listGradients[l], count, jacobian, first + size, second + size, on, r0, r1);
      }
    }
  }

  for (let l = 0; l < sharedLists.length; l++) {
    const list = sharedLists[l];
    const count = list.length;
    for (let i = 0; i < count; i++) {
      gradient[list[i]] += eq.listGradients[l][i];
      for (let j = i; j < count; j++) shared[list[i] * n + list[j]] += eq.listSquares[l][i * count + j];
    }
  }
  for (let i = 0; i < n; i++) {
    diagonal[i] = shared[i * n + i];
    for (let j = i + 1; j < n; j++) shared[j * n + i] = shared[i * n + j];
  }
  for (let b = 0; b < blockSizes.length; b++) {
    for (let i = 0; i < blockSizes[b]; i++) {
      diagonal[layout.blockAt[b] + i] = squares[layout.squareAt[b] + i * (blockSizes[b] + 1)];
    }
  }
}

/** V, W and the block's gradient from two rows. */
function addBlockRows(
  eq: NormalEquations,
  layout: BlockLayout,
  g: number,
  b: number,
  size: number,
  count: number,
  jacobian: Float64Array,
  first: number,
  second: number,
  on: number,
  r0: number,
  r1: number,
): void {
  const { squares, couples, gradient } = eq;
  const columns = layout.columns;
  const columnsAt = layout.columnsAt[g];
  const width = layout.footprints[layout.blockFootprint[b]].length;
  const blockAt = layout.blockAt[b];
  for (let i = 0; i < size; i++) {
    const a0 = jacobian[first + i];
    const a1 = on * jacobian[second + i];
    if (a0 === 0 && a1 === 0) continue;
    gradient[blockAt + i] += a0 * r0 + a1 * r1;
    const square = layout.squareAt[b] + i * size;
    for (let j = i; j < size; j++) squares[square + j] += a0 * jacobian[first + j] + a1 * jacobian[second + j];
    const couple = layout.coupleAt[b] + i * width;
    for (let j = 0; j < count; j++) {
      couples[couple + columns[columnsAt + j]] += a0 * jacobian[first + size + j] + a1 * jacobian[second + size + j];
    }
  }
}

/** The upper triangle of one list's part of U, and of its gradient, from two rows. */
function addListRows(
  square: Float64Array,
  gradient: Float64Array,
  count: number,
  jacobian: Float64Array,
  first: number,
  second: number,
  on: number,
  r0: number,
  r1: number,
): void {
  for (let i = 0; i < count; i++) {
    const a0 = jacobian[first + i];
    const a1 = on * jacobian[second + i];
    gradient[i] += a0 * r0 + a1 * r1;
    const o = i * count;
    for (let j = i; j < count; j++) square[o + j] += a0 * jacobian[first + j] + a1 * jacobian[second + j];
  }
}
