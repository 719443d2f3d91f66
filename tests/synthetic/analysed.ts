import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import { type SkeletonFit, skeletonFit } from '../../src/body/skeleton/skeleton-fit.ts';
import type { CameraRig } from '../../src/cameras/rig.ts';
import { parseRig } from '../../src/cameras/rig-file.ts';
import type { Landmark } from '../../src/capture/landmarks.ts';
import { loadRecording } from '../../src/capture/load-recording.ts';
import type { RecordingData } from '../../src/capture/recording.ts';
import { describeLift } from '../../src/lift/describe-lift.ts';
import type { LiftRecord } from '../../src/lift/lift-record.ts';
import type { JointLoads, LoadedJoint } from '../../src/mechanics/joint-loads.ts';
import { jointLoads } from '../../src/mechanics/joint-loads-from-motion.ts';
import { apply3Into } from '../../src/numerics/rotation.ts';
import { type Reconstruction, reconstruct } from '../../src/reconstruction/reconstruct.ts';
import { type Filming, film, worldFromLab } from './film.ts';
import { landmarksOf, type VirtualLift } from './lift.ts';
import { loadsAt, type TrueLoads } from './truth.ts';
import type { Vector } from './vector.ts';
import { bytesOf, type Decimals, type RecordingHeader, recordingFiles, rigFile } from './write.ts';

/**
 * The analyser run on a film of a virtual lift, through files as a user would, and the truth at the same instants.
 * Of the synthetic world, only this file and `in-memory.ts` know the analyser.
 */
export interface Analysed {
  readonly lift: VirtualLift;
  readonly filming: Filming;
  /** What the analyser was given. */
  readonly data: RecordingData;
  readonly rig: CameraRig;
  readonly reconstruction: Reconstruction;
  /** null where the points were left free. */
  readonly skeleton: SkeletonFit | null;
  readonly loads: JointLoads;
  readonly record: LiftRecord;
}

export interface AnalyseOptions {
  /** Lines under `settings:` of recording.yaml. */
  readonly settings: readonly string[];
  readonly decimals: Decimals;
  readonly forcePlates?: boolean;
}

export const UNSMOOTHED: AnalyseOptions = { settings: ['smoothing: { cutoff_hz: none }'], decimals: null };
export const AS_DELIVERED: AnalyseOptions = { settings: [], decimals: 2 };

export function analysed(lift: VirtualLift, filming: Filming, options: AnalyseOptions): Analysed {
  const folder = mkdtempSync(join(tmpdir(), 'synthetic-lift-'));
  try {
    const header: RecordingHeader = {
      id: 'synthetic',
      date: null,
      condition: { world: 'synthetic' },
      rig: 'rig.json',
      settings: [...(toldTrunk(lift).trunk ? ['trunk: straight'] : []), ...options.settings],
      forcePlates: options.forcePlates ?? false,
    };
    const files = [
      ...recordingFiles(lift, film(lift, filming), header, options.decimals),
      { path: 'rig.json', text: rigFile(filming.views.map(({ camera }) => camera)) },
    ];
    for (const file of files) {
      const path = join(folder, file.path);
      mkdirSync(dirname(path), { recursive: true });
      writeFileSync(path, bytesOf(file));
    }
    const data = loadRecording(join(folder, 'recording.yaml'));
    return analysedData(lift, filming, data, parseRig(data.rigJson, 'rig.json'));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** A lifter whose trunk is one straight body is said to have one: inside, the analyser assumes what is so. Others are not known to bend. */
export const toldTrunk = ({ setup }: VirtualLift): { readonly trunk?: 'straight' } =>
  setup.lifter.trunk === 'straight' ? { trunk: 'straight' } : {};

/** The analyser's chain on what was read, or made as if read (`in-memory.ts`). */
export function analysedData(lift: VirtualLift, filming: Filming, data: RecordingData, rig: CameraRig): Analysed {
  const reconstruction = reconstruct(data, rig);
  const { smoothed, turn } = reconstruction;
  const skeleton = data.recording.settings.points === 'skeleton' ? skeletonFit(smoothed, data.recording) : null;
  const motion = bodyMotion(skeleton?.trajectories ?? smoothed, data.recording);
  const loads = jointLoads(motion, data.forcePlates, turn);
  const record = describeLift(loads, data.recording);
  return { lift, filming, data, rig, reconstruction, skeleton, loads, record };
}

/** Time of a frame on the lift's clock. */
export const timeOf = ({ loads }: Analysed, frame: number): number => loads.startS + frame / loads.frameRateHz;

/** True landmarks at every frame, turned like the found ones; computed once a run. */
const knownTruth = new WeakMap<Analysed, readonly Map<Landmark, Vector>[]>();

function trueLandmarks(run: Analysed): readonly Map<Landmark, Vector>[] {
  const known = knownTruth.get(run);
  if (known) return known;
  const frames = Array.from({ length: run.loads.frames }, (_, k) =>
    landmarksOf(run.lift.postureAt(timeOf(run, k)), run.lift.setup.equipment),
  );
  knownTruth.set(run, frames);
  return frames;
}

/** Distances between found and true points over all frames, metres; NaN where not found. */
export function pointErrors(run: Analysed, landmark: Landmark, stage: 'raw' | 'smoothed'): Float64Array {
  const { position, landmarks, frames } = run.reconstruction[stage];
  const column = landmarks.indexOf(landmark);
  const errors = new Float64Array(frames);
  const truth = new Float64Array(3);
  for (let k = 0; k < frames; k++) {
    truth.set(worldFromLab(run.filming.placement, trueLandmarks(run)[k].get(landmark)!));
    apply3Into(truth, 0, run.reconstruction.turn, truth, 0);
    const at = 3 * (k * landmarks.length + column);
    errors[k] = Math.hypot(position[at] - truth[0], position[at + 1] - truth[1], position[at + 2] - truth[2]);
  }
  return errors;
}

/** True loads at every frame of the analysis. */
export function trueLoads(run: Analysed): TrueLoads[] {
  return Array.from({ length: run.loads.frames }, (_, k) => loadsAt(run.lift, timeOf(run, k)));
}

export interface MomentError {
  /** Largest true value of the set, N·m. */
  readonly peak: number;
  readonly largest: number;
  readonly rms: number;
  readonly bias: number;
  readonly frames: number;
}

/** Found minus true moment over the frames that have one, leaving out `marginS` at both ends of the recording. */
export function momentError(
  run: Analysed,
  truth: readonly TrueLoads[],
  joint: LoadedJoint,
  part: 'total' | 'gravity',
  marginS = 0,
): MomentError {
  const found = run.loads.fromAbove![joint][part];
  const margin = Math.ceil(marginS * run.loads.frameRateHz);
  let peak = 0;
  let largest = 0;
  let sum = 0;
  let squares = 0;
  let frames = 0;
  for (let k = margin; k < found.length - margin; k++) {
    const right = truth[k][joint][part];
    peak = Math.max(peak, Math.abs(right));
    if (Number.isNaN(found[k])) continue;
    const error = found[k] - right;
    largest = Math.max(largest, Math.abs(error));
    sum += error;
    squares += error * error;
    frames++;
  }
  return { peak, largest, rms: Math.sqrt(squares / frames), bias: sum / frames, frames };
}

/** A measure's value of one repetition (1, 2 …) at one place; NaN where unknown. */
export function measured(run: Analysed, measure: string, at: string, repetition: number): number {
  const row = run.record.measures.find(
    (value) => value.measure === measure && value.at === at && value.repetition === repetition,
  );
  return row ? row.value : Number.NaN;
}
