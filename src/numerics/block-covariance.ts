import { choleskyInPlace, solveLowerInPlace, solveUpperInPlace } from './block-cholesky.ts';
import type { NormalEquations } from './block-normal-equations.ts';
import type { BlockLayout, BlockProblem } from './block-problem.ts';
import { type Reduction, reduceInto } from './block-schur.ts';
import { eigenSymmetric } from './symmetric-eigen.ts';

/** Covariances of a block problem's step parameters for residuals of unit variance. NaN: not determined. */
export interface BlockCovariance {
  /** sharedCount², row-major: inverse of the reduced normal matrix. */
  readonly shared: Float64Array;
  /** Directions that the residuals determine, shared and blocks together. */
  readonly rank: number;
  /** Of one block, size², the uncertainty of the shared parameters included. */
  block(index: number): Float64Array;
  /** Between one block and the shared parameters, size × sharedCount. */
  blockWithShared(index: number): Float64Array;
}

/**
 * A direction counts as not determined where less than this is left of its information when all else is free too
 * (unit: information of each parameter alone). JᵀJ is good to about 1e-15 of that; gauge freedom comes out there.
 */
export const UNDETERMINED = 1e-12;
/** A parameter with more than this of its (unit) direction in the null space is not determined. */
const NULL_SHARE = 1e-8;

/**
 * Covariance from undamped normal equations `eq` (weights of the loss in them; `eq` and `work` are kept), by the Schur complement S: shared S⁻¹;
 * block V⁻¹ + V⁻¹ W S⁻¹ Wᵀ V⁻¹. Null directions of S are found by its eigenvalues and give NaN to the parameters that take
 * part in them, in the blocks too.
 */
export function blockCovariance(
  problem: BlockProblem,
  layout: BlockLayout,
  eq: NormalEquations,
  work: Reduction,
): BlockCovariance {
  const { sharedCount: n, blockSizes } = problem;
  const none = new Float64Array(layout.parameterCount);
  const blockRank = reduceInto(work, problem, layout, eq, 0, none, UNDETERMINED);
  const { shared, inverse, nullVectors, rank } = invertReduced(work.reduced, eq.diagonal, n);
  const { factors, couples } = work;

  const lostShared = Uint8Array.from({ length: n }, (_, k) => (Number.isNaN(shared[k * (n + 1)]) ? 1 : 0));

  /** A block's factor L, its V⁻¹ W (size × footprint; the block follows the shared parameters by its negative), and who is lost. */
  function partsOf(index: number) {
    const size = blockSizes[index];
    const factor = factors.slice(layout.squareAt[index], layout.squareAt[index] + size * size);
    const footprint = layout.footprints[layout.blockFootprint[index]];
    const width = footprint.length;
    const follows = couples.slice(layout.coupleAt[index], layout.coupleAt[index] + size * width);
    solveUpperInPlace(factor, 0, size, follows, 0, width);
    const scale = Float64Array.from({ length: size }, (_, i) => Math.sqrt(eq.diagonal[layout.blockAt[index] + i]));
    const lost = lostParameters(factor, size, scale);
    for (const vector of nullVectors) {
      for (let i = 0; i < size; i++) {
        let moved = 0;
        for (let a = 0; a < width; a++) moved += follows[i * width + a] * vector[footprint[a]];
        if ((moved * scale[i]) ** 2 > NULL_SHARE) lost[i] = 1;
      }
    }
    return { size, factor, footprint, width, follows, lost };
  }

  return {
    shared,
    rank: rank + Math.max(blockRank, 0),
    block(index) {
      const { size, factor, footprint, width, follows, lost } = partsOf(index);
      const out = identity(size);
      solveLowerInPlace(factor, 0, size, out, 0, size);
      solveUpperInPlace(factor, 0, size, out, 0, size);
      for (let i = 0; i < size; i++) {
        for (let a = 0; a < width; a++) {
          const left = follows[i * width + a];
          if (left === 0) continue;
          for (let j = 0; j < size; j++) {
            for (let c = 0; c < width; c++) {
              out[i * size + j] += left * inverse[footprint[a] * n + footprint[c]] * follows[j * width + c];
            }
          }
        }
      }
      return out.map((value, k) => (lost[Math.floor(k / size)] || lost[k % size] ? Number.NaN : value));
    },
    blockWithShared(index) {
      const { size, footprint, width, follows, lost } = partsOf(index);
      const out = new Float64Array(size * n);
      for (let i = 0; i < size; i++) {
        for (let a = 0; a < width; a++) {
          for (let k = 0; k < n; k++) out[i * n + k] -= follows[i * width + a] * inverse[footprint[a] * n + k];
        }
      }
      return out.map((value, k) => (lost[Math.floor(k / n)] || lostShared[k % n] ? Number.NaN : value));
    },
  };
}

