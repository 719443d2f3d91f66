import { describe, expect, test } from '@jest/globals';
import { type BlockProblem, blockLeastSquares } from '../../src/numerics/block-least-squares.ts';
import { leastSquares } from '../../src/numerics/least-squares.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import type { RobustLoss } from '../../src/numerics/robust-loss.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';

interface Decays {
  readonly problem: BlockProblem;
  readonly start: Float64Array;
  /** Jacobian as one dense matrix, to check against. */
  dense(p: Float64Array): Float64Array;
}

/**
 * Blocks of decays y = amplitude · exp(−rate · t) + offset: two rates are shared (even and odd blocks), with a prior each, and a
 * gain on all that every block sees; amplitude and offset are each block's own. Groups of two samples.
 */
function decays(blocks: number, noise: number, loss: RobustLoss = { kind: 'none' }): Decays {
  const random = seededRandom(4);
  const times = [0.1, 0.4, 0.9, 1.6, 2.5, 3.1];
  const truth = [0.8, 1.7, 1.2];
  const data: number[] = [];
  for (let b = 0; b < blocks; b++) {
    for (const t of times)
      data.push(1.2 * ((2 + 0.3 * b) * Math.exp(-truth[b % 2] * t) + 0.2) + noise * random.normal());
  }
  const groups = 3 * blocks;
  const lists = [Int32Array.of(0, 2), Int32Array.of(1, 2), Int32Array.of(0), Int32Array.of(1), Int32Array.of(2)];
  const priors = [0.9, 1.6, 1.25];
  const fill = (of: (g: number) => number, prior: (k: number) => number) =>
    Int32Array.from({ length: groups + 3 }, (_, g) => (g < groups ? of(g) : prior(g - groups)));
  const n = 3 + 2 * blocks;
  const residual = (p: Float64Array, b: number, t: number) => {
    const decay = Math.exp(-p[b % 2] * t);
    return p[2] * (p[3 + 2 * b] * decay + p[4 + 2 * b]);
  };
  const problem: BlockProblem = {
    sharedCount: 3,
    blockSizes: new Int32Array(blocks).fill(2),
    sharedLists: lists,
    groupRows: fill(
      () => 2,
      () => 1,
    ),
    groupBlock: fill(
      (g) => Math.floor(g / 3),
      () => -1,
    ),
    groupList: fill(
      (g) => Math.floor(g / 3) % 2,
      (k) => 2 + k,
    ),
    groupRobust: Uint8Array.from({ length: groups + 3 }, (_, g) => (g < groups ? 1 : 0)),
    loss,
    sizes: new Float64Array(n).fill(1),
    retractInto(out, state, step) {
      for (let k = 0; k < n; k++) out[k] = state[k] + step[k];
    },
    residualsInto(out, p) {
      let o = 0;
      for (let b = 0; b < blocks; b++) for (const t of times) out[o] = (residual(p, b, t) - data[o++]) / 0.05;
      for (let k = 0; k < 3; k++) out[o++] = (p[k] - priors[k]) / 0.1;
    },
    lineariseInto(out, jacobian, p) {
      problem.residualsInto(out, p);
      let o = 0;
      for (let b = 0; b < blocks; b++) {
        for (const t of times) {
          const decay = Math.exp(-p[b % 2] * t);
          const [amplitude, offset] = [p[3 + 2 * b], p[4 + 2 * b]];
          for (const slope of [p[2] * decay, p[2], -t * p[2] * amplitude * decay, amplitude * decay + offset]) {
            jacobian[o++] = slope / 0.05;
          }
        }
      }
      for (let k = 0; k < 3; k++) jacobian[o++] = 1 / 0.1;
    },
  };
  return {
    problem,
    start: Float64Array.from({ length: n }, (_, k) => (k < 3 ? 1 : k % 2 === 1 ? 2 : 0)),
    dense(p) {
      const rows = 6 * blocks + 3;
      const packed = new Float64Array(24 * blocks + 3);
      problem.lineariseInto(new Float64Array(rows), packed, p);
      const out = new Float64Array(rows * n);
      for (let row = 0; row < 6 * blocks; row++) {
        const b = Math.floor(row / 6);
        [3 + 2 * b, 4 + 2 * b, b % 2, 2].forEach((column, k) => {
          out[row * n + column] = packed[4 * row + k];
        });
      }
      for (let k = 0; k < 3; k++) out[(6 * blocks + k) * n + k] = packed[24 * blocks + k];
      return out;
    },
  };
}

