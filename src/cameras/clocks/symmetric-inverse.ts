/** A column that the others explain to one part in this is not determined. */
const DEPENDENT = 1e-8;

/** Inverse by Gauss–Jordan on the scaled matrix, largest diagonal first; NaN in the rows of columns that depend on others. */
export function symmetricInverse(matrix: Float64Array, p: number): Float64Array {
  const scale = Float64Array.from({ length: p }, (_, j) => Math.sqrt(matrix[j * p + j]));
  const work = new Float64Array(p * p);
  for (let j = 0; j < p; j++) {
    for (let k = 0; k < p; k++)
      work[j * p + k] = scale[j] > 0 && scale[k] > 0 ? matrix[j * p + k] / (scale[j] * scale[k]) : 0;
  }
  const done = new Uint8Array(p);
  for (let step = 0; step < p; step++) {
    let pivot = -1;
    for (let j = 0; j < p; j++) if (!done[j] && (pivot < 0 || work[j * p + j] > work[pivot * p + pivot])) pivot = j;
    if (!(work[pivot * p + pivot] > DEPENDENT)) break;
    done[pivot] = 1;
    sweep(work, pivot, p);
  }
  // What hangs on a column that is not determined is not determined either.
  const free = Array.from(
    done,
    (one, j) => one === 1 && !done.some((other, k) => !other && Math.abs(work[j * p + k]) > 1e-6),
  );
  const inverse = new Float64Array(p * p);
  for (let j = 0; j < p; j++) {
    for (let k = 0; k < p; k++) {
      inverse[j * p + k] = free[j] && free[k] ? -work[j * p + k] / (scale[j] * scale[k]) : Number.NaN;
    }
  }
  return inverse;
}

/** Sweep operator (Goodnight 1979, Am. Stat. 33:149–158): after sweeping all, the matrix is minus its inverse. */
function sweep(a: Float64Array, pivot: number, p: number): void {
  const d = a[pivot * p + pivot];
  for (let j = 0; j < p; j++) {
    if (j === pivot) continue;
    const factor = a[j * p + pivot] / d;
    for (let k = 0; k < p; k++) if (k !== pivot) a[j * p + k] -= factor * a[pivot * p + k];
  }
  for (let j = 0; j < p; j++) {
    if (j === pivot) continue;
    a[j * p + pivot] /= d;
    a[pivot * p + j] /= d;
  }
  a[pivot * p + pivot] = -1 / d;
}
