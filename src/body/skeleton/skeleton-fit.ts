import type { Recording } from '../../capture/recording.ts';
import type { Trajectories } from '../../reconstruction/trajectories.ts';

/** A limb whose length the fit keeps constant. */
export interface FittedLength {
  readonly segment: string;
  readonly lengthM: number;
  readonly sdM: number;
}

export interface SkeletonQuality {
  readonly lengths: readonly FittedLength[];
  readonly notes: readonly string[];
}

export interface SkeletonFit {
  /** The same layout, frames and status as the points that went in. */
  readonly trajectories: Trajectories;
  readonly quality: SkeletonQuality;
  /**
   * Fits other positions of the same recording (draws) by the structure found here: the same limbs, weights and still
   * stretches; lengths are estimated anew. position: as in Trajectories. Returns a new array.
   */
  refit(position: Float64Array): Float64Array;
}

/** One constrained trajectory of the whole recording from smoothed points. */
export function skeletonFit(smoothed: Trajectories, _recording: Recording): SkeletonFit {
  return { trajectories: smoothed, quality: { lengths: [], notes: [] }, refit: (position) => position };
}
