import { type BlockCovariance, blockCovariance } from './block-covariance.ts';
import { accumulateInto, type NormalEquations, normalEquations, weighRows } from './block-normal-equations.ts';
import { type BlockLayout, type BlockProblem, blockLayout } from './block-problem.ts';
import { reduceInto, reduction, solveReducedInto } from './block-schur.ts';
import { lossValue, lossWeight, requireLoss } from './robust-loss.ts';

export type { BlockProblem };

export interface BlockOptions {
  /** Default 200 tried steps. */
  readonly maxIterations?: number;
  /** Defaults 1e-10, 1e-10, 1e-14: see `stopped`. */
  readonly gradientTolerance?: number;
  readonly stepTolerance?: number;
  readonly costTolerance?: number;
}

export interface BlockSolution {
  readonly state: Float64Array;
  /** Residuals at the solution, group after group, without the loss. */
  readonly residuals: Float64Array;
  /** ρ′ per group: 1 where no loss applies. */
  readonly weights: Float64Array;
  /** ½ Σ ρ(‖r‖²). */
  readonly cost: number;
  readonly startCost: number;
  /** Steps tried. */
  readonly iterations: number;
  /**
   * 'gradient': |g_j| ≤ tolerance · ‖J_j‖ · √(2 cost) for every parameter, or cost 0. 'step': ‖D δ‖ ≤ tolerance · ‖D sizes‖.
   * 'cost': the linear model promises a relative fall of the cost ≤ tolerance. 'iterations': limit reached. 'stuck': no
   * step, however short, lowers the cost (wrong derivatives, or a start from which nothing finite can be reached).
   */
  readonly stopped: 'gradient' | 'step' | 'cost' | 'iterations' | 'stuck';
  /** Computed at the first call, for residuals of unit variance. */
  covariance(): BlockCovariance;
}

/** First damping, as a share of the diagonal (Madsen, Nielsen & Tingleff 2004, §3.2: 1e-6 near the solution to 1). */
const FIRST_DAMPING = 1e-4;
/** Keeps directions that the residuals do not see from being filled with rounding. */
const LEAST_DAMPING = 1e-12;
const GREATEST_DAMPING = 1e20;
/** Share of the promised fall that a step has to bring (Moré 1978, §7). */
const LEAST_GAIN = 1e-4;
/**
 * Promised relative fall below which the curvature of a robust loss is used. Farther off, weights alone: their model lies
 * above the loss, so that its steps never overshoot; near the minimum they converge only linearly.
 */
const CURVED_BELOW = 1e-4;
/** Relative change of a cost that is only rounding of its sum. */
const COST_ROUNDING = 1e-12;

/**
 * Nonlinear least squares with shared parameters and many small independent blocks: minimises ½ Σ ρ(‖r_g‖²) from `start`.
 *
 * Levenberg (1944) – Marquardt (1963): (JᵀJ + λ D²) δ = −Jᵀr; D² is the largest diagonal of JᵀJ so far (Moré 1978), so that
 * the path does not depend on units; λ follows the ratio of found to promised fall by Nielsen's rule (Madsen, Nielsen &
 * Tingleff 2004, eq. 2.21). The blocks are eliminated first (`reduceInto`), then S δ = … is solved by Cholesky. Unlike
 * `leastSquares` this forms JᵀJ, which squares the condition number.
 *
 * Robust loss: near the minimum with the curvature correction of Triggs et al. (2000, §4.3), farther off by weights alone
 * (`CURVED_BELOW`).
 *
 * RangeError: wrong shapes, or residuals not finite at `start`.
 */
