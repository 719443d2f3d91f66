import { centralDifferenceJacobianInto } from './difference-jacobian.ts';
import type { LeastSquaresProblem } from './least-squares-problem.ts';
import { DEPENDENCE_DIFFERENCES, DEPENDENCE_EXACT, parameterUncertainty } from './parameter-uncertainty.ts';
import { TrustStep } from './trust-step.ts';

export type { LeastSquaresProblem };

export interface LeastSquaresOptions {
  /** Default 200 accepted or refused steps. */
  readonly maxIterations?: number;
  /** Default 1e-10: see `stopped`. */
  readonly tolerance?: number;
  /** Ordinary size of each parameter, for the step of central differences only. Default: |start|, or 1 below 1e-8. */
  readonly typicalSizes?: ArrayLike<number>;
}

export interface LeastSquaresResult {
  readonly parameters: Float64Array;
  readonly residuals: Float64Array;
  readonly residualSumOfSquares: number;
  /** n × n: (JᵀJ)⁻¹ · rss / (m − rank). NaN in the rows and columns of parameters that the residuals do not determine. */
  readonly covariance: Float64Array;
  /** NaN where not determined. */
  readonly standardDeviations: Float64Array;
  readonly iterations: number;
  /**
   * 'gradient': cosine between residuals and every Jacobian column within tolerance (or residuals all 0).
   * 'step': scaled step within tolerance of the scaled parameters. 'cost': predicted relative fall of the sum of squares
   * within tolerance², or lost in rounding. 'iterations': limit reached. 'stuck': no step, however short, lowers the sum.
   */
  readonly stopped: 'gradient' | 'step' | 'cost' | 'iterations' | 'stuck';
  /** Number of independent directions in parameter space that the residuals determine at the solution. */
  readonly rank: number;
}

/** First trust radius as a multiple of the scaled length of the start. */
const FIRST_RADIUS = 10;
/** Share of the predicted fall that a step has to bring to be taken (Moré 1978, §7). */
const LEAST_GAIN = 1e-4;
/** Relative fall of the sum of squares below which its evaluation is rounding. */
const COST_ROUNDING = 1e-14;
/** Attainable relative fall below which a forecast lost in rounding means the minimum, not a trust radius shrunk to nothing. */
const NEARLY_MINIMAL = 1e-10;

/**
 * Nonlinear least squares: parameters that minimise Σ residual², from `start`.
 *
 * Levenberg (1944) – Marquardt (1963) in the form of Moré (1978, Lecture Notes in Mathematics 630:105–116): each step
 * minimises the linear model within a trust radius, (JᵀJ + λD²) δ = −Jᵀr solved by Householder QR (JᵀJ is never formed);
 * D holds the largest column norms of J so far, so that the path does not depend on the parameters' units; the radius
 * follows the ratio of found to predicted fall. Differs from Moré: dependent columns are held, not pivoted
 * (see TrustStep), and there is a last phase
 * that goes on where the fall of the sum of squares is lost in rounding, as long as the steps still halve.
 * Finds the local minimum in whose basin it starts.
 *
 * RangeError: wrong lengths, or residuals not finite at `start`.
 */
