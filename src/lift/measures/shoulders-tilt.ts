import { type RepetitionMeasure, SHOULDERS } from './measure.ts';
import { readAt } from './readings.ts';

/** Slope of the line of the shoulders seen from the front, degrees, right shoulder higher positive. Source: common practice, no source. */
export const shouldersTilt: RepetitionMeasure = {
  scope: 'repetition',
  name: 'shoulders_tilt',
  unit: 'deg',
  title: 'Tilt of the shoulders',
  definition:
    'Slope of the line from left to right shoulder, seen from the front; positive = the right shoulder is higher.',
  knownAs: ['shoulders not level'],
  needs: [...SHOULDERS],
  source: 'common practice, no source',
  of: (repetition, lift) => readAt(lift, repetition, 'shoulders_tilt', null, ['start', 'bottom']),
};
