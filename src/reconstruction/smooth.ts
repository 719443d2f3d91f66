import type { Landmark } from '../capture/landmarks.ts';
import { type Smoothing, smoothingMethod } from '../capture/recording.ts';
import { SampleStatus } from '../capture/sample-status.ts';
import { frameRateTooLow, reconstructionNotes, recordingTooShort } from '../messages/reconstruction.ts';
import { HIGHEST_CUTOFF_SHARE } from '../numerics/butterworth.ts';
import { transposeInto } from '../numerics/transpose.ts';
import { cutoffsHz, highestResidualCutoffHz } from './cutoffs.ts';
import { LEAST_RECORDING_S, LEAST_STRETCH_MEMORIES, RESIDUAL_LOWEST_HZ } from './limits.ts';
import { planStretches, type Stretch, smoothStretchesInPlace } from './stretches.ts';

/** Points after smoothing; layouts as in Trajectories. */
export interface Smoothed {
  readonly position: Float64Array;
  readonly status: Uint8Array;
  /** Per landmark, Hz; NaN where not filtered. */
  readonly cutoffHz: Float64Array;
}

/**
 * Every landmark low-passed (zero-lag filter, smoothing spline or state-space smoother), stretch by stretch between gaps,
 * so that no gap longer than the limit is smoothed across. A gap that was filled is filled anew by the two methods that
 * need no filling.
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
  const method = smoothingMethod(smoothing);
  if (method === null) {
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
  const dropped = new Int32Array(count);
  const stretches = planStretches(method, status, result.cutoffHz, frames, frameRateHz);
  const series = new Float64Array(position.length);
  transposeInto(series, position, frames, 3 * count);
  smoothStretchesInPlace(series, stretches, frames);
  transposeInto(result.position, series, 3 * count, frames);
  for (const stretch of stretches) {
    if (stretch.smoother === null) {
      dropStretch(result, status, count, frames, stretch);
      dropped[stretch.landmark] += stretch.end - stretch.first;
    } else {
      markEdges(result.status, count, stretch, Math.ceil(frameRateHz / result.cutoffHz[stretch.landmark] - 1e-9));
    }
  }
  dropped.forEach((samples, l) => {
    const leastS = LEAST_STRETCH_MEMORIES / result.cutoffHz[l];
    if (samples > 0) notes.push(reconstructionNotes.shortStretch(landmarks[l], samples, leastS));
  });
  return result;
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

/** `edge` frames at both ends: one memory, 1 / cut-off, with every method. */
function markEdges(status: Uint8Array, count: number, { landmark, first, end }: Stretch, edge: number): void {
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
  { landmark, first, end }: Stretch,
): void {
  const beside = first > 0 ? first - 1 : Math.min(end, frames - 1);
  const reason = status[beside * count + landmark];
  for (let k = first; k < end; k++) {
    const s = k * count + landmark;
    result.status[s] = reason;
    result.position.fill(Number.NaN, 3 * s, 3 * s + 3);
  }
}
