import { vectorFromRotation } from '../numerics/rotation.ts';
import { eigenSymmetric } from '../numerics/symmetric-eigen.ts';
import type { CameraFit } from './fit-camera.ts';
import { type Pose, turned } from './pose.ts';
import { leftJacobian } from './projection-derivatives.ts';
import type { Camera } from './rig.ts';

/** Names and covariance of camera parameters as in BundleSolution: square, row-major, NaN where not determined. */
export interface CameraCovariance {
  readonly parameters: readonly string[];
  readonly covariance: Float64Array;
}

/** Names of a camera's pose parameters: a small turn δ (rad, R becomes exp(δ) R) and the translation (m). */
export const POSE_PARAMETERS = [
  'turn_x',
  'turn_y',
  'turn_z',
  'translation_x',
  'translation_y',
  'translation_z',
] as const;

/** Positions of the six pose parameters of one camera, or null where its pose was held. */
export function poseAt(parameters: readonly string[], camera: string): number[] | null {
  const at = POSE_PARAMETERS.map((name) => parameters.indexOf(`${camera}.${name}`));
  return at.some((position) => position < 0) ? null : at;
}

/** The square block of `covariance` at the given positions, row-major. */
export function blockOf(covariance: ArrayLike<number>, width: number, at: readonly number[]): Float64Array {
  return Float64Array.from({ length: at.length ** 2 }, (_, k) => {
    const row = Math.floor(k / at.length);
    return covariance[at[row] * width + at[k % at.length]];
  });
}

/**
 * Covariance of the camera's centre C = −Rᵀ t, 3 × 3, m², from that of its turn δ and translation (6 × 6):
 * R → exp(δ) R gives dC = Rᵀ (δ × t) − Rᵀ dt.
 */
export function centreCovariance({ rotation: r, translation: t }: Pose, pose: Float64Array): Float64Array {
  const jacobian = new Float64Array(18);
  for (let axis = 0; axis < 3; axis++) {
    const row = [r[axis], r[3 + axis], r[6 + axis]];
    // Rᵀ (δ × t) = (t × row) · δ for the row of Rᵀ.
    jacobian[6 * axis] = t[1] * row[2] - t[2] * row[1];
    jacobian[6 * axis + 1] = t[2] * row[0] - t[0] * row[2];
    jacobian[6 * axis + 2] = t[0] * row[1] - t[1] * row[0];
    for (let k = 0; k < 3; k++) jacobian[6 * axis + 3 + k] = -row[k];
  }
  return transformed(jacobian, 3, pose, 6);
}

/** Standard deviation along the worst direction of a 3 × 3 covariance; NaN where it is not determined. */
export function largestSd(covariance: Float64Array): number {
  if (!covariance.every(Number.isFinite)) return Number.NaN;
  return Math.sqrt(Math.max(0, ...eigenSymmetric(covariance, 3).values));
}

/**
 * The covariance of cameras in the bundle's frame, for poses in the rig's world. With worldFromBundle = (W, w):
 *
 *   R' = R Wᵀ,  t' = t − R' w;   R → exp(δ) R gives  δ' = δ,  dt' = dt + (t − t') × δ.
 *
 * Lens and clock parameters stay as they are. The placing itself is taken as exact: how well the vertical is known stands
 * apart (MeasuredQuality.vertical). `cameras` are those of the bundle.
 */
export function covarianceInWorld(
  { parameters, covariance }: CameraCovariance,
  cameras: readonly Camera[],
  worldFromBundle: Pose,
): CameraCovariance {
  const n = parameters.length;
  const jacobian = new Float64Array(n * n);
  for (let i = 0; i < n; i++) jacobian[i * n + i] = 1;
  for (const camera of cameras) {
    const at = poseAt(parameters, camera.name);
    if (at === null) continue;
    // t − t' = R Wᵀ w
    const [x, y, z] = turned(camera.rotation, transposedTurn(worldFromBundle));
    const cross = [0, -z, y, z, 0, -x, -y, x, 0];
    for (let a = 0; a < 3; a++) for (let b = 0; b < 3; b++) jacobian[at[3 + a] * n + at[b]] = cross[3 * a + b];
  }
  return { parameters, covariance: transformed(jacobian, n, covariance, n) };
}

/** Wᵀ w. */
function transposedTurn({ rotation: w, translation: t }: Pose): Float64Array {
  return Float64Array.from({ length: 3 }, (_, i) => w[i] * t[0] + w[3 + i] * t[1] + w[6 + i] * t[2]);
}

/**
 * Covariance of one camera fitted alone (fitCamera), for the turn δ in place of the rotation vector: δ = Jₗ dω.
 * 'f' stands for the one focal length of both directions.
 */
export function covarianceOfFit(fit: CameraFit): CameraCovariance {
  const n = fit.parameterCount;
  const lens = fit.free.length;
  const jacobian = new Float64Array(n * n);
  for (let i = 0; i < n; i++) jacobian[i * n + i] = 1;
  const jl = leftJacobian(vectorFromRotation(fit.camera.rotation));
  for (let a = 0; a < 3; a++) for (let b = 0; b < 3; b++) jacobian[(lens + a) * n + lens + b] = jl[3 * a + b];
  return {
    parameters: [...fit.free, ...POSE_PARAMETERS].map((name) => `${fit.camera.name}.${name}`),
    covariance: transformed(jacobian, n, fit.covariance, n),
  };
}

/** Independent blocks as one covariance. */
export function sideBySide(blocks: readonly CameraCovariance[]): CameraCovariance {
  const n = blocks.reduce((sum, block) => sum + block.parameters.length, 0);
  const covariance = new Float64Array(n * n);
  let first = 0;
  for (const block of blocks) {
    const width = block.parameters.length;
    for (let i = 0; i < width; i++) {
      for (let j = 0; j < width; j++) covariance[(first + i) * n + first + j] = block.covariance[i * width + j];
    }
    first += width;
  }
  return { parameters: blocks.flatMap((block) => block.parameters), covariance };
}

/** J C Jᵀ, rows × rows, of a covariance C (width × width). Zeros of J keep NaN of C out of rows that do not use it. */
export function transformed(
  jacobian: ArrayLike<number>,
  rows: number,
  covariance: ArrayLike<number>,
  width: number,
): Float64Array {
  const half = new Float64Array(rows * width);
  for (let i = 0; i < rows; i++) {
    for (let k = 0; k < width; k++) {
      const factor = jacobian[i * width + k];
      if (factor === 0) continue;
      for (let j = 0; j < width; j++) half[i * width + j] += factor * covariance[k * width + j];
    }
  }
  const out = new Float64Array(rows * rows);
  for (let i = 0; i < rows; i++) {
    for (let j = 0; j < rows; j++) {
      let sum = 0;
      for (let k = 0; k < width; k++) {
        const factor = jacobian[j * width + k];
        if (factor !== 0) sum += half[i * width + k] * factor;
      }
      out[i * rows + j] = sum;
    }
  }
  return out;
}
