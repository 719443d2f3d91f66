import { bodyMotion } from '../body/body-motion-from-trajectories.ts';
import { type MarkerCentres, markerCentres } from '../body/marker-centres/marker-centres.ts';
import { type SkeletonFit, skeletonFit } from '../body/skeleton/skeleton-fit.ts';
import type { CameraRig } from '../cameras/rig.ts';
import { parseRig } from '../cameras/rig-file.ts';
import { loadRecording } from '../capture/load-recording.ts';
import type { MomentAxes, MomentUnit, PointsKind, RecordingData, Smoothing, Study } from '../capture/recording.ts';
import type { AcceptanceLimit } from '../lift/acceptance.ts';
import { describeLift } from '../lift/describe-lift.ts';
import { type GradedQuality, gradeLift } from '../lift/grade.ts';
import type { LiftRecord } from '../lift/lift-record.ts';
import { jointLoads } from '../mechanics/joint-loads-from-motion.ts';
import { type Reconstruction, reconstruct } from '../reconstruction/reconstruct.ts';

/** What a command line may set over the files' own settings. */
export interface Overrides {
  readonly smoothing?: Smoothing;
  readonly points?: PointsKind;
  readonly momentAxes?: MomentAxes;
  readonly momentUnit?: MomentUnit;
}

/** One recording, from its file to what the lift was. */
export interface Analysis {
  readonly data: RecordingData;
  readonly rig: CameraRig | null;
  readonly reconstruction: Reconstruction;
  /** Joint centres from markers; null where there are none to derive. */
  readonly centres: MarkerCentres | null;
  /** null where the points were left free. */
  readonly skeleton: SkeletonFit | null;
  readonly record: LiftRecord;
  readonly graded: GradedQuality;
}

/** The street walked once: read, reconstruct, skeleton, body, loads, lift, grade. No intervals yet. Throws a DataError where the input cannot be used. */
export function analyseRecording(
  file: string,
  study: Study | undefined,
  limits: readonly AcceptanceLimit[],
  overrides: Overrides = {},
): Analysis {
  const { data, rig } = readRecording(file, study, overrides);
  const reconstruction = reconstruct(data, rig);
  const fitted = data.recording.settings.points === 'skeleton';
  const centres = markerCentres(reconstruction.smoothed);
  const points = centres?.trajectories ?? reconstruction.smoothed;
  const skeleton = fitted ? skeletonFit(points, data.recording) : null;
  const motion = bodyMotion(skeleton?.trajectories ?? points, data.recording);
  const loads = jointLoads(motion, data.forcePlates, reconstruction.turn);
  const record = describeLift(loads, data.recording);
  return { data, rig, reconstruction, centres, skeleton, record, graded: gradeLift(record, limits) };
}

/** Reads a recording with its rig, settings of the command line applied. */
export function readRecording(
  file: string,
  study?: Study,
  overrides: Overrides = {},
): { readonly data: RecordingData; readonly rig: CameraRig | null } {
  const read = loadRecording(file, study);
  const { recording } = read;
  const settings = {
    ...recording.settings,
    smoothing: overrides.smoothing ?? recording.settings.smoothing,
    points: overrides.points ?? recording.settings.points,
    momentAxes: overrides.momentAxes ?? recording.settings.momentAxes,
    momentUnit: overrides.momentUnit ?? recording.settings.momentUnit,
  };
  const data = { ...read, recording: { ...recording, settings } };
  const rig = recording.source.kind === 'views' ? parseRig(read.rigJson, recording.source.rig) : null;
  return { data, rig };
}