export function leastSquares(
  problem: LeastSquaresProblem,
  start: ArrayLike<number>,
  options: LeastSquaresOptions = {},
): LeastSquaresResult {
  const { residualCount: m, parameterCount: n } = problem;
  const { maxIterations = 200, tolerance = 1e-10 } = options;
  requireShape(m, n, start.length);
  const dependence = problem.jacobianInto ? DEPENDENCE_EXACT : DEPENDENCE_DIFFERENCES;
  const differentiate = jacobianOf(problem, start, options.typicalSizes);

  let p = Float64Array.from(start);
  let r = new Float64Array(m);
  problem.residualsInto(r, p);
  let cost = sumOfSquares(r);
  if (!Number.isFinite(cost)) throw new RangeError('leastSquares: residuals at the start are not all finite');

  const jacobian = new Float64Array(m * n);
  const linear = new TrustStep(m, n, dependence);
  const scale = new Float64Array(n);
  const step = new Float64Array(n);
  let trial = new Float64Array(n);
  let trialResiduals = new Float64Array(m);
  let iterations = 0;
  let lastRoundingStep = Number.POSITIVE_INFINITY;
  let stopped: LeastSquaresResult['stopped'] | undefined;

  differentiate(jacobian, p, r);
  growScale(scale, jacobian, m, n);
  let radius = FIRST_RADIUS * (scaledNorm(p, scale) || 1);
  if (largestCosine(jacobian, r, m, n, Math.sqrt(cost)) <= tolerance) stopped = 'gradient';
  else linear.load(jacobian, r);

  while (stopped === undefined) {
    if (iterations >= maxIterations) {
      stopped = 'iterations';
      break;
    }
    iterations++;
    const predicted = linear.solveInto(step, radius, scale) / cost;
    const length = scaledNorm(step, scale);
    if (iterations === 1) radius = Math.min(radius, length);
    for (let j = 0; j < n; j++) trial[j] = p[j] + step[j];
    problem.residualsInto(trialResiduals, trial);
    const trialCost = sumOfSquares(trialResiduals);
    const fall = (cost - trialCost) / cost;

    const inRounding =
      predicted <= COST_ROUNDING &&
      Math.abs(fall) <= 10 * COST_ROUNDING &&
      linear.attainableFall <= NEARLY_MINIMAL * cost;
    if (!inRounding) radius = nextRadius(radius, length, fall, predicted, (linear.damping * length * length) / cost);
    if (!inRounding && !(fall >= LEAST_GAIN * predicted && predicted > 0)) {
      if (radius <= Number.EPSILON * scaledNorm(p, scale) || radius === 0) stopped = 'stuck';
      continue;
    }

    [p, trial] = [trial, p];
    [r, trialResiduals] = [trialResiduals, r];
    cost = trialCost;
    differentiate(jacobian, p, r);
    growScale(scale, jacobian, m, n);

    if (largestCosine(jacobian, r, m, n, Math.sqrt(cost)) <= tolerance) stopped = 'gradient';
    else if (length <= tolerance * scaledNorm(p, scale)) stopped = 'step';
    else if (predicted <= tolerance * tolerance || (inRounding && length > 0.5 * lastRoundingStep)) stopped = 'cost';
    if (inRounding) lastRoundingStep = length;
    if (stopped === undefined) linear.load(jacobian, r);
  }

  const uncertainty = parameterUncertainty(jacobian, m, n, cost, dependence);
  return { parameters: p, residuals: r, residualSumOfSquares: cost, ...uncertainty, iterations, stopped };
}

/**
 * The trust radius after a step of scaled `length`: twice the step where the forecast was good; where it was poor, shortened
 * to the minimum of the parabola through both costs and the slope at the start (Moré 1978, §7). `dampedShare` = λ‖Dδ‖²/cost.
 */
function nextRadius(radius: number, length: number, fall: number, predicted: number, dampedShare: number): number {
  const gain = fall / predicted;
  if (gain > 0.25) return dampedShare === 0 || gain >= 0.75 ? 2 * length : radius;
  const slope = predicted - dampedShare;
  const factor = fall >= 0 ? 0.5 : (0.5 * slope) / (slope - 0.5 * fall);
  // A cost that is not finite leaves no parabola.
  return Math.max(Number.isFinite(factor) ? factor : 0, 0.1) * Math.min(radius, 10 * length);
}

function jacobianOf(problem: LeastSquaresProblem, start: ArrayLike<number>, typicalSizes?: ArrayLike<number>) {
  if (problem.jacobianInto) return (out: Float64Array, p: Float64Array) => problem.jacobianInto?.(out, p);
  return centralDifferenceJacobianInto(problem, typicalSizes ?? start);
}

/** scale_j = largest norm of column j so far; 1 while the column has been 0 throughout. */
function growScale(scale: Float64Array, jacobian: Float64Array, m: number, n: number): void {
  for (let j = 0; j < n; j++) {
    let square = 0;
    for (let i = 0; i < m; i++) square += jacobian[i * n + j] ** 2;
    scale[j] = Math.max(scale[j], Math.sqrt(square)) || 1;
  }
}

function largestCosine(jacobian: Float64Array, r: Float64Array, m: number, n: number, rNorm: number): number {
  if (rNorm === 0) return 0;
  let largest = 0;
  for (let j = 0; j < n; j++) {
    let dot = 0;
    let square = 0;
    for (let i = 0; i < m; i++) {
      dot += jacobian[i * n + j] * r[i];
      square += jacobian[i * n + j] ** 2;
    }
    if (square > 0) largest = Math.max(largest, Math.abs(dot) / (Math.sqrt(square) * rNorm));
  }
  return largest;
}

/** ‖D x‖ for a diagonal D. */
function scaledNorm(x: Float64Array, scale: Float64Array): number {
  let sum = 0;
  for (let j = 0; j < x.length; j++) sum += (x[j] * scale[j]) ** 2;
  return Math.sqrt(sum);
}

function sumOfSquares(r: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < r.length; i++) sum += r[i] * r[i];
  return sum;
}

function requireShape(m: number, n: number, startLength: number): void {
  if (!Number.isInteger(m) || !Number.isInteger(n) || m < 1 || n < 1) {
    throw new RangeError(`leastSquares: ${m} residuals and ${n} parameters; at least one of each wanted`);
  }
  if (startLength !== n) throw new RangeError(`leastSquares: ${startLength} starting values for ${n} parameters`);
}
