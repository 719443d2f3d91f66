/** Parts of the body that have axes of their own: the segments, and the pelvis; `trunk` is the thorax, as far as it is seen. */
export const ATTITUDE_PARTS = [
  'pelvis',
  'trunk',
  'left_upper_arm',
  'right_upper_arm',
  'left_forearm',
  'right_forearm',
  'left_thigh',
  'right_thigh',
  'left_shank',
  'right_shank',
  'left_foot',
  'right_foot',
] as const;

export type AttitudePart = (typeof ATTITUDE_PARTS)[number];

/** The kind of evidence for the turn about the long axis. A hinge is an assumption: the angles it rules out are unknown, not 0. */
export type TurnEvidence = 'markers' | 'shoulder line' | 'hinge' | 'sole' | 'ankle over sole';

/**
 * How a part of the body is turned, and what says so.
 *
 * Axes after ISB (Wu et al. 2002, 2005) as far as the landmarks determine them, the same for left and right: X forward, Y up
 * along the long axis (towards the head), Z to the lifter's right. Feet: X along the sole from heel to toe, Y up.
 */
export interface Attitude {
  /** labFromPart, row-major 3 × 3, `9 * frame`; columns are X, Y, Z of the part. NaN where the landmarks do not determine it. */
  readonly labFromPart: Float64Array;
  /** What fixes the turn about the long axis, in plain words. */
  readonly fixedBy: string;
  /** Why it is unknown where it is. */
  readonly unknownBecause: string;
  /** The same as a word; absent = markers. */
  readonly evidence?: TurnEvidence;
  /**
   * Unit vector along the part, `3 * frame`: towards the head (feet: towards the toes). Known wherever both ends are, also where
   * the turn about it is not; absent = none but the column of `labFromPart`.
   */
  readonly longAxis?: Float64Array;
}

export type Attitudes = Readonly<Partial<Record<AttitudePart, Attitude>>>;

/** Inertia of a body about all its axes, for tables that print it. */
export interface Solid {
  /** labFromSegment, row-major, `9 * frame`, known wherever the segment's centre is: the frame in which `inertiaKgM2` is constant. */
  readonly labFromSegment: Float64Array;
  /** Inertia tensor about the centre of mass in that frame, kg·m², row-major 3 × 3, symmetric. */
  readonly inertiaKgM2: Float64Array;
}
