import type { PointSeries } from '../../body/point-series.ts';
import type { Landmark } from '../../capture/landmarks.ts';
import { type FrameValue, frameValue, type OfPoints } from './frame-value.ts';
import { BAR_ENDS, type Lift } from './measure.ts';
import { barNotTracked } from './moving-points.ts';

/**
 * A value made of the tracked ends of the bar (the first two points) and of others. Unknown where the bar is placed by a rule:
 * a bar that follows the shoulders says nothing about where it lies on them.
 */
export function barValue(
  lift: Lift,
  landmarks: readonly Landmark[],
  points: readonly (PointSeries | null)[],
  value: OfPoints,
): FrameValue {
  const made = frameValue(
    lift,
    null,
    [...BAR_ENDS, ...landmarks],
    [lift.landmark('bar_left_end'), lift.landmark('bar_right_end'), ...points],
    value,
  );
  const notTracked = barNotTracked(lift);
  return notTracked === '' ? made : { ...made, lacking: notTracked };
}
