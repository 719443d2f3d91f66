import type { LeastSquaresProblem } from './least-squares-problem.ts';

/** Below this a starting value says nothing of the parameter's ordinary size. */
const NEARLY_ZERO = 1e-8;
/** Smallest share of the typical size that sets the step: a start far from the solution must not coarsen it there. */
const TYPICAL_SHARE = 1 / 30;
/** Balances truncation (h²) against rounding (1/h) in a central difference. */
const RELATIVE_STEP = Math.cbrt(Number.EPSILON);

/**
 * A function that writes the Jacobian of `problem` at p by central differences, residualCount × parameterCount row-major.
 * Step: ∛ε · max(|p_j|, typicalSizes_j / 30), with 1 for a typical size below 1e-8. Relative error about 1e-10 for smooth
 * residuals. A side where the residuals are not finite is replaced by the residuals `r` at p (one-sided difference).
 */
export function centralDifferenceJacobianInto(problem: LeastSquaresProblem, typicalSizes: ArrayLike<number>) {
  const { residualCount: m, parameterCount: n } = problem;
  const moved = new Float64Array(n);
  const above = new Float64Array(m);
  const below = new Float64Array(m);
  return (out: Float64Array, p: Float64Array, r: Float64Array): void => {
    moved.set(p);
    for (let j = 0; j < n; j++) {
      const typical = Math.abs(typicalSizes[j]) < NEARLY_ZERO ? 1 : Math.abs(typicalSizes[j]);
      const wanted = RELATIVE_STEP * Math.max(Math.abs(p[j]), TYPICAL_SHARE * typical);
      moved[j] = p[j] + wanted;
      let high = moved[j];
      problem.residualsInto(above, moved);
      moved[j] = p[j] - wanted;
      let low = moved[j];
      problem.residualsInto(below, moved);
      moved[j] = p[j];
      if (!above.every(Number.isFinite)) {
        above.set(r);
        high = p[j];
      }
      if (!below.every(Number.isFinite)) {
        below.set(r);
        low = p[j];
      }
      // high − low is the step as the machine made it.
      const width = high - low;
      for (let i = 0; i < m; i++) out[i * n + j] = width === 0 ? 0 : (above[i] - below[i]) / width;
    }
  };
}