function solvedDense({ problem, start, dense }: Decays) {
  const rows = problem.groupRows.reduce((sum, count) => sum + count, 0);
  return leastSquares(
    {
      residualCount: rows,
      parameterCount: start.length,
      residualsInto: problem.residualsInto,
      jacobianInto: (out, p) => out.set(dense(p)),
    },
    start,
  );
}

describe('against the dense solver (Householder QR of the whole Jacobian; NIST-tested)', () => {
  const made = decays(7, 0.05);
  const dense = solvedDense(made);
  const found = blockLeastSquares(made.problem, made.start);
  const n = made.start.length;

  test('the same minimum, and it says why it stopped', () => {
    expect(['cost', 'gradient', 'step']).toContain(found.stopped);
    // Both stop within 1e-7 standard deviations; costs are second order in that.
    expectClose(found.cost, 0.5 * dense.residualSumOfSquares, 1e-11 * found.cost, 'cost');
    expectAllClose(found.state, dense.parameters, 1e-7, 'parameters');
    expect(found.startCost).toBeGreaterThan(found.cost);
  });

  test('the same covariance of shared parameters, of blocks and between them', () => {
    const variance = dense.residualSumOfSquares / (45 - n);
    const { shared, block, blockWithShared, rank } = found.covariance();
    expect(rank).toBe(n);
    const of = (i: number, j: number) => dense.covariance[i * n + j] / variance;
    // Normal equations of condition 1e4 in double precision: eight digits are safe.
    const close = (actual: number, i: number, j: number) =>
      expectClose(actual, of(i, j), 1e-8 * Math.sqrt(of(i, i) * of(j, j)), `covariance ${i} ${j}`);
    for (let i = 0; i < 3; i++) for (let j = 0; j < 3; j++) close(shared[3 * i + j], i, j);
    for (let b = 0; b < 7; b++) {
      for (let i = 0; i < 2; i++) {
        for (let j = 0; j < 2; j++) close(block(b)[2 * i + j], 3 + 2 * b + i, 3 + 2 * b + j);
        for (let k = 0; k < 3; k++) close(blockWithShared(b)[3 * i + k], 3 + 2 * b + i, k);
      }
    }
  });

  test('the path does not depend on the units of the parameters', () => {
    const unit = Float64Array.from({ length: n }, (_, k) => [1e4, 1e-3, 1, 50][k % 4]);
    const turned: BlockProblem = {
      ...made.problem,
      sizes: unit.map((u) => 1 / u),
      residualsInto: (out, p) =>
        made.problem.residualsInto(
          out,
          p.map((x, k) => x * unit[k]),
        ),
      lineariseInto(out, jacobian, p) {
        made.problem.lineariseInto(
          out,
          jacobian,
          p.map((x, k) => x * unit[k]),
        );
        for (let row = 0; row < 42; row++) {
          const b = Math.floor(row / 6);
          [3 + 2 * b, 4 + 2 * b, b % 2, 2].forEach((column, k) => {
            jacobian[4 * row + k] *= unit[column];
          });
        }
        for (let k = 0; k < 3; k++) jacobian[168 + k] *= unit[k];
      },
    };
    const other = blockLeastSquares(
      turned,
      made.start.map((x, k) => x / unit[k]),
    );
    expect(other.iterations).toBe(found.iterations);
    expectAllClose(
      other.state.map((x, k) => x * unit[k]),
      found.state,
      1e-9,
    );
  });
});

