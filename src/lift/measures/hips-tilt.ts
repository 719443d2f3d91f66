import { HIPS, type RepetitionMeasure } from './measure.ts';
import { readAt } from './readings.ts';

/** Slope of the line of the hips seen from the front, degrees, right hip higher positive. Source: common practice, no source. */
export const hipsTilt: RepetitionMeasure = {
  scope: 'repetition',
  name: 'hips_tilt',
  unit: 'deg',
  title: 'Tilt of the hips',
  definition: 'Slope of the line from left to right hip, seen from the front; positive = the right hip is higher.',
  knownAs: ['hips not level'],
  needs: [...HIPS],
  source: 'common practice, no source',
  of: (repetition, lift) => readAt(lift, repetition, 'hips_tilt', null, ['start', 'bottom']),
};
