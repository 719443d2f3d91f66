export const LOADED_JOINTS = ['hip', 'knee', 'ankle'] as const;
export type LoadedJoint = (typeof LOADED_JOINTS)[number];

/** Internal moment, N·m, extensor (ankle: plantarflexor) positive, about lab +Z; one value a frame, NaN where not known. total = gravity + inertial. */
export interface MomentSeries {
  readonly total: Float64Array;
  /** The part a lifter frozen in this posture would need. NaN throughout from below: measured force holds the upper body's inertia. */
  readonly gravity: Float64Array;
  readonly inertial: Float64Array;
}
