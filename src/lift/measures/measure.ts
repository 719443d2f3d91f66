import type { Landmark } from '../../capture/landmarks.ts';
import type { Recording } from '../../capture/recording.ts';
import type { JointLoads } from '../../mechanics/joint-loads.ts';
import type { Scale } from '../../numerics/scale.ts';
import type { LiftDepths } from '../depth.ts';
import type { LiftPoints } from '../landmark-points.ts';
import type { Repetition, Side } from '../lift-record.ts';
import type { QuantityTable } from '../quantities.ts';
import type { Unmeasured } from '../unmeasured.ts';

/** What a measure may look at: the whole recording and what was found in it. */
export interface Lift extends LiftPoints {
  readonly loads: JointLoads;
  readonly recording: Recording;
  readonly table: QuantityTable;
  /** The height that repetitions were found in, m a frame. */
  readonly height: Float64Array;
  /** Where its repetitions pass a depth. */
  readonly depths: LiftDepths;
  readonly repetitions: readonly Repetition[];
  /** Hip to ankle of a straight leg, m. */
  readonly legLengthM: number;
  /** What is taken for granted that nothing in the recording tells; absent = USUAL_UNMEASURED. */
  readonly unmeasured?: Unmeasured;
}

/** One value of a measure; the frames show it. */
export interface MeasureReading {
  readonly side: Side | '';
  readonly at: string;
  /** NaN where unknown. */
  readonly value: number;
  readonly reason: string;
  readonly frameFirst: number;
  readonly frameLast: number;
}

interface MeasureCard {
  /** snake_case, without unit. */
  readonly name: string;
  /** 'deg', 'm', 's', 'nm', 'nms', 'j', 'w', 'm_per_s'; '1' where dimensionless. */
  readonly unit: string;
  readonly title: string;
  /** In plain words, with sign and reference. */
  readonly definition: string;
  /** What lifters and coaches call it. */
  readonly knownAs: readonly string[];
  /** Landmarks without which it is unknown. Moments and centres of mass also need head, trunk and arms, or force plates. */
  readonly needs: readonly Landmark[];
  /** Citation, or 'common practice, no source'. */
  readonly source: string;
  /** What the number cannot lie beyond: its interval ends there. Absent = nothing. */
  readonly bounds?: Bounds;
  /** True where the number is the length of a vector on the floor: it cannot fall below 0, and errors of both coordinates lengthen it. */
  readonly planeLength?: true;
  /** Of a ratio: the scale on which its errors are even and its means are taken. Absent = the number itself. */
  readonly scale?: Scale;
}

/** Least and largest possible value. */
export type Bounds = readonly [least: number, largest: number];

/** A number of one repetition. */
export interface RepetitionMeasure extends MeasureCard {
  readonly scope: 'repetition';
  of(repetition: Repetition, lift: Lift): readonly MeasureReading[];
}

/** A number of the lifter or of the whole set. */
export interface SetMeasure extends MeasureCard {
  readonly scope: 'set';
  of(lift: Lift): readonly MeasureReading[];
}

export type Measure = RepetitionMeasure | SetMeasure;

export const SIDES = ['both', 'left', 'right'] as const;

export const HIPS = ['left_hip', 'right_hip'] as const;
export const KNEES = ['left_knee', 'right_knee'] as const;
export const ANKLES = ['left_ankle', 'right_ankle'] as const;
export const SHOULDERS = ['left_shoulder', 'right_shoulder'] as const;
export const HEELS = ['left_heel', 'right_heel'] as const;
export const BIG_TOES = ['left_big_toe', 'right_big_toe'] as const;
export const BAR_ENDS = ['bar_left_end', 'bar_right_end'] as const;
