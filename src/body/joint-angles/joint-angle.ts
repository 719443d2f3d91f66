/** One angle of a joint or a part, over the recording. */
export interface JointAngle {
  /** snake_case without side and unit, for instance 'hip_flexion'. */
  readonly name: string;
  readonly side: 'left' | 'right' | null;
  /** Radians, one a frame, free of jumps of a whole turn; NaN where the landmarks do not determine it. */
  readonly radians: Float64Array;
  /** Why it is unknown where it is. */
  readonly unknownBecause: string;
}
