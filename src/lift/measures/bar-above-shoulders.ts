import { barValue } from './bar-value.ts';
import { readPlaces } from './frame-value.ts';
import { BAR_ENDS, type RepetitionMeasure, SHOULDERS } from './measure.ts';

/** How far the bar lies above the shoulders, m, up positive. */
export const barAboveShoulders: RepetitionMeasure = {
  scope: 'repetition',
  name: 'bar_above_shoulders',
  unit: 'm',
  title: 'Bar above the shoulders',
  definition:
    'How far the middle of the tracked bar lies above the point midway between the shoulder joints; negative = below.',
  knownAs: ['high bar', 'low bar'],
  needs: [...BAR_ENDS, ...SHOULDERS],
  source: 'common practice, no source',
  of(repetition, lift) {
    const value = barValue(
      lift,
      [...SHOULDERS],
      [lift.joint('mid_shoulder')],
      ([left, right, point], i) => (left[i + 1] + right[i + 1]) / 2 - point[i + 1],
    );
    return readPlaces(lift, repetition, value, ['start', 'bottom']);
  },
};