/** A block problem of straight lines: rows of [coefficient per step parameter …, measured]; blocks of one parameter. */
function lines(
  sharedCount: number,
  blockCount: number,
  rows: readonly {
    readonly block: number;
    readonly by: number;
    readonly shared: readonly number[];
    readonly value: number;
  }[],
  loss: RobustLoss = { kind: 'none' },
): BlockProblem {
  const all = Int32Array.from({ length: sharedCount }, (_, k) => k);
  const problem: BlockProblem = {
    sharedCount,
    blockSizes: new Int32Array(blockCount).fill(1),
    sharedLists: sharedCount > 0 ? [all] : [],
    groupRows: new Int32Array(rows.length).fill(1),
    groupBlock: Int32Array.from(rows, (row) => row.block),
    groupList: new Int32Array(rows.length).fill(sharedCount > 0 ? 0 : -1),
    groupRobust: new Uint8Array(rows.length).fill(1),
    loss,
    sizes: new Float64Array(sharedCount + blockCount).fill(1),
    retractInto(out, state, step) {
      for (let k = 0; k < out.length; k++) out[k] = state[k] + step[k];
    },
    residualsInto(out, p) {
      rows.forEach(({ block, by, shared, value }, i) => {
        out[i] = (block < 0 ? 0 : by * p[sharedCount + block]) - value;
        shared.forEach((a, k) => {
          out[i] += a * p[k];
        });
      });
    },
    lineariseInto(out, jacobian, p) {
      problem.residualsInto(out, p);
      let o = 0;
      for (const { block, by, shared } of rows) {
        if (block >= 0) jacobian[o++] = by;
        for (const a of shared) jacobian[o++] = a;
      }
    },
  };
  return problem;
}

describe('robust loss', () => {
  const values = [0, 0.1, -0.1, 0.05, 10];
  const located = (loss: RobustLoss) =>
    blockLeastSquares(
      lines(
        1,
        0,
        values.map((value) => ({ block: -1, by: 0, shared: [1], value })),
        loss,
      ),
      Float64Array.of(3),
    );

  test('Huber location in closed form: the far value pulls with the force of the scale', () => {
    const found = located({ kind: 'huber', scale: 0.5 });
    // Σ (m − xᵢ) over the four near values = 0.5.
    expectClose(found.state[0], (0.05 + 0.5) / 4, 1e-9, 'location');
    expectClose(found.weights[4], 0.5 / (10 - found.state[0]), 1e-9, 'weight of the far value');
    expectAllClose(found.weights.subarray(0, 4), [1, 1, 1, 1], 0);
  });

  test('Cauchy location solves its estimating equation, far from the outlier', () => {
    const found = located({ kind: 'cauchy', scale: 0.5 });
    const m = found.state[0];
    const force = values.reduce((sum, x) => sum + (m - x) / (1 + ((m - x) / 0.5) ** 2), 0);
    // At the minimum to 1e-7 of the forces' size.
    expectClose(force, 0, 1e-7, 'sum of weighted residuals');
    expect(Math.abs(m)).toBeLessThan(0.05);
    expect(found.weights[4]).toBeLessThan(0.01);
  });

  test('with its curvature Huber’s loss needs few steps where weights alone creep', () => {
    // Half of the values pull with a constant force: reweighting converges at the rate (n_far / n) · scale / distance.
    const spread = Array.from({ length: 40 }, (_, i) => ({
      block: -1,
      by: 0,
      shared: [1],
      value: i % 2 === 0 ? i / 100 : i / 10,
    }));
    const found = blockLeastSquares(lines(1, 0, spread, { kind: 'huber', scale: 0.5 }), Float64Array.of(0));
    expect(found.stopped).not.toBe('iterations');
    expect(found.iterations).toBeLessThan(25);
  });
});

