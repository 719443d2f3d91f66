import { type PackedCameras, packCameras } from '../cameras/packed-cameras.ts';
import type { Camera } from '../cameras/rig.ts';

/**
 * The point nearest to the rays is trusted as a start where its images lie within this share of the focal length of where
 * they were seen (about half a degree, rms); views that disagree by more start from the linear solution. Common practice, no source.
 */
const NEAR_START_SHARE = 0.01;

/**
 * One point seen by any number of cameras: its input, its result and the scratch of the solver, allocated once.
 * The caller writes `pixel`, `use` and `weight`; `triangulatePoint` writes the rest. The cameras are read when it is made.
 */
export interface PointProblem {
  readonly cameras: readonly Camera[];
  /** 2 × views, px. */
  readonly pixel: Float64Array;
  /** One a view: 1 = take this view. Views whose lens cannot be inverted at the pixel are passed over. */
  readonly use: Uint8Array;
  /** Inverse variance of each view's pixels relative to the others; all 1 unless the caller knows better. */
  readonly weight: Float64Array;

  /** x, y, z, metres, in the rig's world. */
  readonly position: Float64Array;
  /** (JᵀWJ)⁻¹, m²/px², upper triangle xx xy xz yy yz zz: times the pixel variance it is the covariance. */
  readonly cofactor: Float64Array;
  /** Squared reprojection distance of each view, px²; NaN for a view not taken. */
  readonly squaredResidual: Float64Array;
  /** [weighted sum of squared residuals px², views taken, degrees of freedom 2 · views − 3]. */
  readonly summary: Float64Array;

  readonly packed: PackedCameras;
  /** px²: the sum of squares below which a start is near, for unit weights. */
  readonly nearStartSquared: number;
  /** Normalised image coordinates, 2 × views; ray directions in the world with their squared lengths, 4 × views. */
  readonly ray: Float64Array;
  readonly direction: Float64Array;
  readonly taken: Uint8Array;
  readonly normal: Float64Array;
  readonly homogeneous: Float64Array;
  readonly gradient: Float64Array;
  readonly step: Float64Array;
  /** Signed residuals, 2 × views, px, and Jacobians of the images, 6 × views, px/m. */
  readonly residual: Float64Array;
  readonly jacobian: Float64Array;
}

export function pointProblem(cameras: readonly Camera[]): PointProblem {
  const views = cameras.length;
  const shortestFocalPx = cameras.reduce((least, { fx, fy }) => Math.min(least, fx, fy), Number.POSITIVE_INFINITY);
  return {
    cameras,
    pixel: new Float64Array(2 * views),
    use: new Uint8Array(views).fill(1),
    weight: new Float64Array(views).fill(1),
    position: new Float64Array(3),
    cofactor: new Float64Array(6),
    squaredResidual: new Float64Array(views),
    summary: new Float64Array(3),
    packed: packCameras(cameras),
    nearStartSquared: (NEAR_START_SHARE * shortestFocalPx) ** 2,
    ray: new Float64Array(2 * views),
    direction: new Float64Array(4 * views),
    taken: new Uint8Array(views),
    normal: new Float64Array(16),
    homogeneous: new Float64Array(4),
    gradient: new Float64Array(3),
    step: new Float64Array(3),
    residual: new Float64Array(2 * views),
    jacobian: new Float64Array(6 * views),
  };
}
