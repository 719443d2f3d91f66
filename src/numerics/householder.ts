/*
 * QR decomposition of row-major matrices, in place, by Householder reflections (Golub & Van Loan 2013, alg. 5.2.1, applied
 * row by row). A right-hand side appended as the last column becomes Qᵀ b. `workspace` holds `columns` numbers.
 */

/** Brings a rows × columns matrix to its upper triangle R; below the diagonal is left 0. */
export function triangulariseInPlace(a: Float64Array, rows: number, columns: number, workspace: Float64Array): void {
  const pivots = Math.min(rows - 1, columns);
  for (let k = 0; k < pivots; k++) reflectColumn(a, rows, columns, k, k, workspace);
}

/**
 * Brings a rows × columns matrix to row echelon form over its first `candidates` columns: a column of which no more than
 * `dependence` of its norm is left beside the columns before it is marked in `held` (1) and gets no row of its own. Returns
 * the number of columns not held, which is the number of rows in use.
 */
export function echelonInPlace(
  a: Float64Array,
  rows: number,
  columns: number,
  candidates: number,
  dependence: number,
  held: Uint8Array,
  workspace: Float64Array,
): number {
  const whole = new Float64Array(candidates);
  for (let k = 0; k < candidates; k++) whole[k] = columnNorm(a, rows, columns, 0, k);
  let row = 0;
  for (let k = 0; k < candidates; k++) {
    const rest = row < rows ? columnNorm(a, rows, columns, row, k) : 0;
    held[k] = rest <= dependence * whole[k] ? 1 : 0;
    if (held[k]) continue;
    reflectColumn(a, rows, columns, row, k, workspace);
    row++;
  }
  return row;
}

function columnNorm(a: Float64Array, rows: number, columns: number, from: number, k: number): number {
  let square = 0;
  for (let i = from; i < rows; i++) square += a[i * columns + k] ** 2;
  return Math.sqrt(square);
}

/** Reflects rows from `row` on so that column k vanishes below `row`; columns after k go along. */
function reflectColumn(
  a: Float64Array,
  rows: number,
  columns: number,
  row: number,
  k: number,
  workspace: Float64Array,
): void {
  let largest = 0;
  for (let i = row; i < rows; i++) largest = Math.max(largest, Math.abs(a[i * columns + k]));
  if (largest === 0) return;
  let square = 0;
  for (let i = row; i < rows; i++) {
    a[i * columns + k] /= largest;
    square += a[i * columns + k] ** 2;
  }
  const pivot = a[row * columns + k];
  const norm = pivot > 0 ? -Math.sqrt(square) : Math.sqrt(square);
  const head = pivot - norm;
  a[row * columns + k] = head;
  // H = I − β v vᵀ: the products vᵀ A of all columns in one run over the rows.
  const beta = -1 / (norm * head);
  workspace.fill(0, k + 1, columns);
  for (let i = row; i < rows; i++) {
    const v = a[i * columns + k];
    if (v === 0) continue;
    for (let j = k + 1; j < columns; j++) workspace[j] += v * a[i * columns + j];
  }
  for (let i = row; i < rows; i++) {
    const v = beta * a[i * columns + k];
    a[i * columns + k] = 0;
    if (v === 0) continue;
    for (let j = k + 1; j < columns; j++) a[i * columns + j] -= v * workspace[j];
  }
  a[row * columns + k] = norm * largest;
}
