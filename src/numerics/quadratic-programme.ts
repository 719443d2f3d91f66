import numeric from 'numeric';

/** A strictly convex quadratic programme: least ½ xᵀ D x − dᵀ x under rows of A with A x ≥ b. */
export interface QuadraticProgramme {
  /** D: symmetric, positive definite, row-major, `n × n`. */
  readonly hessian: Float64Array;
  /** d, `n`. */
  readonly linear: Float64Array;
  /** A, row-major, `constraints × n`, and b. */
  readonly rows: Float64Array;
  readonly bounds: Float64Array;
}

/** Constraints may be missed by this share of the size of their terms: rounding of a few operations. */
const TOLERANCE = 1e-9;

/**
 * Writes the solution to `out` (`n`); false where no x fulfils the constraints, and `out` is then not written.
 * Throws a RangeError where a number is not finite or D is not positive definite.
 *
 * Solved by `solveQP` of numeric (dual method of Goldfarb & Idnani 1983). Its version 1.2.6 ends two loops over the active
 * constraints early: with several active it may call a programme inconsistent that is not, or stop at a point that is not the
 * least (tests/numerics/quadratic-programme.test.ts shows both). What it returns is therefore taken only where it fulfils the
 * conditions of Karush, Kuhn and Tucker; else the active sets are tried one by one, which for n = 3 is as quick.
 */
export function quadraticProgramme(out: Float64Array, programme: QuadraticProgramme): boolean {
  const { hessian, linear, rows, bounds } = programme;
  const n = linear.length;
  const all = [hessian, linear, rows, bounds];
  if (!all.every((values) => values.every(Number.isFinite)))
    throw new RangeError('quadratic programme: a number is not finite');
  const inverse = inverseOf(hessian, n);
  const rowOf = (values: Float64Array, row: number, width: number) =>
    Array.from(values.subarray(row * width, (row + 1) * width));
  const D = Array.from({ length: n }, (_, i) => rowOf(hessian, i, n));
  const A = Array.from({ length: n }, (_, j) => Array.from(bounds, (_b, k) => rows[k * n + j]));
  const found = numeric.solveQP(D, Array.from(linear), A, Array.from(bounds));
  const active = found.iact.filter((k): k is number => typeof k === 'number' && k > 0).map((k) => k - 1);
  if (found.message === '' && isSolution(programme, inverse, active, found.solution)) {
    out.set(found.solution);
    return true;
  }
  return byActiveSets(out, programme, inverse);
}

/** Whether x is what the active set gives, fulfils every constraint, and no multiplier is negative. */
function isSolution(
  programme: QuadraticProgramme,
  inverse: Float64Array,
  active: readonly number[],
  x: readonly number[],
): boolean {
  const scratch = new Float64Array(x.length);
  if (!ofActiveSet(scratch, programme, inverse, active)) return false;
  const size = scratch.reduce((largest, value) => Math.max(largest, Math.abs(value)), 1);
  return scratch.every((value, i) => Math.abs(value - x[i]) <= 1e-6 * size);
}

/** Tries active sets, small ones first; the first that fulfils all conditions is the solution, since there is but one. */
function byActiveSets(out: Float64Array, programme: QuadraticProgramme, inverse: Float64Array): boolean {
  const constraints = programme.bounds.length;
  const scratch = new Float64Array(out.length);
  const tried: number[] = [];
  const tryFrom = (first: number, left: number): boolean => {
    if (left === 0) return ofActiveSet(scratch, programme, inverse, tried);
    for (let k = first; k <= constraints - left; k++) {
      tried.push(k);
      const found = tryFrom(k + 1, left - 1);
      tried.pop();
      if (found) return true;
    }
    return false;
  };
  for (let size = 0; size <= Math.min(out.length, constraints); size++) {
    if (!tryFrom(0, size)) continue;
    out.set(scratch);
    return true;
  }
  return false;
}

/**
 * The least point with the constraints of the set fulfilled exactly: x = D⁻¹ (d + Aᵀ λ), (A D⁻¹ Aᵀ) λ = b − A D⁻¹ d. True
 * where every other constraint holds there and no λ is negative.
 */
