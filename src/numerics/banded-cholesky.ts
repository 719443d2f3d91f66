/*
 * L D Lᵀ factors of a symmetric positive definite band matrix (Golub & Van Loan 2013, §4.3). Layout: row i holds
 * a[i·(half + 1) + k] = A[i][i − k], k = 0 … half; elements left of the first column are ignored.
 */

/** Factors in place: afterwards k = 0 holds 1 / D[i], k > 0 holds L[i][i − k]. False where a pivot is not above 0. */
export function factorBandedInPlace(a: Float64Array, size: number, half: number): boolean {
  const width = half + 1;
  for (let i = 0; i < size; i++) {
    const row = i * width;
    let pivot = a[row];
    // Columns j = i − k from left to right: first A[i][j] less what earlier columns explain is L[i][j] D[j].
    for (let k = Math.min(half, i); k >= 1; k--) {
      const j = i - k;
      let sum = a[row + k];
      for (let e = k + 1; e <= half && e <= i; e++) {
        if (e - k > half) break;
        sum -= a[row + e] * a[j * width + (e - k)];
      }
      a[row + k] = sum;
    }
    for (let k = Math.min(half, i); k >= 1; k--) {
      const scaled = a[row + k] * a[(i - k) * width];
      pivot -= a[row + k] * scaled;
      a[row + k] = scaled;
    }
    if (!(pivot > 0)) return false;
    a[row] = 1 / pivot;
  }
  return true;
}

/** Solves A x = b in place, from the factors. */
export function solveBandedInPlace(x: Float64Array, a: Float64Array, size: number, half: number): void {
  const { min } = Math;
  const width = half + 1;
  for (let i = 0; i < size; i++) {
    const row = i * width;
    const most = min(i, half);
    let sum = x[i];
    for (let k = most; k >= 1; k--) sum -= a[row + k] * x[i - k];
    x[i] = sum;
  }
  for (let i = size - 1; i >= 0; i--) {
    let sum = x[i] * a[i * width];
    const most = min(size - 1 - i, half);
    for (let k = most; k >= 1; k--) sum -= a[(i + k) * width + k] * x[i + k];
    x[i] = sum;
  }
}
