import { leastSquares } from '../numerics/least-squares.ts';
import { rotationFromVector, vectorFromRotation } from '../numerics/rotation.ts';
import {
  deriveProjectionInto,
  LENS_PARAMETERS,
  type LensParameter,
  leftJacobian,
  projectionDerivatives,
  rotationVectorColumnsInto,
} from './projection-derivatives.ts';
import type { Camera } from './rig.ts';

/** What is fitted beside the pose. 'f' = one focal length for both directions. */
export type FreeLensParameter = 'f' | LensParameter;

export interface CameraFit {
  readonly camera: Camera;
  /** Predicted minus measured, pixels, 2 × n. */
  readonly residuals: Float64Array;
  /** Root mean square distance, pixels, over the n points. */
  readonly rmsPx: number;
  readonly residualSumOfSquares: number;
  /** Free parameters in the order of `covariance`: the lens ones, then rotation vector (3) and translation (3). */
  readonly free: readonly FreeLensParameter[];
  readonly parameterCount: number;
  /** Square, parameterCount wide; scaled by the residual variance. */
  readonly covariance: Float64Array;
  readonly rank: number;
}

/**
 * Pose and the named lens parameters of one camera by least squares on pixels, from `start`.
 *
 * points: 3 × n, metres; pixels: 2 × n; all finite, all in front of `start`. Analytic Jacobian. What is not free stays
 * as in `start`. Throws RangeError where a point lies behind the starting camera.
 */
export function fitCamera(
  start: Camera,
  points: Float64Array,
  pixels: Float64Array,
  free: readonly FreeLensParameter[],
): CameraFit {
  const lensCount = free.length;
  const parameterCount = lensCount + 6;
  const n = pixels.length / 2;
  const derivatives = projectionDerivatives();
  const problem = {
    residualCount: 2 * n,
    parameterCount,
    residualsInto(out: Float64Array, p: Float64Array): void {
      const camera = cameraAt(start, free, p);
      for (let i = 0; i < n; i++) {
        deriveProjectionInto(derivatives, camera, points[3 * i], points[3 * i + 1], points[3 * i + 2]);
        out[2 * i] = derivatives.uv[0] - pixels[2 * i];
        out[2 * i + 1] = derivatives.uv[1] - pixels[2 * i + 1];
      }
    },
    jacobianInto(out: Float64Array, p: Float64Array): void {
      const camera = cameraAt(start, free, p);
      const jl = leftJacobian(p.subarray(lensCount, lensCount + 3));
      for (let i = 0; i < n; i++) {
        deriveProjectionInto(derivatives, camera, points[3 * i], points[3 * i + 1], points[3 * i + 2]);
        rotationVectorColumnsInto(derivatives.pose, jl);
        for (let row = 0; row < 2; row++) {
          const o = (2 * i + row) * parameterCount;
          for (let k = 0; k < lensCount; k++) out[o + k] = lensColumn(derivatives.lens, row, free[k]);
          for (let k = 0; k < 6; k++) out[o + lensCount + k] = derivatives.pose[6 * row + k];
        }
      }
    },
  };
  const found = leastSquares(problem, parametersOf(start, free));
  return {
    camera: cameraAt(start, free, found.parameters),
    residuals: found.residuals,
    rmsPx: Math.sqrt(found.residualSumOfSquares / n),
    residualSumOfSquares: found.residualSumOfSquares,
    free,
    parameterCount,
    covariance: found.covariance,
    rank: found.rank,
  };
}

type PinholeParameter = 'fx' | 'fy' | 'cx' | 'cy' | 'skew';
const DISTORTION_ORDER: readonly FreeLensParameter[] = ['k1', 'k2', 'p1', 'p2', 'k3'];

/** ∂(u or v)/∂(one free lens parameter) out of the 2 × 10 lens derivatives. */
export function lensColumn(lens: Float64Array, row: number, parameter: FreeLensParameter): number {
  if (parameter === 'f') return lens[10 * row] + lens[10 * row + 1];
  return lens[10 * row + LENS_PARAMETERS.indexOf(parameter)];
}

/** Value of a free lens parameter; 'f' is the mean of the two focal lengths. */
export function lensValue(camera: Camera, parameter: FreeLensParameter): number {
  if (parameter === 'f') return 0.5 * (camera.fx + camera.fy);
  const term = DISTORTION_ORDER.indexOf(parameter);
  return term >= 0 ? camera.distortion[term] : camera[parameter as PinholeParameter];
}

/** The camera with its free lens parameters set to values[offset …]. */
export function withLensValues(
  camera: Camera,
  free: readonly FreeLensParameter[],
  values: ArrayLike<number>,
  offset: number,
): Camera {
  const out = { ...camera, distortion: [...camera.distortion] as [number, number, number, number, number] };
  free.forEach((parameter, k) => {
    const value = values[offset + k];
    const term = DISTORTION_ORDER.indexOf(parameter);
    if (parameter === 'f') {
      out.fx = value;
      out.fy = value;
    } else if (term >= 0) out.distortion[term] = value;
    else out[parameter as PinholeParameter] = value;
  });
  return out;
}

function parametersOf(camera: Camera, free: readonly FreeLensParameter[]): Float64Array {
  return Float64Array.of(
    ...free.map((parameter) => lensValue(camera, parameter)),
    ...vectorFromRotation(camera.rotation),
    ...camera.translation,
  );
}

function cameraAt(start: Camera, free: readonly FreeLensParameter[], p: Float64Array): Camera {
  const k = free.length;
  return {
    ...withLensValues(start, free, p, 0),
    rotation: rotationFromVector(p.subarray(k, k + 3)),
    translation: p.slice(k + 3, k + 6),
  };
}
