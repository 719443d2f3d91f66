import { ascentComesFirst } from '../../messages.ts';
import { barValue } from './bar-value.ts';
import { readPlaces } from './frame-value.ts';
import { BAR_ENDS, type RepetitionMeasure } from './measure.ts';
import { less, unknown } from './readings.ts';

/** How far the bar lies ahead of where it was at the start, m. */
export const barDrift: RepetitionMeasure = {
  scope: 'repetition',
  name: 'bar_drift',
  unit: 'm',
  title: 'Drift of the bar',
  definition:
    'Place of the middle of the tracked bar at the bottom, and at the end of the ascent, less its place at the start, along the way the lifter faces; positive = forward. Where the ascent comes first the bottom is the start, and only the end is given.',
  knownAs: ['bar drifting forward', 'bar path'],
  needs: BAR_ENDS,
  source: 'common practice, no source',
  of(repetition, lift) {
    const forward = barValue(lift, [], [], ([left, right], i) => (left[i] + right[i]) / 2);
    const [start, bottom, end] = readPlaces(lift, repetition, forward, ['start', 'bottom', 'end']).map(
      (reading, _, [first]) => ({ ...less(reading, first), frameFirst: first.frameFirst }),
    );
    return repetition.order === 'ascent first'
      ? [unknown('bottom', null, forward.lacking || ascentComesFirst(), start.frameFirst), end]
      : [bottom, end];
  },
};
