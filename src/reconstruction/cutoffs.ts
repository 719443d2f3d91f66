import type { Landmark } from '../capture/landmarks.ts';
import type { Smoothing } from '../capture/recording.ts';
import { isUsable } from '../capture/sample-status.ts';
import { reconstructionNotes } from '../messages/reconstruction.ts';
import { residualAnalysis } from '../numerics/butterworth.ts';
import { LEAST_STRETCH_MEMORIES, RESIDUAL_HIGHEST_HZ, RESIDUAL_HIGHEST_OF_RATE, RESIDUAL_LOWEST_HZ } from './limits.ts';

export type FilterGroup = 'legs' | 'trunk' | 'bar';

/** The group whose fixed cut-off a landmark takes: knees and feet move fast and lightly, the trunk carries the load. */
export function filterGroup(landmark: Landmark): FilterGroup {
  if (landmark.startsWith('bar_')) return 'bar';
  return /knee|ankle|toe|heel/.test(landmark) ? 'legs' : 'trunk';
}

/** Upper bound of residual analysis at a frame rate, Hz; it must lie above RESIDUAL_LOWEST_HZ. */
export function highestResidualCutoffHz(frameRateHz: number): number {
  return Math.min(RESIDUAL_HIGHEST_HZ, RESIDUAL_HIGHEST_OF_RATE * frameRateHz);
}

/**
 * The cut-off of every landmark, Hz: fixed by group, or by residual analysis (Winter 2009 sec. 3.4.4.3) of its longest
 * stretch, the mean of its three axes, each kept within RESIDUAL_LOWEST_HZ and `highestResidualCutoffHz`. NaN for a landmark that is never seen, and for smoothing 'none'.
 */
export function cutoffsHz(
  landmarks: readonly Landmark[],
  position: Float64Array,
  status: Uint8Array,
  frames: number,
  frameRateHz: number,
  smoothing: Smoothing,
  notes: string[],
): Float64Array {
  const count = landmarks.length;
  return Float64Array.from(landmarks, (landmark, l) => {
    const { first, length } = longestStretch(status, count, frames, l);
    if (length === 0 || smoothing.kind === 'none') return Number.NaN;
    if (smoothing.kind === 'fixed') {
      return { legs: smoothing.legsHz, trunk: smoothing.trunkHz, bar: smoothing.barHz }[filterGroup(landmark)];
    }
    const highestHz = highestResidualCutoffHz(frameRateHz);
    if (length < (LEAST_STRETCH_MEMORIES * frameRateHz) / RESIDUAL_LOWEST_HZ) {
      notes.push(reconstructionNotes.residualFallback(landmark, highestHz));
      return highestHz;
    }
    let sum = 0;
    const series = new Float64Array(length);
    for (let axis = 0; axis < 3; axis++) {
      for (let k = 0; k < length; k++) series[k] = position[3 * ((first + k) * count + l) + axis];
      sum += residualAnalysis(series, frameRateHz, { lowestHz: RESIDUAL_LOWEST_HZ, highestHz }).cutoffHz;
    }
    return sum / 3;
  });
}

function longestStretch(
  status: Uint8Array,
  count: number,
  frames: number,
  landmark: number,
): { first: number; length: number } {
  let best = { first: 0, length: 0 };
  let length = 0;
  for (let k = 0; k < frames; k++) {
    length = isUsable(status[k * count + landmark]) ? length + 1 : 0;
    if (length > best.length) best = { first: k - length + 1, length };
  }
  return best;
}
