import type { BodyShifts } from '../../body/body-shifts.ts';
import type { SegmentKind } from '../../body/segment-table.ts';
import type { Unmeasured } from '../../lift/unmeasured.ts';
import type { SharingAssumptions } from '../../mechanics/leg-sharing/assumptions.ts';

/** Kinds of doubt, in the order of all tables. `noise` is drawn a frame; the others are few numbers that hold for the recording. */
export const CAUSE_GROUPS = [
  'noise',
  'calibration',
  'vertical',
  'clocks',
  'keypoints',
  'segments',
  'body mass',
  'load',
  'leg sharing',
] as const;
export type CauseGroup = (typeof CAUSE_GROUPS)[number];

/** What a draw changes in body and load; filled by the causes, read by the chain. */
export interface BodyDraw {
  /** Added to the stated masses, kg. */
  massKg: number;
  loadKg: number;
  /** Relative change of a segment's mass, before all are brought back to the body mass; and shift of its centre, share of the length. */
  readonly segmentMass: Record<SegmentKind, number>;
  readonly segmentCentre: Record<SegmentKind, number>;
  readonly shifts: { -readonly [K in keyof BodyShifts]: BodyShifts[K] };
  /** Error of hips derived from the pelvis, metres: forward, up, outward. */
  readonly hipRegressionM: [number, number, number];
  /** How the legs share the floor's force. */
  readonly sharing: { -readonly [K in keyof SharingAssumptions]: SharingAssumptions[K] };
  /** What lies over hip and knee joints. */
  readonly unmeasured: { -readonly [K in keyof Unmeasured]: Unmeasured[K] };
}

/**
 * One independent unknown, scaled so that it is a standard normal variable. Recordings whose causes have equal keys share the
 * unknown: what it does to both cancels in their difference.
 */
export interface Cause {
  readonly group: CauseGroup;
  readonly key: string;
  readonly label: string;
  /** Adds its effect to smoothed points (in place, `3 * (frame * landmarks + landmark)`, metres, lab frame) for the value z. */
  readonly movePoints?: (position: Float64Array, z: number) => void;
  readonly changeBody?: (body: BodyDraw, z: number) => void;
  /** What moves the smoothed points and those for velocities unlike; times z. */
  readonly moveApart?: PointMove;
}

/** Displacements of the smoothed points (`3 * (frame * landmarks + landmark)`) and of those for velocities (their layout), metres. */
export interface PointMove {
  readonly smoothed: Float64Array;
  readonly forVelocity: Float64Array;
}

/** Causes of one group, or why there are none: what is not known is said, not taken as zero. */
export interface GroupCauses {
  readonly group: CauseGroup;
  readonly causes: readonly Cause[];
  /** '' where all of the group is in. */
  readonly notIncluded: string;
}

/** A cause whose effect on points is `z * field`. */
export function fieldCause(cause: Omit<Cause, 'movePoints' | 'changeBody'>, field: Float64Array): Cause {
  return {
    ...cause,
    movePoints: (position, z) => {
      for (let i = 0; i < position.length; i++) position[i] += z * field[i];
    },
  };
}
