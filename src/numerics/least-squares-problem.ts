/** A sum of squares to be minimised: m = residualCount functions of n = parameterCount numbers. */
export interface LeastSquaresProblem {
  readonly residualCount: number;
  readonly parameterCount: number;
  /** Writes the residuals at p to `out`. A value that is not finite marks p as out of reach: the step is shortened. */
  residualsInto(out: Float64Array, p: Float64Array): void;
  /** Writes ∂residual/∂parameter, residualCount × parameterCount row-major. Central differences where absent. */
  jacobianInto?(out: Float64Array, p: Float64Array): void;
}
