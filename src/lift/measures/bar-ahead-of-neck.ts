import { barValue } from './bar-value.ts';
import { readPlaces } from './frame-value.ts';
import { BAR_ENDS, type RepetitionMeasure } from './measure.ts';

/** How far the bar lies ahead of the neck, m, forward positive. */
export const barAheadOfNeck: RepetitionMeasure = {
  scope: 'repetition',
  name: 'bar_ahead_of_neck',
  unit: 'm',
  title: 'Bar ahead of the neck',
  definition:
    'How far the middle of the tracked bar lies ahead of the skin over the lowest neck bone (C7), along the way the lifter faces; negative = behind. A bar that comes nearer in a front rack comes nearer to the throat.',
  knownAs: ['bar against the throat'],
  needs: [...BAR_ENDS, 'neck_base'],
  source: 'common practice, no source',
  of(repetition, lift) {
    const value = barValue(
      lift,
      ['neck_base'],
      [lift.landmark('neck_base')],
      ([left, right, point], i) => (left[i] + right[i]) / 2 - point[i],
    );
    return readPlaces(lift, repetition, value, ['start', 'bottom']);
  },
};
