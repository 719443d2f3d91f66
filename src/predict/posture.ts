import type { BodyMotion } from '../body/body-motion.ts';
import { bodyMotion } from '../body/body-motion-from-trajectories.ts';
import type { BodyShifts } from '../body/body-shifts.ts';
import type { SegmentTable } from '../body/segment-table.ts';
import type { Landmark } from '../capture/landmarks.ts';
import { DEFAULT_SETTINGS, type Load, type Recording, type SegmentTableName, type Sex } from '../capture/recording.ts';
import { SampleStatus } from '../capture/sample-status.ts';
import type { Trajectories } from '../reconstruction/trajectories.ts';

/** A lifter frozen in one posture: points in lab axes (X forward, Y up, Z right). */
export interface Posture {
  readonly landmarks: readonly Landmark[];
  /** `3 * landmark`, metres. */
  readonly position: Float64Array;
}

/** Whose posture it is: all that moments depend on besides the points. */
export interface LoadedLifter {
  readonly sex: Sex;
  readonly massKg: number;
  readonly load: Load;
  readonly segments: SegmentTableName;
}

/**
 * Many postures of one lifter as the frames of one body motion, through the same code that analyses a recording. The frames
 * are no motion: only what holds frame by frame (places, angles, gravity parts of moments) has a meaning.
 *
 * position: `3 * (posture * landmarks.length + landmark)`, metres. `floorHeightM` 0. table, shifts: as in `bodyMotion`.
 */
export function posturesAsMotion(
  lifter: LoadedLifter,
  landmarks: readonly Landmark[],
  position: Float64Array,
  table?: SegmentTable,
  shifts?: BodyShifts,
): BodyMotion {
  const frames = position.length / (3 * landmarks.length);
  const samples = frames * landmarks.length;
  const trajectories: Trajectories = {
    frameRateHz: 1,
    frames,
    startS: 0,
    landmarks,
    position,
    covariance: new Float64Array(6 * samples).fill(Number.NaN),
    status: new Uint8Array(samples).fill(SampleStatus.seen),
    floorHeightM: 0,
    cutoffHz: new Float64Array(landmarks.length).fill(Number.NaN),
    quality: {
      views: 0,
      reprojectionRmsPx: null,
      perCamera: [],
      perLandmark: [],
      missingShare: 0,
      counts: {},
      headingDeg: 0,
      floor: 'world zero',
      notes: [],
    },
  };
  return bodyMotion(trajectories, recordingOf(lifter), table, shifts);
}

function recordingOf({ sex, massKg, load, segments }: LoadedLifter): Recording {
  return {
    file: 'posture',
    id: 'posture',
    date: null,
    athlete: { id: 'lifter', sex, massKg, statureM: null },
    lift: { kind: 'squat', set: null, plannedRepetitions: null, outcome: null, grip: null, effortRpe: null },
    load,
    shoes: { heelHeightM: null },
    condition: {},
    source: { kind: 'views', rig: '', views: [] },
    forcePlates: [],
    segments,
    settings: DEFAULT_SETTINGS,
    synthetic: true,
  };
}

/** x, y, z of a landmark, metres; NaN where the posture does not have it. */
export function pointOf(posture: Posture, landmark: Landmark): readonly [number, number, number] {
  const at = 3 * posture.landmarks.indexOf(landmark);
  if (at < 0) return [Number.NaN, Number.NaN, Number.NaN];
  return [posture.position[at], posture.position[at + 1], posture.position[at + 2]];
}
