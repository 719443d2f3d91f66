import type { FreeLensParameter } from './fit-camera.ts';
import type { Pose } from './pose.ts';
import type { Camera } from './rig.ts';

/** Something seen by several cameras at one moment, whose place is fitted. All lengths in metres, in the bundle's frame. */
export type BundleTarget =
  /** A board or frame: `points` 3 × n in its own frame; `start` is bundleFromTarget. */
  | { readonly kind: 'rigid'; readonly label: string; readonly points: Float64Array; readonly start: Pose }
  /** A point free in space. */
  | { readonly kind: 'point'; readonly label: string; readonly start: Float64Array }
  /** Two ends (points 0 and 1) at a measured distance; `start` holds both, 6 numbers. */
  | {
      readonly kind: 'rod';
      readonly label: string;
      readonly start: Float64Array;
      readonly lengthM: number;
      /** Scatter of the distance from moment to moment (whip, play), metres; > 0. What all moments share is not in here. */
      readonly lengthSdM: number;
    }
  /** Points whose place is known and held: control points. 3 × n. */
  | { readonly kind: 'known'; readonly label: string; readonly points: Float64Array };

/** Image points, n of them, one array a column. */
export interface BundleObservations {
  readonly camera: Int32Array;
  readonly target: Int32Array;
  /** Index of the point within its target. */
  readonly point: Int32Array;
  /** 2 × n, px. */
  readonly pixel: Float64Array;
  /** Standard deviation of u and of v, px; null = 1 for all. */
  readonly sdPx: Float64Array | null;
  /** Image velocity of the point, 2 × n, px/s; needed where a clock is free, else null. */
  readonly velocity: Float64Array | null;
  /** Time of the observation on the common clock, seconds; needed where a drift is free, else null. */
  readonly timeS: Float64Array | null;
}

/** What is free beside the targets, per camera. */
export interface BundleCamera {
  /** Start values; bundleFromCamera pose as in every Camera (cameraFromWorld, world = the bundle's frame). */
  readonly camera: Camera;
  /** false = the pose is held (of at least one camera, unless known targets fix the frame). */
  readonly poseFree: boolean;
  readonly lensFree: readonly FreeLensParameter[];
  /** Lens known from elsewhere: Gaussian prior on `lensFree`; covariance square, row-major. */
  readonly lensPrior?: { readonly mean: Float64Array; readonly covariance: Float64Array };
  /**
   * Clock parameters fitted: the pixel moves by −velocity · (offset + drift · timeS); seconds and seconds per second.
   * Start is 0. `clockSdS`: prior standard deviation of the offset; absent = none.
   */
  readonly clockFree?: 'none' | 'offset' | 'offset and drift';
  readonly clockSdS?: number;
}

/** Loss on the length s of the weighted 2-vector of one observation: Huber (1964) or Cauchy, in units of its sd. */
export type RobustLoss = { readonly kind: 'none' } | { readonly kind: 'huber' | 'cauchy'; readonly scale: number };

export interface BundleProblem {
  readonly cameras: readonly BundleCamera[];
  readonly targets: readonly BundleTarget[];
  readonly observations: BundleObservations;
  readonly loss: RobustLoss;
}

export interface BundleSolution {
  readonly cameras: readonly Camera[];
  /** Pose of 'rigid', 3 numbers of 'point', 6 of 'rod'; null of 'known'. In the order of the targets. */
  readonly targets: readonly (Pose | Float64Array | null)[];
  /** Offset, s, and drift, s/s, per camera (0 where not free). */
  readonly clocks: readonly { readonly offsetS: number; readonly drift: number }[];
  /** ½ Σ ρ(s²) over observations, priors and rod lengths. */
  readonly cost: number;
  readonly startCost: number;
  /** Predicted − measured, 2 × n, px (not weighted, clocks applied). */
  readonly residuals: Float64Array;
  /** Weight of the robust loss, 0–1, n. */
  readonly weights: Float64Array;
  /** Root mean square distance of all observations, px. */
  readonly rmsPx: number;
  /**
   * Names of the shared parameters in the order of `covariance`: '<camera>.turn_x' … 'turn_z' (small turn δ in rad,
   * R becomes exp(δ) R), '<camera>.translation_x' …, '<camera>.fx' …, '<camera>.clock_offset', '<camera>.clock_drift'.
   */
  readonly parameters: readonly string[];
  /**
   * Square, row-major: inverse of the reduced normal matrix times `varianceFactor`. NaN in rows and columns of parameters
   * that are not determined.
   */
  readonly covariance: Float64Array;
  /** Σ weighted r² / (equations − unknowns) where observations carry no sd, else 1. */
  readonly varianceFactor: number;
  /** Covariance of one target's own parameters (turn δ + translation, 6 × 6; 3 × 3; 6 × 6), cameras' uncertainty included. */
  targetCovariance(index: number): Float64Array;
  /** Covariance of one target's own parameters (rows) with `parameters` (columns). */
  targetCameraCovariance(index: number): Float64Array;
  readonly iterations: number;
  readonly stopped: 'gradient' | 'step' | 'cost' | 'iterations' | 'stuck';
}
