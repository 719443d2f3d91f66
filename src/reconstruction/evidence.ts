import type { Camera } from '../cameras/rig.ts';

/**
 * What the points of a recording rest on, and how large their errors are: what draws of the noise are made from.
 * Sample = frame * landmarks + landmark, as in Trajectories.
 */
export type Evidence = ViewEvidence | PointEvidence;

/** Points triangulated from views. */
export interface ViewEvidence {
  readonly kind: 'views';
  /** The cameras of the views, in the order of the views. */
  readonly cameras: readonly Camera[];
  /** `sample * views + view`: 1 where the view has a part in the point. */
  readonly used: Uint8Array;
  /** `landmark * views + view`: inverse variance of the view's pixels relative to the others, as triangulated. */
  readonly weight: Float64Array;
  readonly noise: PixelNoiseModel;
}

/** Errors of pixel coordinates: white from frame to frame, and a slow first-order process. */
export interface PixelNoiseModel {
  /** `landmark * views + view`, px, standard deviation of one coordinate. */
  readonly whitePx: Float64Array;
  /** The same of the slow part; its correlation is exp(−|t| / slowS). */
  readonly slowPx: Float64Array;
  readonly slowS: number;
  /** What the numbers rest on and what cannot be told, in plain words. */
  readonly notes: readonly string[];
}

/** Points that came as 3D coordinates. */
export interface PointEvidence {
  readonly kind: 'points';
  /** `3 * landmark + axis` (lab axes), metres: white and slow part of a coordinate. */
  readonly whiteM: Float64Array;
  readonly slowM: Float64Array;
  readonly slowS: number;
  readonly notes: readonly string[];
}
