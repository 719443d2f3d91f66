import type { Landmark } from '../../capture/landmarks.ts';
import { barIsPlaced, barIsTracked, needsBar } from '../../messages.ts';
import { BAR_ENDS, HIPS, type Lift } from './measure.ts';

/** A point whose speed is measured. */
export interface Moving {
  /** Frame quantities: upward velocity and height. */
  readonly velocity: string;
  readonly height: string;
  readonly words: string;
  readonly needs: readonly Landmark[];
  /** Why the recording does not have it; '' where it does. */
  readonly lacking: (lift: Lift) => string;
}

export const BAR: Moving = {
  velocity: 'bar_velocity_y',
  height: 'bar_y',
  words: 'the middle of the tracked bar ends',
  needs: BAR_ENDS,
  lacking: barNotTracked,
};

export const PLACED_BAR: Moving = {
  ...BAR,
  words: 'the bar where its placement puts it (at the shoulders or in the hands), because its ends are not tracked',
  needs: [],
  lacking: (lift) => {
    const { barbell } = lift.loads.motion;
    return barbell === null ? needsBar() : barbell.placedBy ? '' : barIsTracked();
  },
};

export const HIP: Moving = {
  velocity: 'hip_velocity_y',
  height: 'hip_height',
  words: 'the mid-hip point',
  needs: HIPS,
  lacking: () => '',
};

/** Why the recording has no bar with tracked ends; '' where it has one. */
export function barNotTracked(lift: Lift): string {
  const { barbell } = lift.loads.motion;
  return barbell === null ? needsBar() : barbell.placedBy ? barIsPlaced(barbell.placedBy) : '';
}
