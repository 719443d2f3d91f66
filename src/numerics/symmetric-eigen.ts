/*
 * Eigenvalues and vectors of real symmetric matrices by cyclic Jacobi rotations (Jacobi 1846; Rutishauser 1966,
 * Numer. Math. 9:1–10; Golub & Van Loan 2013 §8.5). An off-diagonal element counts as zero when it is below rounding
 * against the geometric mean of its two diagonal elements: on positive definite matrices small eigenvalues then keep
 * relative accuracy (Demmel & Veselić 1992).
 */

const MAX_SWEEPS = 60;
const ROUNDING_SQUARED = 2 ** -106;
const NEGLIGIBLE = 1e-290;

/**
 * All eigenvalues (ascending) and unit eigenvectors of the symmetric n × n row-major matrix `a` (its lower triangle is
 * not read). vectors: n × n row-major, column k belongs to values[k]; signs are arbitrary. RangeError when not finite.
 */
export function eigenSymmetric(a: ArrayLike<number>, n: number): { values: Float64Array; vectors: Float64Array } {
  if (a.length !== n * n) throw new RangeError(`eigenSymmetric: ${a.length} elements, ${n} × ${n} wanted`);
  const work = Float64Array.from(a);
  if (!work.every(Number.isFinite))
    throw new RangeError('eigenSymmetric: the matrix has an element that is not finite');
  const rotations = new Float64Array(n * n);
  diagonalise(work, rotations, n);

  const order = Array.from({ length: n }, (_, k) => k).sort((i, j) => work[i * n + i] - work[j * n + j]);
  const values = new Float64Array(n);
  const vectors = new Float64Array(n * n);
  order.forEach((from, to) => {
    values[to] = work[from * n + from];
    for (let i = 0; i < n; i++) vectors[i * n + to] = rotations[i * n + from];
  });
  return { values, vectors };
}

const work4 = new Float64Array(16);
const rotations4 = new Float64Array(16);

/**
 * The unit eigenvector of the smallest eigenvalue of a symmetric 4 × 4 row-major matrix (its lower triangle is not
 * read), written to out[outOffset …+4]; returns that eigenvalue. The null direction of a homogeneous linear system
 * A x = 0 is that of AᵀA. Allocates nothing. Sign arbitrary. An element that is not finite gives NaN throughout.
 */
export function smallestEigenvector4Into(out: Float64Array, outOffset: number, a: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < 16; i++) {
    work4[i] = a[i];
    sum += Math.abs(a[i]);
  }
  if (!(sum < Number.POSITIVE_INFINITY)) {
    for (let i = 0; i < 4; i++) out[outOffset + i] = Number.NaN;
    return Number.NaN;
  }
  diagonalise(work4, rotations4, 4);
  let smallest = 0;
  for (let k = 1; k < 4; k++) if (work4[5 * k] < work4[5 * smallest]) smallest = k;
  for (let i = 0; i < 4; i++) out[outOffset + i] = rotations4[4 * i + smallest];
  return work4[5 * smallest];
}

/** Rotates the upper triangle of `a` to diagonal form in place; `v` becomes the product of the rotations. */
function diagonalise(a: Float64Array, v: Float64Array, n: number): void {
  v.fill(0);
  for (let i = 0; i < n; i++) v[i * n + i] = 1;
  for (let sweep = 0; sweep < MAX_SWEEPS; sweep++) {
    let rotated = false;
    for (let p = 0; p < n - 1; p++) {
      for (let q = p + 1; q < n; q++) {
        const off = a[p * n + q];
        const app = a[p * n + p];
        const aqq = a[q * n + q];
        if (off * off <= ROUNDING_SQUARED * Math.abs(app * aqq) || Math.abs(off) < NEGLIGIBLE) continue;
        rotated = true;
        const ratio = (aqq - app) / (2 * off);
        const t = (ratio < 0 ? -1 : 1) / (Math.abs(ratio) + Math.sqrt(1 + ratio * ratio));
        const c = 1 / Math.sqrt(1 + t * t);
        const s = t * c;
        a[p * n + p] = app - t * off;
        a[q * n + q] = aqq + t * off;
        a[p * n + q] = 0;
        for (let k = 0; k < n; k++) {
          if (k !== p && k !== q) {
            const kp = k < p ? k * n + p : p * n + k;
            const kq = k < q ? k * n + q : q * n + k;
            const x = a[kp];
            const y = a[kq];
            a[kp] = c * x - s * y;
            a[kq] = s * x + c * y;
          }
          const vp = v[k * n + p];
          const vq = v[k * n + q];
          v[k * n + p] = c * vp - s * vq;
          v[k * n + q] = s * vp + c * vq;
        }
      }
    }
    if (!rotated) return;
  }
}
