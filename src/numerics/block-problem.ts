import type { RobustLoss } from './robust-loss.ts';

/**
 * A sum of squares whose parameters are a few *shared* ones and many small independent *blocks*. Residuals come in groups
 * of one or more rows; a group sees one block or none, and a list of shared parameters.
 *
 * Parameters are kept in a `state` whose layout only the problem knows; steps live in `sharedCount` numbers followed by
 * those of each block (a state may so hold rotation matrices, stepped by small turns).
 */
export interface BlockProblem {
  readonly sharedCount: number;
  /** Parameters of each block's step. */
  readonly blockSizes: Int32Array;
  /** Lists of shared parameters, each ascending without repeats, that groups refer to. */
  readonly sharedLists: readonly Int32Array[];
  /** Per group: number of rows; block, or −1; index of its list of shared parameters, or −1; 1 where `loss` applies. */
  readonly groupRows: Int32Array;
  readonly groupBlock: Int32Array;
  readonly groupList: Int32Array;
  readonly groupRobust: Uint8Array;
  /** Loss on the length of a group's residual. */
  readonly loss: RobustLoss;
  /** Ordinary size of each step parameter, for the test on small steps. Shared first, then the blocks. */
  readonly sizes: Float64Array;
  /** Writes the state that a step leads to. `out` is never `state`. */
  retractInto(out: Float64Array, state: Float64Array, step: Float64Array): void;
  /** Writes the residuals, group after group. A value that is not finite marks the state as out of reach. */
  residualsInto(out: Float64Array, state: Float64Array): void;
  /**
   * Writes residuals and Jacobian. Group after group, row after row: derivatives by the group's block, then by its list.
   * Every value is written each time.
   */
  lineariseInto(residuals: Float64Array, jacobian: Float64Array, state: Float64Array): void;
}

/** Where things lie in the flat arrays of a block problem; made once. */
export interface BlockLayout {
  readonly residualCount: number;
  readonly jacobianLength: number;
  readonly parameterCount: number;
  readonly residualAt: Int32Array;
  readonly jacobianAt: Int32Array;
  /** Start of each block within a step. */
  readonly blockAt: Int32Array;
  /** Start of each block's own square, and of its block size × footprint rectangle. */
  readonly squareAt: Int32Array;
  readonly squareLength: number;
  readonly coupleAt: Int32Array;
  readonly coupleLength: number;
  /** Distinct sets of shared parameters that a block sees, ascending; which of them each block has. */
  readonly footprints: readonly Int32Array[];
  readonly blockFootprint: Int32Array;
  /** Per group with block and list: where in `columns` its list's places within the block's footprint begin. */
  readonly columnsAt: Int32Array;
  readonly columns: Int32Array;
}

/** RangeError where the problem's arrays do not fit together. */
export function blockLayout(problem: BlockProblem): BlockLayout {
  const { sharedCount, blockSizes, sharedLists, groupRows, groupBlock, groupList } = problem;
  requireShape(problem);
  const groups = groupRows.length;
  const blocks = blockSizes.length;
  const seen: number[][] = Array.from({ length: blocks }, () => []);
  const residualAt = new Int32Array(groups);
  const jacobianAt = new Int32Array(groups);
  let residualCount = 0;
  let jacobianLength = 0;
  for (let g = 0; g < groups; g++) {
    const b = groupBlock[g];
    const l = groupList[g];
    residualAt[g] = residualCount;
    jacobianAt[g] = jacobianLength;
    residualCount += groupRows[g];
    jacobianLength += groupRows[g] * ((b < 0 ? 0 : blockSizes[b]) + (l < 0 ? 0 : sharedLists[l].length));
    if (b >= 0 && l >= 0 && !seen[b].includes(l)) seen[b].push(l);
  }

  const footprints: Int32Array[] = [];
  const known = new Map<string, number>();
  const blockFootprint = Int32Array.from(seen, (lists) => {
    const key = lists.sort((a, b) => a - b).join();
    let found = known.get(key);
    if (found === undefined) {
      found = footprints.length;
      known.set(key, found);
      footprints.push(union(lists.map((l) => sharedLists[l])));
    }
    return found;
  });

  const blockAt = new Int32Array(blocks);
  const squareAt = new Int32Array(blocks);
  const coupleAt = new Int32Array(blocks);
  let parameterCount = sharedCount;
  let squareLength = 0;
  let coupleLength = 0;
  for (let b = 0; b < blocks; b++) {
    blockAt[b] = parameterCount;
    squareAt[b] = squareLength;
    coupleAt[b] = coupleLength;
    parameterCount += blockSizes[b];
    squareLength += blockSizes[b] ** 2;
    coupleLength += blockSizes[b] * footprints[blockFootprint[b]].length;
  }
  const { columnsAt, columns } = columnPlaces(problem, footprints, blockFootprint);
  return {
    residualCount,
    jacobianLength,
    parameterCount,
    residualAt,
    jacobianAt,
    blockAt,
    squareAt,
    squareLength,
    coupleAt,
    coupleLength,
    footprints,
    blockFootprint,
    columnsAt,
    columns,
  };
}

/** Places of every list within every footprint that contains it, and per group where they begin. */
function columnPlaces(problem: BlockProblem, footprints: readonly Int32Array[], blockFootprint: Int32Array) {
  const { sharedLists, groupBlock, groupList } = problem;
  const starts = new Int32Array(footprints.length * sharedLists.length).fill(-1);
  const columns: number[] = [];
  const columnsAt = new Int32Array(groupBlock.length).fill(-1);
  for (let g = 0; g < groupBlock.length; g++) {
    const l = groupList[g];
    if (groupBlock[g] < 0 || l < 0) continue;
    const f = blockFootprint[groupBlock[g]];
    const pair = f * sharedLists.length + l;
    if (starts[pair] < 0) {
      starts[pair] = columns.length;
      for (const shared of sharedLists[l]) columns.push(footprints[f].indexOf(shared));
    }
    columnsAt[g] = starts[pair];
  }
  return { columnsAt, columns: Int32Array.from(columns) };
}

function union(lists: readonly Int32Array[]): Int32Array {
  return Int32Array.from(new Set(lists.flatMap((list) => [...list]))).sort();
}

function requireShape(problem: BlockProblem): void {
  const { sharedCount, blockSizes, sharedLists, groupRows, groupBlock, groupList, groupRobust, sizes } = problem;
  const groups = groupRows.length;
  if (groupBlock.length !== groups || groupList.length !== groups || groupRobust.length !== groups) {
    throw new RangeError(`block least squares: arrays of ${groups} groups differ in length`);
  }
  const parameters = sharedCount + blockSizes.reduce((sum, size) => sum + size, 0);
  if (sizes.length !== parameters) {
    throw new RangeError(`block least squares: ${sizes.length} sizes for ${parameters} parameters`);
  }
  for (const list of sharedLists) {
    list.forEach((shared, i) => {
      if (shared < 0 || shared >= sharedCount || (i > 0 && shared <= list[i - 1])) {
        throw new RangeError(`block least squares: list ${[...list].join(' ')} of ${sharedCount} shared parameters`);
      }
    });
  }
  for (let g = 0; g < groups; g++) {
    if (groupRows[g] < 1 || groupBlock[g] >= blockSizes.length || groupList[g] >= sharedLists.length) {
      throw new RangeError(
        `block least squares: group ${g} has ${groupRows[g]} rows, block ${groupBlock[g]}, list ${groupList[g]}`,
      );
    }
  }
}