function ofActiveSet(
  out: Float64Array,
  { linear, rows, bounds }: QuadraticProgramme,
  inverse: Float64Array,
  active: readonly number[],
): boolean {
  const n = linear.length;
  const m = active.length;
  const half = (k: number) => {
    // D⁻¹ times a row of A.
    const column = new Float64Array(n);
    for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) column[i] += inverse[i * n + j] * rows[k * n + j];
    return column;
  };
  const free = new Float64Array(n);
  for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) free[i] += inverse[i * n + j] * linear[j];
  const columns = active.map(half);
  const system = new Float64Array(m * m);
  const lambda = new Float64Array(m);
  for (let a = 0; a < m; a++) {
    lambda[a] = bounds[active[a]];
    for (let j = 0; j < n; j++) {
      lambda[a] -= rows[active[a] * n + j] * free[j];
      for (let b = 0; b < m; b++) system[a * m + b] += rows[active[a] * n + j] * columns[b][j];
    }
  }
  if (!solveInPlace(system, lambda)) return false;
  out.set(free);
  for (let a = 0; a < m; a++) {
    if (lambda[a] < -TOLERANCE * (1 + lambda.reduce((sum, value) => sum + Math.abs(value), 0))) return false;
    for (let i = 0; i < n; i++) out[i] += lambda[a] * columns[a][i];
  }
  for (let k = 0; k < bounds.length; k++) {
    let left = -bounds[k];
    let size = 1 + Math.abs(bounds[k]);
    for (let j = 0; j < n; j++) {
      left += rows[k * n + j] * out[j];
      size += Math.abs(rows[k * n + j] * out[j]);
    }
    if (left < -TOLERANCE * size) return false;
  }
  return true;
}

/** Solves a square system by Gaussian elimination with row exchange, in place; false where it is singular. */
function solveInPlace(matrix: Float64Array, right: Float64Array): boolean {
  const n = right.length;
  const scale = matrix.reduce((largest, value) => Math.max(largest, Math.abs(value)), 0);
  for (let column = 0; column < n; column++) {
    let pivot = column;
    for (let row = column + 1; row < n; row++)
      if (Math.abs(matrix[row * n + column]) > Math.abs(matrix[pivot * n + column])) pivot = row;
    if (!(Math.abs(matrix[pivot * n + column]) > 1e-12 * scale)) return false;
    for (let j = 0; pivot !== column && j < n; j++) {
      const held = matrix[column * n + j];
      matrix[column * n + j] = matrix[pivot * n + j];
      matrix[pivot * n + j] = held;
    }
    [right[column], right[pivot]] = [right[pivot], right[column]];
    for (let row = column + 1; row < n; row++) {
      const share = matrix[row * n + column] / matrix[column * n + column];
      for (let j = column; j < n; j++) matrix[row * n + j] -= share * matrix[column * n + j];
      right[row] -= share * right[column];
    }
  }
  for (let row = n - 1; row >= 0; row--) {
    for (let j = row + 1; j < n; j++) right[row] -= matrix[row * n + j] * right[j];
    right[row] /= matrix[row * n + row];
  }
  return true;
}

/** The inverse by its Cholesky factor. Throws a RangeError where the matrix is not positive definite. */
function inverseOf(matrix: Float64Array, n: number): Float64Array {
  const factor = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i * n + j];
      for (let k = 0; k < j; k++) sum -= factor[i * n + k] * factor[j * n + k];
      if (i === j && !(sum > 0)) throw new RangeError('quadratic programme: the matrix is not positive definite');
      factor[i * n + j] = i === j ? Math.sqrt(sum) : sum / factor[j * n + j];
    }
  }
  const inverse = new Float64Array(n * n);
  const column = new Float64Array(n);
  for (let c = 0; c < n; c++) {
    column.fill(0);
    column[c] = 1;
    for (let i = 0; i < n; i++) {
      for (let k = 0; k < i; k++) column[i] -= factor[i * n + k] * column[k];
      column[i] /= factor[i * n + i];
    }
    for (let i = n - 1; i >= 0; i--) {
      for (let k = i + 1; k < n; k++) column[i] -= factor[k * n + i] * column[k];
      column[i] /= factor[i * n + i];
    }
    for (let i = 0; i < n; i++) inverse[i * n + c] = column[i];
  }
  return inverse;
}
