import { barValue } from './bar-value.ts';
import { readPlaces } from './frame-value.ts';
import { BAR_ENDS, type RepetitionMeasure, SHOULDERS } from './measure.ts';

/** How far the bar lies ahead of the shoulders, m, forward positive. */
export const barAheadOfShoulders: RepetitionMeasure = {
  scope: 'repetition',
  name: 'bar_ahead_of_shoulders',
  unit: 'm',
  title: 'Bar ahead of the shoulders',
  definition:
    'How far the middle of the tracked bar lies ahead of the point midway between the shoulder joints, along the way the lifter faces; negative = behind.',
  knownAs: ['bar on the shoulders', 'bar on the fingers'],
  needs: [...BAR_ENDS, ...SHOULDERS],
  source: 'common practice, no source',
  of(repetition, lift) {
    const value = barValue(
      lift,
      [...SHOULDERS],
      [lift.joint('mid_shoulder')],
      ([left, right, point], i) => (left[i] + right[i]) / 2 - point[i],
    );
    return readPlaces(lift, repetition, value, ['start', 'bottom']);
  },
};
