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
}

export const NO_DISTORTION: Distortion = [0, 0, 0, 0, 0];