/**
 * Inverse of S (lower triangle) with parameters scaled to unit information of their own, `diagonal`. `shared` has NaN at
 * undetermined parameters, `inverse` is the pseudo-inverse; null vectors are in scaled form divided by the scale again,
 * that is in the parameters' units, of unit scaled length.
 */
function invertReduced(reduced: Float64Array, diagonal: Float64Array, n: number) {
  const scale = Float64Array.from({ length: n }, (_, i) => (diagonal[i] > 0 ? Math.sqrt(diagonal[i]) : 1));
  const scaled = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      scaled[i * n + j] = reduced[i * n + j] / (scale[i] * scale[j]);
      scaled[j * n + i] = scaled[i * n + j];
    }
  }
  const inverse = new Float64Array(n * n);
  const quick = quickInverse(scaled, n);
  const nullVectors: Float64Array[] = [];
  const lost = new Uint8Array(n);
  if (quick !== null) inverse.set(quick);
  else if (n > 0 && scaled.every(Number.isFinite)) {
    const { values, vectors } = eigenSymmetric(scaled, n);
    const shares = new Float64Array(n);
    for (let k = 0; k < n; k++) {
      const determined = values[k] > UNDETERMINED;
      if (!determined) nullVectors.push(Float64Array.from({ length: n }, (_, i) => vectors[i * n + k] / scale[i]));
      for (let i = 0; i < n; i++) {
        if (!determined) shares[i] += vectors[i * n + k] ** 2;
        else {
          const part = vectors[i * n + k] / values[k];
          for (let j = 0; j < n; j++) inverse[i * n + j] += part * vectors[j * n + k];
        }
      }
    }
    for (let i = 0; i < n; i++) if (shares[i] > NULL_SHARE) lost[i] = 1;
  } else lost.fill(1);
  for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) inverse[i * n + j] /= scale[i] * scale[j];
  const shared = inverse.map((value, at) => (lost[Math.floor(at / n)] || lost[at % n] ? Number.NaN : value));
  return { shared, inverse, nullVectors, rank: n - nullVectors.length };
}

/** Trace of the inverse below which no eigenvalue can be near UNDETERMINED: least eigenvalue ≥ 1 / trace. */
const SAFE_TRACE = 1e9;

/** The inverse by Cholesky where it is safely of full rank, else null. */
function quickInverse(scaled: Float64Array, n: number): Float64Array | null {
  const factor = scaled.slice();
  if (choleskyInPlace(factor, 0, n, UNDETERMINED) < n) return null;
  const inverse = identity(n);
  solveLowerInPlace(factor, 0, n, inverse, 0, n);
  solveUpperInPlace(factor, 0, n, inverse, 0, n);
  let trace = 0;
  for (let i = 0; i < n; i++) trace += inverse[i * (n + 1)];
  return trace <= SAFE_TRACE ? inverse : null;
}

/** Parameters of a block that take part in a direction its own factor has no pivot for. */
function lostParameters(factor: Float64Array, size: number, scale: Float64Array): Uint8Array {
  const lost = new Uint8Array(size);
  for (let k = 0; k < size; k++) {
    if (factor[k * (size + 1)] > 0) continue;
    // The null vector with 1 at k: Lᵀ x = 0, so the parameters before k follow.
    const vector = new Float64Array(size);
    vector[k] = 1;
    for (let i = k - 1; i >= 0; i--) {
      if (!(factor[i * (size + 1)] > 0)) continue;
      let sum = 0;
      for (let j = i + 1; j < size; j++) sum += factor[j * size + i] * vector[j];
      vector[i] = -sum / factor[i * (size + 1)];
    }
    const largest = Math.max(...vector.map((x, i) => Math.abs(x * (scale[i] || 1))));
    for (let i = 0; i < size; i++) if ((vector[i] * (scale[i] || 1)) ** 2 > NULL_SHARE * largest ** 2) lost[i] = 1;
  }
  return lost;
}

function identity(n: number): Float64Array {
  const out = new Float64Array(n * n);
  for (let i = 0; i < n; i++) out[i * (n + 1)] = 1;
  return out;
}
