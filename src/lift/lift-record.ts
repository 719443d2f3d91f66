import type { JointLoads } from '../mechanics/joint-loads.ts';
import type { LegSharing } from '../mechanics/leg-sharing/leg-sharing.ts';

export type Side = 'both' | 'left' | 'right';

/** A number of the lift, one value a frame. Column name in frames.csv is made of quantity, side and unit. */
export interface FrameQuantity {
  /** snake_case without unit, for instance 'hip_moment', 'trunk_lean', 'com_x'. */
  readonly quantity: string;
  /** Left out of the column name where null. */
  readonly side: Side | null;
  /** Unit suffix of the column: 'nm', 'deg', 'm', 'n', 'm_per_s', 'w'; '' for dimensionless. */
  readonly unit: string;
  /** NaN where unknown (empty in the table). */
  readonly values: Float64Array;
  /** Why values are unknown where they are, for instance 'needs left_heel'; left out where nothing general can be said. */
  readonly reason?: string;
}

export type Completeness = 'full' | 'partial' | 'failed';
export type RepetitionOrder = 'descent first' | 'ascent first';

/** Half-open frame ranges [from, to). null where the phase is not in the recording. */
export interface FrameRange {
  readonly from: number;
  readonly to: number;
}

export interface Repetition {
  /** 1, 2, 3 … in the order of time. */
  readonly number: number;
  readonly order: RepetitionOrder;
  readonly completeness: Completeness;
  /** Why it is not full; '' where it is. */
  readonly reason: string;
  readonly descent: FrameRange | null;
  readonly ascent: FrameRange | null;
  /** Middle of the frames with the lowest hips (shoulders where the bar is in the hands); the starting bottom where the ascent comes first. */
  readonly bottomFrame: number;
  /** Where the movement leaves the stand (descent first) or reaches it (ascent first). */
  readonly topFrame: number;
  readonly hipDropM: number;
  /** Thigh elevation at the bottom, degrees. */
  readonly bottomThighElevationDeg: number;
  /** First frame at or below 0° thigh elevation in the descent, and the last one in the ascent; −1 where parallel is not reached. */
  readonly parallelDescentFrame: number;
  readonly parallelAscentFrame: number;
  /** Frame of least upward bar (or hip) velocity after its first peak in the ascent; −1 where there is no sticking point. */
  readonly stickingFrame: number;
}

export interface CurvePoint {
  readonly repetition: number;
  readonly phase: 'descent' | 'ascent';
  readonly grid: 'thigh_elevation_deg' | 'drop_pct';
  readonly depth: number;
  readonly quantity: string;
  readonly side: Side | '';
  readonly value: number;
  readonly lower: number;
  readonly upper: number;
  readonly unit: string;
  /** Why value is unknown; '' where it is known. */
  readonly reason: string;
}

export interface MeasureValue {
  /** 1, 2, 3 …; 0 for a measure of the whole set, such as a limb ratio. */
  readonly repetition: number;
  readonly measure: string;
  readonly side: Side | '';
  /**
   * Where in the repetition: 'start', 'parallel descent', 'parallel ascent', 'parallel' (mean of the two), 'bottom',
   * 'largest', 'smallest', 'sticking point', 'descent', 'ascent', 'drive' (after the first third of the way up), 'end' (of the
   * ascent); 'set' for a measure of the whole set.
   */
  readonly at: string;
  /** NaN where unknown. */
  readonly value: number;
  readonly lower: number;
  readonly upper: number;
  readonly unit: string;
  readonly frameFirst: number;
  readonly frameLast: number;
  /** Why it is unknown, for instance 'needs left_heel'; '' where it is known. */
  readonly reason: string;
}

export interface LiftRecord {
  readonly recordingId: string;
  readonly athleteId: string;
  readonly loads: JointLoads;
  /** Loads of each leg by assumption; null where switched off. */
  readonly legSharing: LegSharing | null;
  readonly quantities: readonly FrameQuantity[];
  readonly repetitions: readonly Repetition[];
  readonly curves: readonly CurvePoint[];
  readonly measures: readonly MeasureValue[];
  readonly quality: LiftQuality;
}

export interface LiftQuality {
  readonly repetitionsFound: number;
  readonly repetitionsPlanned: number | null;
  readonly notes: readonly string[];
}
