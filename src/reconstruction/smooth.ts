import type { Landmark } from '../capture/landmarks.ts';
import type { Smoothing } from '../capture/recording.ts';
import { isUsable, SampleStatus } from '../capture/sample-status.ts';
import { frameRateTooLow, reconstructionNotes, recordingTooShort } from '../messages/reconstruction.ts';
import { HIGHEST_CUTOFF_SHARE, zeroLagLowPass } from '../numerics/butterworth.ts';
import { cutoffsHz, highestResidualCutoffHz } from './cutoffs.ts';
import { LEAST_RECORDING_S, LEAST_STRETCH_MEMORIES, RESIDUAL_LOWEST_HZ } from './limits.ts';

/** Points after smoothing; layouts as in Trajectories. */
export interface Smoothed {
  readonly position: Float64Array;
  readonly status: Uint8Array;
  /** Per landmark, Hz; NaN where not filtered. */
  readonly cutoffHz: Float64Array;
}

/**
 * Zero-lag Butterworth low-pass of every landmark, stretch by stretch between gaps, so that no gap is filtered across.
 *
 * The first and last 1 / cut-off seconds of a stretch get the status `edge`, also where samples were filled. A stretch
 * shorter than LEAST_STRETCH_MEMORIES / cut-off cannot be filtered: it becomes missing with the reason of the gap beside
 * it, and is noted. Errors: recording-too-short, frame-rate-too-low.
 */
export function smooth(
  file: string,
  landmarks: readonly Landmark[],
  position: Float64Array,
  status: Uint8Array,
  frames: number,
  frameRateHz: number,
  smoothing: Smoothing,
  notes: string[],
): Smoothed {
  const durationS = frames / frameRateHz;
  if (durationS < LEAST_RECORDING_S) {
    throw recordingTooShort(file, durationS, LEAST_RECORDING_S, 'shorter than any repetition');
  }
  const result = { position: position.slice(), status: status.slice(), cutoffHz: new Float64Array(landmarks.length) };
  if (smoothing.kind === 'none') {
    result.cutoffHz.fill(Number.NaN);
    return result;
  }
  const residualLimitHz = highestResidualCutoffHz(frameRateHz);
  if (smoothing.kind === 'residual' && !(residualLimitHz > RESIDUAL_LOWEST_HZ)) {
    throw frameRateTooLow(file, frameRateHz, RESIDUAL_LOWEST_HZ, residualLimitHz);
  }
  result.cutoffHz.set(cutoffsHz(landmarks, position, status, frames, frameRateHz, smoothing, notes));
  checkCutoffs(file, result.cutoffHz, frameRateHz, durationS);

  const count = landmarks.length;
  for (let l = 0; l < count; l++) {
    const cutoffHz = result.cutoffHz[l];
    if (Number.isNaN(cutoffHz)) continue;
    const least = Math.ceil((LEAST_STRETCH_MEMORIES * frameRateHz) / cutoffHz - 1e-9);
    const edge = Math.ceil(frameRateHz / cutoffHz - 1e-9);
    let dropped = 0;
    for (const { first, end } of stretches(status, count, frames, l)) {
      if (end - first < least) {
        dropStretch(result, status, count, frames, l, first, end);
        dropped += end - first;
      } else {
        filterStretch(result, position, count, l, first, end, frameRateHz, cutoffHz);
        markEdges(result.status, count, l, first, end, edge);
      }
    }
    if (dropped > 0)
      notes.push(reconstructionNotes.shortStretch(landmarks[l], dropped, LEAST_STRETCH_MEMORIES / cutoffHz));
  }
  return result;
}

export interface Stretch {
  readonly first: number;
  /** One past the last frame. */
  readonly end: number;
}

/** Longest runs of usable frames of one landmark. */
export function stretches(status: Uint8Array, count: number, frames: number, landmark: number): Stretch[] {
  const found: Stretch[] = [];
  let first = -1;
  for (let k = 0; k <= frames; k++) {
    const usable = k < frames && isUsable(status[k * count + landmark]);
    if (usable && first < 0) first = k;
    if (!usable && first >= 0) {
      found.push({ first, end: k });
      first = -1;
    }
  }
  return found;
}

function checkCutoffs(file: string, cutoffs: Float64Array, frameRateHz: number, durationS: number): void {
  const limitHz = HIGHEST_CUTOFF_SHARE * frameRateHz;
  for (const cutoffHz of cutoffs) {
    if (Number.isNaN(cutoffHz)) continue;
    if (!(cutoffHz < limitHz)) throw frameRateTooLow(file, frameRateHz, cutoffHz, limitHz);
    const leastS = LEAST_STRETCH_MEMORIES / cutoffHz;
    if (durationS < leastS - 1e-9) {
      throw recordingTooShort(file, durationS, leastS, `${LEAST_STRETCH_MEMORIES} / cut-off, at ${cutoffHz} Hz`);
    }
  }
}

function filterStretch(
  result: Smoothed,
  position: Float64Array,
  count: number,
  landmark: number,
  first: number,
  end: number,
  frameRateHz: number,
  cutoffHz: number,
): void {
  const series = new Float64Array(end - first);
  for (let axis = 0; axis < 3; axis++) {
    for (let k = first; k < end; k++) series[k - first] = position[3 * (k * count + landmark) + axis];
    const filtered = zeroLagLowPass(series, frameRateHz, cutoffHz);
    for (let k = first; k < end; k++) result.position[3 * (k * count + landmark) + axis] = filtered[k - first];
  }
}

function markEdges(
  status: Uint8Array,
  count: number,
  landmark: number,
  first: number,
  end: number,
  edge: number,
): void {
  for (let k = first; k < end; k++) {
    if (k - first < edge || end - 1 - k < edge) status[k * count + landmark] = SampleStatus.edge;
  }
}

/** The reason of the gap before the stretch, else of the one after it; a stretch without gaps fills the recording and is never short. */
function dropStretch(
  result: Smoothed,
  status: Uint8Array,
  count: number,
  frames: number,
  landmark: number,
  first: number,
  end: number,
): void {
  const beside = first > 0 ? first - 1 : Math.min(end, frames - 1);
  const reason = status[beside * count + landmark];
  for (let k = first; k < end; k++) {
    const s = k * count + landmark;
    result.status[s] = reason;
    result.position.fill(Number.NaN, 3 * s, 3 * s + 3);
  }
}
