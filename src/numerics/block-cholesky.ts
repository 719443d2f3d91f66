/*
 * Cholesky factors L Lᵀ of symmetric positive (semi-)definite matrices, row-major, lower triangle, in place at an offset
 * of a larger array (Golub & Van Loan 2013, §4.2). Nothing above the diagonal is read or written.
 */

/**
 * Factors the n × n matrix at a[at …]. A pivot of which no more than `dependence` of the diagonal element is left counts as
 * 0: its column of L is set to 0 (for a semidefinite matrix the rest of that column is 0 too), and the solves below set
 * that unknown to 0. Returns the number of pivots kept; −1 where an element is not finite, or a diagonal one negative.
 */
export function choleskyInPlace(a: Float64Array, at: number, n: number, dependence: number): number {
  let kept = 0;
  for (let j = 0; j < n; j++) {
    const oj = at + j * n;
    const whole = a[oj + j];
    if (!(whole >= 0 && whole < Number.POSITIVE_INFINITY)) return -1;
    let pivot = whole;
    for (let k = 0; k < j; k++) pivot -= a[oj + k] * a[oj + k];
    if (!(pivot > dependence * whole)) {
      for (let i = j; i < n; i++) a[at + i * n + j] = 0;
      continue;
    }
    kept++;
    const root = Math.sqrt(pivot);
    a[oj + j] = root;
    for (let i = j + 1; i < n; i++) {
      const oi = at + i * n;
      let sum = a[oi + j];
      for (let k = 0; k < j; k++) sum -= a[oi + k] * a[oj + k];
      a[oi + j] = sum / root;
    }
  }
  return kept;
}

/** L X = B for `columns` right-hand sides at b[bAt …], row-major n × columns, in place; 0 where the pivot is 0. */
export function solveLowerInPlace(
  l: Float64Array,
  at: number,
  n: number,
  b: Float64Array,
  bAt: number,
  columns: number,
): void {
  for (let i = 0; i < n; i++) {
    const row = bAt + i * columns;
    for (let k = 0; k < i; k++) {
      const factor = l[at + i * n + k];
      if (factor === 0) continue;
      const above = bAt + k * columns;
      for (let c = 0; c < columns; c++) b[row + c] -= factor * b[above + c];
    }
    const pivot = l[at + i * (n + 1)];
    const inverse = pivot > 0 ? 1 / pivot : 0;
    for (let c = 0; c < columns; c++) b[row + c] *= inverse;
  }
}

/** Lᵀ X = B likewise. */
export function solveUpperInPlace(
  l: Float64Array,
  at: number,
  n: number,
  b: Float64Array,
  bAt: number,
  columns: number,
): void {
  for (let i = n - 1; i >= 0; i--) {
    const row = bAt + i * columns;
    for (let k = i + 1; k < n; k++) {
      const factor = l[at + k * n + i];
      if (factor === 0) continue;
      const below = bAt + k * columns;
      for (let c = 0; c < columns; c++) b[row + c] -= factor * b[below + c];
    }
    const pivot = l[at + i * (n + 1)];
    const inverse = pivot > 0 ? 1 / pivot : 0;
    for (let c = 0; c < columns; c++) b[row + c] *= inverse;
  }
}
