import { bodyMotion } from '../body/body-motion-from-trajectories.ts';
import { type MarkerCentres, markerCentres } from '../body/marker-centres/marker-centres.ts';
import { type SkeletonFit, skeletonFit } from '../body/skeleton/skeleton-fit.ts';
import type { CameraRig } from '../cameras/rig.ts';
import { parseRig } from '../cameras/rig-file.ts';
import { loadRecording } from '../capture/load-recording.ts';
import type { MomentAxes, MomentUnit, PointsKind, RecordingData, Smoothing, Study } from '../capture/recording.ts';
import type { AcceptanceLimit } from '../lift/acceptance.ts';
import { describeLift } from '../lift/describe-lift.ts';
import { type RuleSet, rulesFromFile } from '../lift/findings/rules-from-file.ts';
import { type GradedQuality, gradeLift } from '../lift/grade.ts';
import type { LiftRecord, Repetition } from '../lift/lift-record.ts';
import { settleForcePlates } from '../mechanics/force-plates/settle-force-plates.ts';
import {
  type NumberedFrames,
  type ResidualAnalysis,
  residualAnalysis,
} from '../mechanics/residual/residual-analysis.ts';
import { type Reconstruction, reconstruct } from '../reconstruction/reconstruct.ts';

/** What a command line may set over the files' own settings. */
export interface Overrides {
  readonly smoothing?: Smoothing;
  readonly points?: PointsKind;
  readonly momentAxes?: MomentAxes;
  readonly momentUnit?: MomentUnit;
  /** File of rules for findings. */
  readonly findings?: string;
}

/** One recording, from its file to what the lift was. */
export interface Analysis {
  readonly data: RecordingData;
  /** By which findings are made. */
  readonly rules: RuleSet;
  readonly rig: CameraRig | null;
  readonly reconstruction: Reconstruction;
  /** Joint centres from markers; null where there are none to derive. */
  readonly centres: MarkerCentres | null;
  /** null where the points were left free. */
  readonly skeleton: SkeletonFit | null;
  readonly record: LiftRecord;
  /** Movement against force plates; null without force plates under both feet. */
  readonly residual: ResidualAnalysis | null;
  readonly graded: GradedQuality;
}

/** The street walked once: read, reconstruct, skeleton, body, loads, lift, grade. No intervals yet. Throws a DataError where the input cannot be used. */
export function analyseRecording(
  file: string,
  study: Study | undefined,
  limits: readonly AcceptanceLimit[],
  overrides: Overrides = {},
): Analysis {
  const { data: read, rig, rules } = readRecording(file, study, overrides);
  const reconstruction = reconstruct(read, rig);
  const fitted = read.recording.settings.points === 'skeleton';
  const centres = markerCentres(reconstruction.smoothed);
  const points = centres?.trajectories ?? reconstruction.smoothed;
  const skeleton = fitted ? skeletonFit(points, read.recording) : null;
  const motion = bodyMotion(skeleton?.trajectories ?? points, read.recording);
  const { forcePlates, loads: settled } = settleForcePlates(
    motion,
    read.forcePlates,
    reconstruction.turn,
    read.recording.forceClock,
  );
  const data = { ...read, forcePlates };
  const { quality } = settled;
  const loads = { ...settled, quality: { ...quality, notes: [...(read.notes ?? []), ...quality.notes] } };
  const record = describeLift(loads, data.recording);
  const residual = residualAnalysis(record.loads, record.repetitions.map(wholeOf));
  return { data, rules, rig, reconstruction, centres, skeleton, record, residual, graded: gradeLift(record, limits) };
}

/** All frames of a repetition. */
function wholeOf({ number, descent, ascent, bottomFrame }: Repetition): NumberedFrames {
  const phases = [descent, ascent].filter((phase) => phase !== null);
  return {
    number,
    from: Math.min(bottomFrame, ...phases.map(({ from }) => from)),
    to: Math.max(bottomFrame + 1, ...phases.map(({ to }) => to)),
  };
}

/** Reads a recording with its rig and the rules for findings, settings of the command line applied. */
export function readRecording(
  file: string,
  study?: Study,
  overrides: Overrides = {},
): { readonly data: RecordingData; readonly rig: CameraRig | null; readonly rules: RuleSet } {
  const read = loadRecording(file, study, overrides.findings);
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
  return { data, rig, rules: rulesFromFile(read.findings) };
}
