import type { BarPosition, SegmentTableName, Sex } from '../capture/recording.ts';
import type { Trajectories } from '../reconstruction/trajectories.ts';
import type { Attitudes, Solid } from './attitude.ts';
import type { TrunkBend } from './trunk-shape/bend-trunk.ts';

export const SEGMENTS = [
  'head',
  'trunk',
  'left_upper_arm',
  'right_upper_arm',
  'left_forearm',
  'right_forearm',
  'left_hand',
  'right_hand',
  'left_thigh',
  'right_thigh',
  'left_shank',
  'right_shank',
  'left_foot',
  'right_foot',
] as const;

export type SegmentName = (typeof SEGMENTS)[number];

export const JOINTS = ['left_hip', 'right_hip', 'left_knee', 'right_knee', 'left_ankle', 'right_ankle'] as const;
export type JointName = (typeof JOINTS)[number];

/** Joints of the arms; fewer recordings have them. */
export const ARM_JOINTS = ['left_shoulder', 'right_shoulder', 'left_elbow', 'right_elbow'] as const;
export type ArmJointName = (typeof ARM_JOINTS)[number];

/**
 * A rigid body: its mass, its centre, and its inertia across its long axis; its spin about that axis is left out, unless the
 * table prints the whole inertia and axes are known (`solid`).
 */
export interface SegmentMotion {
  readonly name: SegmentName | 'barbell';
  readonly massKg: number;
  /** Centre of mass, `3 * frame`, metres, lab frame. */
  readonly centre: Float64Array;
  /** Unit vector along the long axis, proximal to distal (bar: left to right), `3 * frame`; NaN where the body is a point mass. */
  readonly axis: Float64Array;
  /** Moment of inertia about any axis across the long one through the centre of mass, kg·m²; 0 for a point mass. */
  readonly transverseInertiaKgM2: number;
  /** Whole inertia and the axes it belongs to, in place of the transverse inertia; absent = slender. */
  readonly solid?: Solid;
  /** Median distance between the end points, metres; NaN where the body is placed by a rule and not measured. */
  readonly lengthM: number;
  /** Coefficient of variation of that length over the frames, 1. */
  readonly lengthVariation: number;
  /** How the body is placed where its own points are absent; null where it is measured. */
  readonly placedBy: string | null;
}

export interface BodyMotion {
  readonly frameRateHz: number;
  readonly frames: number;
  readonly startS: number;
  readonly trajectories: Trajectories;
  /** Athlete and table, for what is reported. */
  readonly sex: Sex;
  readonly table: SegmentTableName;
  readonly bodyMassKg: number;
  readonly barMassKg: number;
  readonly segments: readonly SegmentMotion[];
  /** null where no load is carried. */
  readonly barbell: SegmentMotion | null;
  /** Where the bar lies; absent = not stated. */
  readonly barPosition?: BarPosition;
  /** Joint centres and the points midway between left and right, `3 * frame`. Only those that are known. */
  readonly joints: Partial<
    Record<JointName | ArmJointName | 'mid_hip' | 'mid_knee' | 'mid_ankle' | 'mid_shoulder', Float64Array>
  >;
  /** Axes of the parts, for angles and for moments in axes of the joint; absent = none computed. */
  readonly attitudes?: Attitudes;
  /** How the trunk's mass follows a bent spine; null or absent: one straight trunk. */
  readonly trunkBend?: TrunkBend | null;
  /** True where head, trunk and arms are placed, so that moments from above can be summed. */
  readonly upperBodyKnown: boolean;
  readonly quality: BodyQuality;
}

export interface BodyQuality {
  readonly segments: readonly {
    readonly segment: string;
    readonly massKg: number;
    readonly lengthM: number | null;
    readonly lengthVariation: number | null;
    readonly placedBy: string | null;
  }[];
  /** Mid-hip share of hip width etc. in plain words: what was assumed. */
  readonly notes: readonly string[];
}
