import { measuredLength } from '../../body/point-series.ts';
import { type Lift, type SetMeasure, SHOULDERS } from './measure.ts';
import { ofTheSet } from './readings-of-set.ts';
import { lacking } from './stance-width.ts';

/** Distance between the shoulder points, m. */
export const shoulderWidth: SetMeasure = {
  scope: 'set',
  name: 'shoulder_width',
  unit: 'm',
  title: 'Shoulder width',
  definition:
    'Distance between the two shoulder points, median over the recording. A bar in the front rack pulls the shoulders forward and together: it is the width under the bar, not that of free shoulders.',
  knownAs: ['broad shoulders'],
  needs: [...SHOULDERS],
  source: 'common practice, no source',
  of: (lift) => [ofTheSet(lift, shouldersApart(lift))],
};

/** How far the shoulder points lie apart, m, or why that is unknown. */
export function shouldersApart(lift: Lift): number | string {
  const [left, right] = [lift.landmark('left_shoulder'), lift.landmark('right_shoulder')];
  return left && right ? measuredLength(left, right).lengthM : lacking(lift, SHOULDERS);
}
