import type { AnalysisSettings } from '../capture/recording.ts';
import { isUsable } from '../capture/sample-status.ts';
import { fillGaps, longestGapFrames } from './gaps.ts';
import type { MeasuredPoints } from './measured-points.ts';
import { type Smoothed, smooth } from './smooth.ts';

/**
 * How the smoothed points move when the raw ones do: gap filling and smoothing are linear once cut-offs, gaps and
 * stretches are decided, so displacements go through the same operator.
 * displacement: `3 * (frame * landmarks + landmark)`, metres, a number wherever the raw point is seen. Returns the same
 * layout, NaN where the smoothed point is.
 */
export type Response = (displacement: Float64Array) => Float64Array;

/** The response with everything decided as it was for `smoothed`. */
export function responseOf(points: MeasuredPoints, settings: AnalysisSettings, smoothed: Smoothed): Response {
  const { landmarks, frames, frameRateHz } = points;
  const longest = longestGapFrames(settings.gapLimitS, frameRateHz);
  return (displacement) => {
    const position = displacement.slice();
    const status = points.status.slice();
    for (let s = 0; s < status.length; s++) {
      if (!isUsable(status[s])) position.fill(Number.NaN, 3 * s, 3 * s + 3);
    }
    fillGaps(position, status, landmarks.length, frames, longest);
    const smoothing = settings.smoothing.kind === 'residual' ? fixedAt(smoothed.cutoffHz) : settings.smoothing;
    return smooth('', landmarks, position, status, frames, frameRateHz, smoothing, []).position;
  };
}

/** Cut-offs are decided once: a displacement has none of its own. */
function fixedAt(_cutoffHz: Float64Array): AnalysisSettings['smoothing'] {
  throw new RangeError('response to residual cut-offs is not written yet');
}
