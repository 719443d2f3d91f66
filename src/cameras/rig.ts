/** Brown–Conrady k1 k2 p1 p2 k3, OpenCV order, acting on normalised image coordinates. */
export type Distortion = readonly [number, number, number, number, number];

/**
 * A lens between the pixels a user sees (raw) and the pixels a published calibration speaks of (ideal):
 * raw = K_lens · distort(K_lens⁻¹ · ideal). Pixels throughout.
 */
export interface PixelLens {
  readonly fx: number;
  readonly fy: number;
  readonly cx: number;
  readonly cy: number;
  readonly distortion: Distortion;
}

/** One calibrated camera. x = K · distort(R X + t); metres, pixels, (0, 0) = centre of the top-left pixel, y down. */
export interface Camera {
  readonly name: string;
  readonly imageWidth: number;
  readonly imageHeight: number;
  /** Focal lengths and principal point, pixels; skew (px) is 0 unless a published calibration has one. */
  readonly fx: number;
  readonly fy: number;
  readonly cx: number;
  readonly cy: number;
  readonly skew: number;
  /** Brown–Conrady k1 k2 p1 p2 k3, OpenCV order. */
  readonly distortion: Distortion;
  /**
   * Only where published coefficients hold for pixels that were undistorted with another K than the coefficients' own:
   * the lens applied after K. Absent in every rig calibrated here. `distortion` is then all zero.
   */
  readonly pixelLens?: PixelLens;
  /** cameraFromWorld rotation, row-major 3 × 3, and translation, metres. */
  readonly rotation: Float64Array;
  readonly translation: Float64Array;
}

/** All cameras of a recording in one world frame: Y up, origin on the floor; heading free (the lifter's own is found later). */
export interface CameraRig {
  readonly kneeward: 1;
  readonly cameras: readonly Camera[];
  readonly quality: RigQuality;
  /** True for invented rigs. */
  readonly synthetic: boolean;
}

export interface RigQuality {
  /** How the rig was made: 'control points', 'board corners', 'published dlt coefficients', 'stated' … */
  readonly method: string;
  /** Root mean square distance between measured and predicted image points, px; null where not known. */
  readonly reprojectionRmsPx: number | null;
  /** Image points the rig was fitted to, all cameras together; null where not known. */
  readonly pointsUsed: number | null;
  /** Notes a reader must see, in plain words. */
  readonly notes: readonly string[];
  /** Absent where the rig was stated or made by an older version. */
  readonly measured?: MeasuredQuality;
}

/** How good a calibration is, each number with its meaning; null = not known from this calibration, `notes` say why. */
export interface MeasuredQuality {
  readonly cameras: readonly CameraQuality[];
  /** Lengths that the fit did not use (or, of a board, that it did not use as lengths): measured − true, r.m.s., metres. */
  readonly heldOutLength: {
    readonly what: string;
    readonly rmsM: number;
    readonly share: number;
    readonly count: number;
  } | null;
  /** Half width of the 95 % interval of the vertical, degrees, and where the vertical is from. */
  readonly vertical: { readonly from: string; readonly halfWidth95Deg: number } | null;
  /** Standard deviation of the scale (1 = 100 %) from all its causes, and those causes by name. */
  readonly scale: { readonly sdShare: number; readonly causes: Readonly<Record<string, number>> } | null;
  /** Least and greatest X Y Z of the points that the rig was made from, metres, rig's world: 6 numbers. */
  readonly volumeM: readonly number[] | null;
  /** Joint covariance of the cameras, as in BundleSolution but for poses in the rig's world; lower triangle by rows. */
  readonly covariance: { readonly parameters: readonly string[]; readonly lowerTriangle: readonly number[] } | null;
}

export interface CameraQuality {
  readonly camera: string;
  readonly reprojectionRmsPx: number;
  readonly points: number;
  readonly views: number;
  /** Standard deviations: focal length px, principal point px, place m (largest axis), direction degrees; null = held. */
  readonly focalSdPx: number | null;
  readonly principalPointSdPx: number | null;
  readonly placeSdM: number | null;
  readonly directionSdDeg: number | null;
  /** Share of a 10 × 10 grid over the picture in which points lay, 0–1. */
  readonly coverage: number;
  /** Largest angle between the normals of two boards, degrees; null without boards. */
  readonly tiltRangeDeg: number | null;
  /** Clock offset against the first camera with the half width of its 95 % interval, seconds; null = not estimated. */
  readonly clock: { readonly offsetS: number; readonly halfWidth95S: number; readonly drift: number | null } | null;
}

export const NO_DISTORTION: Distortion = [0, 0, 0, 0, 0];
