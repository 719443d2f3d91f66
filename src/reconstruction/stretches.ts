import type { SmoothingMethod } from '../capture/recording.ts';
import { isUsable, SampleStatus } from '../capture/sample-status.ts';
import { zeroLagFilterPlan } from '../numerics/butterworth.ts';
import type { PlannedSmoother } from '../numerics/planned-smoother.ts';
import { smoothingSplinePlan } from '../numerics/smoothing-spline.ts';
import { type SmoothnessOrder, smoothnessWeight } from '../numerics/spline-bandwidth.ts';
import { stateSpacePlan } from '../numerics/state-space-smoother.ts';
import { LEAST_STRETCH_MEMORIES } from './limits.ts';

/** The longest run of usable frames of one landmark between gaps, and its smoother; null = too short, to be left out. */
export interface Stretch {
  readonly landmark: number;
  readonly first: number;
  /** One past the last frame. */
  readonly end: number;
  readonly smoother: PlannedSmoother | null;
}

/** Smoothness: the spline bends by white jerk (fifth-degree), the state-space model by white acceleration. */
export const SPLINE_ORDER: SmoothnessOrder = 3;
export const STATE_SPACE_ORDER: SmoothnessOrder = 2;

/**
 * Above this many frames per period of the cut-off the spline's equations lose digits (relative error 2e-7 at 170); the
 * state-space recursion of the same order gives the same curve without that loss.
 */
const SPLINE_FRAMES_PER_PERIOD = 80;

/**
 * Stretches of every landmark that has a cut-off, in order of landmark and time. What was filled is taken as missing by
 * the methods that need no filling. Like stretches share a smoother.
 * status: after gaps were marked `filled`; `frame * count + landmark`. cutoffHz: per landmark, NaN = not smoothed.
 */
export function planStretches(
  method: SmoothingMethod,
  status: Uint8Array,
  cutoffHz: Float64Array,
  frames: number,
  frameRateHz: number,
): Stretch[] {
  const count = cutoffHz.length;
  const known = new Map<string, PlannedSmoother>();
  const found: Stretch[] = [];
  for (let l = 0; l < count; l++) {
    if (Number.isNaN(cutoffHz[l])) continue;
    const least = Math.ceil((LEAST_STRETCH_MEMORIES * frameRateHz) / cutoffHz[l] - 1e-9);
    for (const { first, end } of usableRuns(status, count, frames, l)) {
      const weights = method === 'zero-lag filter' ? null : seenWeights(status, count, l, first, end);
      const seen = weights === null ? end - first : weights.reduce((sum, weight) => sum + weight, 0);
      if (end - first < least || seen < SPLINE_ORDER) {
        found.push({ landmark: l, first, end, smoother: null });
        continue;
      }
      const missing = seen < end - first ? (weights ?? []).join('') : '';
      const key = `${end - first} ${cutoffHz[l]} ${missing}`;
      const smoother =
        known.get(key) ?? smootherOf(method, end - first, missing === '' ? null : weights, frameRateHz, cutoffHz[l]);
      known.set(key, smoother);
      found.push({ landmark: l, first, end, smoother });
    }
  }
  return found;
}

/** Smooths every stretch in place. series: one by one, `(3 * landmark + axis) * frames + frame`. */
export function smoothStretchesInPlace(series: Float64Array, stretches: readonly Stretch[], frames: number): void {
  for (const { landmark, first, smoother } of stretches) {
    if (smoother === null) continue;
    for (let axis = 0; axis < 3; axis++) {
      const at = (3 * landmark + axis) * frames + first;
      smoother.applyInto(series, at, series, at, 1);
    }
  }
}

function smootherOf(
  method: SmoothingMethod,
  length: number,
  weights: Float64Array | null,
  frameRateHz: number,
  cutoffHz: number,
): PlannedSmoother {
  if (method === 'zero-lag filter') return zeroLagFilterPlan(length, frameRateHz, cutoffHz);
  // Time in frames.
  const times = Float64Array.from({ length }, (_, k) => k);
  const order = method === 'smoothing spline' ? SPLINE_ORDER : STATE_SPACE_ORDER;
  const lambda = smoothnessWeight(cutoffHz / frameRateHz, 1, order);
  const byEquations = method === 'smoothing spline' && frameRateHz <= SPLINE_FRAMES_PER_PERIOD * cutoffHz;
  return byEquations
    ? smoothingSplinePlan(times, lambda, order, weights)
    : stateSpacePlan(times, lambda, order, weights);
}

/** Longest runs of usable frames of one landmark. */
function usableRuns(
  status: Uint8Array,
  count: number,
  frames: number,
  landmark: number,
): { first: number; end: number }[] {
  const found: { first: number; end: number }[] = [];
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

/** 1 where seen, 0 where filled. */
function seenWeights(status: Uint8Array, count: number, landmark: number, first: number, end: number): Float64Array {
  return Float64Array.from({ length: end - first }, (_, i) =>
    status[(first + i) * count + landmark] === SampleStatus.filled ? 0 : 1,
  );
}
