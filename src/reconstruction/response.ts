import { type AnalysisSettings, smoothingMethod } from '../capture/recording.ts';
import { isUsable } from '../capture/sample-status.ts';
import { transposeInto } from '../numerics/transpose.ts';
import { fillGapsInPlace, longestGapFrames, markFilled, planGaps } from './gaps.ts';
import type { MeasuredPoints } from './measured-points.ts';
import type { Smoothed } from './smooth.ts';
import { planStretches, smoothStretchesInPlace } from './stretches.ts';

/**
 * How the smoothed points move when the raw ones do: gap filling and smoothing are linear once cut-offs, gaps and
 * stretches are decided, so displacements go through the same operator.
 * displacement: `3 * (frame * landmarks + landmark)`, metres, a number wherever the raw point is seen (elsewhere it is not
 * read). Returns the same layout, NaN where the smoothed point is; a new array unless `out` is given, which may be
 * `displacement` itself.
 */
export type Response = (displacement: Float64Array, out?: Float64Array) => Float64Array;

/** The response with everything decided as it was for `smoothed`; built when first used. */
export function responseOf(
  points: Pick<MeasuredPoints, 'landmarks' | 'frames' | 'frameRateHz' | 'status'>,
  settings: AnalysisSettings,
  smoothed: Smoothed,
): Response {
  let ready: Response | null = null;
  return (displacement, out = new Float64Array(displacement.length)) => {
    ready ??= planned(points, settings, smoothed);
    return ready(displacement, out);
  };
}

function planned(
  { landmarks, frames, frameRateHz, status }: Pick<MeasuredPoints, 'landmarks' | 'frames' | 'frameRateHz' | 'status'>,
  settings: AnalysisSettings,
  smoothed: Smoothed,
): Response {
  const count = landmarks.length;
  const gaps = planGaps(status, count, frames, longestGapFrames(settings.gapLimitS, frameRateHz));
  const filled = status.slice();
  markFilled(filled, gaps, count);
  const method = smoothingMethod(settings.smoothing);
  const stretches = method === null ? [] : planStretches(method, filled, smoothed.cutoffHz, frames, frameRateHz);
  const missing: number[] = [];
  smoothed.status.forEach((code, sample) => {
    if (!isUsable(code)) missing.push(sample);
  });
  const series = new Float64Array(3 * frames * count);
  return (displacement, out = new Float64Array(displacement.length)) => {
    if (displacement.length !== series.length || out.length !== series.length) {
      throw new RangeError(`response: ${displacement.length} and ${out.length} values, ${series.length} wanted`);
    }
    transposeInto(series, displacement, frames, 3 * count);
    fillGapsInPlace(series, gaps, 1, frames);
    smoothStretchesInPlace(series, stretches, frames);
    transposeInto(out, series, 3 * count, frames);
    for (let i = 0; i < missing.length; i++) out.fill(Number.NaN, 3 * missing[i], 3 * missing[i] + 3);
    return out;
  };
}
