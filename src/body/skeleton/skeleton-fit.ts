import type { Recording } from '../../capture/recording.ts';
import type { Trajectories } from '../../reconstruction/trajectories.ts';
import { fitPositions } from './fit-positions.ts';
import { assessFit, type SkeletonQuality } from './quality.ts';
import { structureOf } from './structure.ts';

export type { FittedLength, FittedPoint, FittedRest, SkeletonQuality } from './quality.ts';

export interface SkeletonFit {
  /** The same layout, frames, status and covariance as the points that went in. */
  readonly trajectories: Trajectories;
  readonly quality: SkeletonQuality;
  /**
   * Fits other positions of the same recording (draws) by the structure found here: the same limbs, weights and still
   * stretches; lengths are estimated anew. position: as in Trajectories. Returns a new array.
   */
  refit(position: Float64Array): Float64Array;
}

/**
 * One constrained trajectory of the whole recording from smoothed points.
 *
 * Thighs, shanks, upper arms, forearms, hands, pelvis (hip to hip), feet (ankle, heel, toe) and bar keep their lengths in
 * every frame; points of the feet that rest stand on one spot; every point moves as little as its variance asks (noise, and
 * the lasting offset its detector may have). Trunk and shoulder width are free. A point that is missing stays missing.
 * Method, derivation, limits: docs/method/skeleton.md.
 */
export function skeletonFit(smoothed: Trajectories, recording: Recording): SkeletonFit {
  const structure = structureOf(smoothed, recording);
  const position = fitPositions(structure, smoothed.position);
  return {
    trajectories: { ...smoothed, position, beforeFit: smoothed.position },
    quality: assessFit(structure, smoothed, position),
    refit: (drawn) => fitPositions(structure, drawn),
  };
}
