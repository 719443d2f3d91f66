import { Matrix, QrDecomposition, SingularValueDecomposition } from 'ml-matrix';

/**
 * Direct linear transformation (Abdel-Aziz & Karara 1971):
 *
 *   u = (L1 x + L2 y + L3 z + L4) / (L9 x + L10 y + L11 z + 1)
 *   v = (L5 x + L6 y + L7 z + L8) / (L9 x + L10 y + L11 z + 1)
 *
 * Points are 3 × n interleaved, pixels 2 × n interleaved, both complete (no NaN); n ≥ 6.
 */
export interface HomogeneousDlt {
  /** The 3 × 4 projection matrix, row-major, of unit norm in normalised coordinates; its sign is free. */
  readonly matrix: Float64Array;
  /** Singular values of the normalised design matrix, largest first; the 11th tells whether the solution is determined. */
  readonly singularValues: Float64Array;
}

/**
 * Twelve homogeneous parameters by the singular vector of the smallest singular value, in normalised coordinates
 * (Hartley 1997, "In defense of the eight-point algorithm"). Differs from Hartley in the scale: coordinates are divided
 * by the standard deviation of all of them together (about their own column means), as in the published cube example
 * (tests/references/cameras-dlt-cube.json), instead of by the mean distance over √2 or √3.
 */
export function dltHomogeneous(points: Float64Array, pixels: Float64Array): HomogeneousDlt {
  const n = pixels.length / 2;
  const world = normalisation(points, 3);
  const image = normalisation(pixels, 2);
  const design = new Matrix(2 * n, 12);
  for (let i = 0; i < n; i++) {
    const x = (points[3 * i] - world.mean[0]) / world.scale;
    const y = (points[3 * i + 1] - world.mean[1]) / world.scale;
    const z = (points[3 * i + 2] - world.mean[2]) / world.scale;
    const u = (pixels[2 * i] - image.mean[0]) / image.scale;
    const v = (pixels[2 * i + 1] - image.mean[1]) / image.scale;
    design.setRow(2 * i, [x, y, z, 1, 0, 0, 0, 0, -u * x, -u * y, -u * z, -u]);
    design.setRow(2 * i + 1, [0, 0, 0, 0, x, y, z, 1, -v * x, -v * y, -v * z, -v]);
  }
  const svd = new SingularValueDecomposition(design, { autoTranspose: true });
  const v = svd.rightSingularVectors.getColumn(11);
  return { matrix: denormalise(v, world, image), singularValues: Float64Array.from(svd.diagonal) };
}

/** L1 … L11 of a projection matrix: divided by its last element, which must not vanish (world origin at zero depth). */
export function dltCoefficients(matrix: ArrayLike<number>): Float64Array {
  return Float64Array.from({ length: 11 }, (_, i) => matrix[i] / matrix[11]);
}

/** The projection matrix, 3 × 4 row-major, of L1 … L11. */
export function dltMatrix(coefficients: ArrayLike<number>): Float64Array {
  return Float64Array.from({ length: 12 }, (_, i) => (i === 11 ? 1 : coefficients[i]));
}

/**
 * L1 … L11 by plain linear least squares, as first published: no normalisation, L12 = 1. Another estimator than
 * `dltHomogeneous`, kept for comparison with published coefficients.
 */
export function dltLinear(points: Float64Array, pixels: Float64Array): Float64Array {
  const n = pixels.length / 2;
  const design = new Matrix(2 * n, 11);
  for (let i = 0; i < n; i++) {
    const [x, y, z] = points.subarray(3 * i, 3 * i + 3);
    const [u, v] = pixels.subarray(2 * i, 2 * i + 2);
    design.setRow(2 * i, [x, y, z, 1, 0, 0, 0, 0, -u * x, -u * y, -u * z]);
    design.setRow(2 * i + 1, [0, 0, 0, 0, x, y, z, 1, -v * x, -v * y, -v * z]);
  }
  // Columns differ by factors of a thousand and more; equal column norms keep the QR decomposition accurate.
  const norms = Float64Array.from({ length: 11 }, (_, c) => Math.hypot(...design.getColumn(c)));
  for (let c = 0; c < 11; c++) design.mulColumn(c, 1 / norms[c]);
  const solution = new QrDecomposition(design).solve(Matrix.columnVector(Array.from(pixels)));
  return Float64Array.from({ length: 11 }, (_, c) => solution.get(c, 0) / norms[c]);
}

