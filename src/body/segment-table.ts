import type { SegmentTableName, Sex } from '../capture/recording.ts';

/** One body segment of either side, as the tables know it. */
export const SEGMENT_KINDS = ['head', 'trunk', 'upper_arm', 'forearm', 'hand', 'thigh', 'shank', 'foot'] as const;
export type SegmentKind = (typeof SEGMENT_KINDS)[number];

/** Mass, centre and transverse radius of one segment (one side, for paired segments). Fractions, dimensionless. */
export interface SegmentParameters {
  /** Share of body mass. */
  readonly massFraction: number;
  /** Distance of the centre of mass from the `from` end, as a share of the segment's length. */
  readonly centreFraction: number;
  /** Radius of gyration about the medio-lateral axis through the centre of mass, as a share of the same length. */
  readonly transverseRadiusFraction: number;
  /** The published end points, in the source's own abbreviations. */
  readonly endPoints: string;
  /** End points as Kneeward draws the segment: from, to. */
  readonly from: EndPoint;
  readonly to: EndPoint;
  /** For tables that print more than a slender body; absent = slender. */
  readonly solid?: SolidParameters;
}

/** Moments and products of inertia about the centre of mass per mass and length²: xx, yy, zz, xy, xz, yz. */
export type SolidShares = readonly [xx: number, yy: number, zz: number, xy: number, xz: number, yz: number];

/**
 * Where the centre of mass lies beside the segment's line, and the whole inertia: right side, axes X forward, Y up, Z right (feet: X
 * along the sole); the left side is the mirror image. Shares of the segment's length.
 */
export interface SolidParameters {
  readonly forward: number;
  readonly up: number;
  readonly right: number;
  readonly inertia: SolidShares;
  /** Where `centreFraction` and these count from, where that is not `from`. */
  readonly origin?: EndPoint;
}

export type EndPoint =
  | 'mid_hip'
  | 'mid_shoulder'
  | 'shoulder'
  | 'elbow'
  | 'wrist'
  | 'third knuckle'
  | 'hip'
  | 'knee'
  | 'ankle'
  | 'heel'
  | 'big toe'
  | 'ear canal';

export interface SegmentTable {
  readonly name: SegmentTableName;
  readonly sex: Sex;
  readonly source: string;
  readonly segments: Readonly<Record<SegmentKind, SegmentParameters>>;
}

/**
 * Mean lengths the placing rules need where an end point was not filmed, metres. They enter as ratios to a length that was
 * measured on the athlete (hand to forearm, head to trunk), never as lengths of the athlete.
 */
export interface MeanLengths {
  readonly trunkM: number;
  readonly upperArmM: number;
  readonly forearmM: number;
  readonly handM: number;
  readonly thighM: number;
  readonly shankM: number;
  readonly footM: number;
  /** Mid-shoulder to the centre of mass of the head, along the trunk's line. */
  readonly shouldersToHeadCentreM: number;
}