export function blockLeastSquares(
  problem: BlockProblem,
  start: Float64Array,
  options: BlockOptions = {},
): BlockSolution {
  const { maxIterations = 200, gradientTolerance = 1e-10, stepTolerance = 1e-10, costTolerance = 1e-14 } = options;
  requireLoss(problem.loss);
  const layout = blockLayout(problem);
  const eq = normalEquations(problem, layout);
  const work = reduction(problem, layout);
  const jacobian = new Float64Array(layout.jacobianLength);
  const residuals = new Float64Array(layout.residualCount);
  const step = new Float64Array(layout.parameterCount);
  const square = new Float64Array(layout.parameterCount);
  let state = start.slice();
  let trial = start.slice();

  problem.residualsInto(residuals, state);
  let cost = costOf(problem, layout, residuals);
  if (!Number.isFinite(cost)) throw new RangeError('blockLeastSquares: residuals at the start are not all finite');
  const startCost = cost;
  let damping = FIRST_DAMPING;
  let growth = 2;
  let curved = false;
  let curvedBelow = CURVED_BELOW;
  let iterations = 0;
  let stopped: BlockSolution['stopped'] | undefined = linearise();

  while (stopped === undefined) {
    if (iterations >= maxIterations) {
      stopped = 'iterations';
      break;
    }
    iterations++;
    const solvable =
      reduceInto(work, problem, layout, eq, damping, square, 0) >= 0 && solveReducedInto(step, work, problem, layout);
    const promised = solvable ? promisedFall() : Number.NaN;
    if (!(promised > 0)) {
      if (!moreDamping()) stopped = 'stuck';
      continue;
    }
    if (scaledNorm(step, square) <= stepTolerance * scaledNorm(problem.sizes, square)) {
      // A step that damping has made short says nothing about the distance to the minimum.
      stopped = damping <= 1 ? 'step' : 'stuck';
    }
    problem.retractInto(trial, state, step);
    problem.residualsInto(residuals, trial);
    const trialCost = costOf(problem, layout, residuals);
    if (stopped === undefined && damping <= 1 && promised <= costTolerance * cost) stopped = 'cost';
    if (stopped !== undefined) {
      if (trialCost <= cost * (1 + COST_ROUNDING)) take(trialCost);
      break;
    }
    const gain = (cost - trialCost) / promised;
    if (!(gain >= LEAST_GAIN)) {
      if (curved) {
        curved = false;
        curvedBelow *= 0.1;
        linearise();
      } else if (!moreDamping()) stopped = 'stuck';
      continue;
    }
    damping = Math.max(LEAST_DAMPING, damping * Math.max(1 / 3, 1 - (2 * gain - 1) ** 3));
    growth = 2;
    curved = promised <= curvedBelow * cost;
    take(trialCost);
    stopped = linearise();
  }

  problem.residualsInto(residuals, state);
  let covariance: BlockCovariance | undefined;
  return {
    state,
    residuals,
    weights: weightsOf(problem, layout, residuals),
    cost,
    startCost,
    iterations,
    stopped,
    covariance() {
      if (covariance === undefined) {
        linearInto(eq, problem, layout, state, residuals.slice(), jacobian, false);
        covariance = blockCovariance(problem, layout, eq, work);
      }
      return covariance;
    },
  };

  function take(trialCost: number): void {
    [state, trial] = [trial, state];
    cost = trialCost;
  }

  function linearise(): 'gradient' | undefined {
    linearInto(eq, problem, layout, state, residuals, jacobian, curved);
    for (let j = 0; j < square.length; j++) square[j] = Math.max(square[j], eq.diagonal[j]);
    const length = Math.sqrt(2 * cost);
    let largest = 0;
    for (let j = 0; j < square.length; j++) {
      const most = Math.sqrt(eq.diagonal[j]) * length;
      if (most > 0) largest = Math.max(largest, Math.abs(eq.gradient[j]) / most);
    }
    // A parameter that no residual has seen yet gets the scale 1: it must not make the system singular.
    for (let j = 0; j < square.length; j++) if (square[j] === 0) square[j] = 1;
    return largest <= gradientTolerance ? 'gradient' : undefined;
  }

  function promisedFall(): number {
    let sum = 0;
    for (let j = 0; j < step.length; j++) sum += step[j] * (damping * square[j] * step[j] - eq.gradient[j]);
    return 0.5 * sum;
  }

  function moreDamping(): boolean {
    damping *= growth;
    growth *= 2;
    return damping <= GREATEST_DAMPING;
  }
}

function linearInto(
  eq: NormalEquations,
  problem: BlockProblem,
  layout: BlockLayout,
  state: Float64Array,
  residuals: Float64Array,
  jacobian: Float64Array,
  curvature: boolean,
): void {
  problem.lineariseInto(residuals, jacobian, state);
  weighRows(problem, layout, residuals, jacobian, curvature);
  accumulateInto(eq, problem, layout, residuals, jacobian);
}

function squaredLength(residuals: Float64Array, at: number, rows: number): number {
  let s = 0;
  for (let i = at; i < at + rows; i++) s += residuals[i] * residuals[i];
  return s;
}

function costOf(problem: BlockProblem, layout: BlockLayout, residuals: Float64Array): number {
  const { loss, groupRows, groupRobust } = problem;
  let sum = 0;
  for (let g = 0; g < groupRows.length; g++) {
    const s = squaredLength(residuals, layout.residualAt[g], groupRows[g]);
    sum += groupRobust[g] === 0 ? s : lossValue(loss, s);
  }
  return 0.5 * sum;
}

function weightsOf(problem: BlockProblem, layout: BlockLayout, residuals: Float64Array): Float64Array {
  const { loss, groupRows, groupRobust } = problem;
  return Float64Array.from(groupRows, (rows, g) =>
    groupRobust[g] === 0 ? 1 : lossWeight(loss, squaredLength(residuals, layout.residualAt[g], rows)),
  );
}

/** ‖D x‖ for D² = `square`. */
function scaledNorm(x: Float64Array, square: Float64Array): number {
  let sum = 0;
  for (let j = 0; j < x.length; j++) sum += x[j] * x[j] * square[j];
  return Math.sqrt(sum);
}