/** Pixels of world points under L1 … L11 (or a 3 × 4 matrix of 12), 2 × n interleaved. */
export function dltProject(coefficients: ArrayLike<number>, points: Float64Array): Float64Array {
  const l = coefficients;
  const last = l.length === 12 ? l[11] : 1;
  const n = points.length / 3;
  const pixels = new Float64Array(2 * n);
  for (let i = 0; i < n; i++) {
    const [x, y, z] = points.subarray(3 * i, 3 * i + 3);
    const w = l[8] * x + l[9] * y + l[10] * z + last;
    pixels[2 * i] = (l[0] * x + l[1] * y + l[2] * z + l[3]) / w;
    pixels[2 * i + 1] = (l[4] * x + l[5] * y + l[6] * z + l[7]) / w;
  }
  return pixels;
}

/**
 * The world point seen at pixels (u, v) by two or more cameras with coefficients L1 … L11 (or 12), by the singular
 * vector of the smallest singular value of the homogeneous equations. Unit of the coefficients' world.
 */
export function dltPoint(coefficients: readonly ArrayLike<number>[], pixels: ArrayLike<number>): Float64Array {
  const design = new Matrix(2 * coefficients.length, 4);
  coefficients.forEach((l, c) => {
    const last = l.length === 12 ? l[11] : 1;
    const [u, v] = [pixels[2 * c], pixels[2 * c + 1]];
    design.setRow(2 * c, [l[0] - u * l[8], l[1] - u * l[9], l[2] - u * l[10], l[3] - u * last]);
    design.setRow(2 * c + 1, [l[4] - v * l[8], l[5] - v * l[9], l[6] - v * l[10], l[7] - v * last]);
  });
  const x = new SingularValueDecomposition(design).rightSingularVectors.getColumn(3);
  return Float64Array.of(x[0] / x[3], x[1] / x[3], x[2] / x[3]);
}

interface Normalisation {
  readonly mean: Float64Array;
  readonly scale: number;
}

function normalisation(values: Float64Array, columns: number): Normalisation {
  const n = values.length / columns;
  const mean = new Float64Array(columns);
  for (let i = 0; i < values.length; i++) mean[i % columns] += values[i] / n;
  let all = 0;
  for (let i = 0; i < values.length; i++) all += values[i] / values.length;
  // "The standard deviation of ALL coordinates": about their grand mean, as the published example computes it.
  let squares = 0;
  for (let i = 0; i < values.length; i++) squares += (values[i] - all) ** 2;
  return { mean, scale: Math.sqrt(squares / values.length) };
}

/** P = T_image⁻¹ P_normalised T_world. */
function denormalise(v: readonly number[], world: Normalisation, image: Normalisation): Float64Array {
  const p = new Float64Array(12);
  for (let row = 0; row < 3; row++) {
    let offset = v[4 * row + 3];
    for (let c = 0; c < 3; c++) {
      p[4 * row + c] = v[4 * row + c] / world.scale;
      offset -= (v[4 * row + c] * world.mean[c]) / world.scale;
    }
    p[4 * row + 3] = offset;
  }
  for (let c = 0; c < 4; c++) {
    p[c] = image.scale * p[c] + image.mean[0] * p[8 + c];
    p[4 + c] = image.scale * p[4 + c] + image.mean[1] * p[8 + c];
  }
  return p;
}