describe('what is not determined', () => {
  const row = (block: number, by: number, shared: number[], value: number) => ({ block, by, shared, value });

  test('shared parameters seen only as a sum are NaN; a third one and blocks apart from them keep their numbers', () => {
    // a + b, c measured twice each; block 0 beside c only, block 1 beside a alone (follows the free direction).
    const rows = [
      row(-1, 0, [1, 1, 0], 3),
      row(-1, 0, [1, 1, 0], 3.2),
      row(-1, 0, [0, 0, 1], 1),
      row(-1, 0, [0, 0, 1], 1.4),
      row(0, 1, [0, 0, 1], 2),
      row(1, 1, [1, 0, 0], 5),
    ];
    const found = blockLeastSquares(lines(3, 2, rows), Float64Array.of(1, 1, 1, 0, 0));
    const { shared, block, blockWithShared, rank } = found.covariance();
    expect(rank).toBe(4);
    for (const [i, j] of [
      [0, 0],
      [0, 1],
      [1, 1],
      [0, 2],
      [2, 1],
    ])
      expect(shared[3 * i + j]).toBeNaN();
    expectClose(shared[8], 0.5, 1e-12, 'variance of the mean of two');
    expectClose(block(0)[0], 1 + 0.5, 1e-12, 'block 0: own measurement and c');
    expect(block(1)[0]).toBeNaN();
    expectAllClose([...blockWithShared(0)].slice(2), [-0.5], 1e-12, 'block 0 with c');
    expect(blockWithShared(0)[0]).toBeNaN();
    expect(found.state.every(Number.isFinite)).toBe(true);
    expectClose(found.state[0] + found.state[1], 3.1, 1e-6, 'the sum is found');
  });

  test('a block that no residual sees is NaN and leaves the rest alone; a parameter that nothing sees is NaN', () => {
    const rows = [row(-1, 0, [1, 0], 3), row(-1, 0, [1, 0], 4), row(0, 0, [1, 0], 3)];
    const found = blockLeastSquares(lines(2, 1, rows), Float64Array.of(0, 7, 9));
    const { shared, block, rank } = found.covariance();
    expect(rank).toBe(1);
    expectClose(shared[0], 1 / 3, 1e-12);
    expect([shared[1], shared[3], block(0)[0]].every(Number.isNaN)).toBe(true);
    expectAllClose(found.state.subarray(1), [7, 9], 0, 'unseen parameters stay');
  });
});

describe('stopping', () => {
  test('at the start when that is the minimum', () => {
    const rows = [{ block: -1, by: 0, shared: [2], value: 6 }];
    const found = blockLeastSquares(lines(1, 0, rows), Float64Array.of(3));
    expect([found.stopped, found.iterations, found.cost]).toEqual(['gradient', 0, 0]);
  });

  test('wrong derivatives are told as stuck, a limit as iterations', () => {
    const made = decays(3, 0.05);
    const wrong: BlockProblem = {
      ...made.problem,
      lineariseInto(out, jacobian, p) {
        made.problem.lineariseInto(out, jacobian, p);
        for (let k = 0; k < jacobian.length; k++) jacobian[k] = -jacobian[k];
      },
    };
    expect(blockLeastSquares(wrong, made.start).stopped).toBe('stuck');
    expect(blockLeastSquares(made.problem, made.start, { maxIterations: 2 }).stopped).toBe('iterations');
  });

  test('a step to where nothing is finite is shortened', () => {
    // r = ln x: the full step from x = 10 goes to 10 − 10 ln 10 < 0.
    const base = lines(1, 0, [{ block: -1, by: 0, shared: [1], value: 0 }]);
    const log: BlockProblem = {
      ...base,
      residualsInto: (out, p) => {
        out[0] = Math.log(p[0]);
      },
      lineariseInto: (out, jacobian, p) => {
        out[0] = Math.log(p[0]);
        jacobian[0] = 1 / p[0];
      },
    };
    const found = blockLeastSquares(log, Float64Array.of(10));
    expectClose(found.state[0], 1, 1e-9, 'zero of the logarithm');
  });

  test('misuse: a start that is not finite, arrays that do not fit', () => {
    const { problem, start } = decays(2, 0);
    expect(() =>
      blockLeastSquares(
        problem,
        start.map(() => Number.NaN),
      ),
    ).toThrow(RangeError);
    expect(() => blockLeastSquares({ ...problem, groupList: new Int32Array(2) }, start)).toThrow(RangeError);
    expect(() => blockLeastSquares({ ...problem, sharedLists: [Int32Array.of(1, 0)] }, start)).toThrow(RangeError);
    expect(() => blockLeastSquares({ ...problem, sizes: new Float64Array(1) }, start)).toThrow(RangeError);
    expect(() => blockLeastSquares({ ...problem, loss: { kind: 'huber', scale: -1 } }, start)).toThrow(RangeError);
  });
});
