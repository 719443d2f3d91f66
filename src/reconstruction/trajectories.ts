import type { Landmark } from '../capture/landmarks.ts';
import type { VelocityPoints } from './velocity-points.ts';

/** Points in the lab frame: X forward (where the lifter faces), Y up, Z to the lifter's right; metres. */
export interface Trajectories {
  readonly frameRateHz: number;
  readonly frames: number;
  /** Time of frame 0 on the recording's common clock, seconds. */
  readonly startS: number;
  readonly landmarks: readonly Landmark[];
  /** `3 * (frame * landmarks.length + landmark)`, metres; NaN where `status` says why. */
  readonly position: Float64Array;
  /** `6 * (frame * landmarks.length + landmark)`, m², upper triangle xx xy xz yy yz zz, of the unsmoothed point; NaN where not known. */
  readonly covariance: Float64Array;
  /** SampleStatus, `frame * landmarks.length + landmark`. */
  readonly status: Uint8Array;
  /** Height of the floor in the lab frame, metres. */
  readonly floorHeightM: number;
  /** Cut-off applied per landmark, Hz; NaN where not filtered. */
  readonly cutoffHz: Float64Array;
  /** Bar ends and hips smoothed less, for velocities; absent where the points are no motion. */
  readonly forVelocity?: VelocityPoints;
  /** The points before limbs and resting feet were fitted to them, laid out like `position`; absent where nothing was fitted. */
  readonly beforeFit?: Float64Array;
  readonly quality: ReconstructionQuality;
}

export interface LandmarkQuality {
  readonly landmark: Landmark;
  readonly seen: number;
  readonly filled: number;
  readonly missing: number;
  /** Root mean square reprojection distance, px; null for 3D input. */
  readonly reprojectionRmsPx: number | null;
  /** Median standard deviation of the point (root of the largest eigenvalue of its covariance), metres; null where not known. */
  readonly sdM: number | null;
  readonly cutoffHz: number | null;
}

export interface ReconstructionQuality {
  readonly views: number;
  readonly reprojectionRmsPx: number | null;
  /** Reprojection rms per camera, px; a camera on which no accepted point rests is left out, with a note. */
  readonly perCamera: readonly {
    readonly camera: string;
    readonly reprojectionRmsPx: number;
    readonly points: number;
  }[];
  readonly perLandmark: readonly LandmarkQuality[];
  /**
   * Share of samples that are missing, 0–1 (after filling, where gaps are filled), among those required landmarks (hips,
   * knees, ankles, shoulders) that the recording has at all; 1 where it has none.
   */
  readonly missingShare: number;
  /** Samples per status name. */
  readonly counts: Readonly<Record<string, number>>;
  /** Rotation about the vertical that turned the world frame to the lifter's facing, degrees. */
  readonly headingDeg: number;
  /** Frames in which a pair of a view had left and right exchanged and was put right; absent: not looked for (3D points). */
  readonly sideSwaps?: readonly { readonly camera: string; readonly pair: string; readonly frames: number }[];
  /** Frames in which a view's track was on another person and was left out; absent: not looked for. */
  readonly otherPeople?: readonly { readonly camera: string; readonly frames: number; readonly stretches: number }[];
  readonly floor: 'world zero' | 'estimated from the feet';
  readonly notes: readonly string[];
}
