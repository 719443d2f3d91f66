import { ascentComesFirst } from '../../messages.ts';
import { HIPS, type RepetitionMeasure, SHOULDERS } from './measure.ts';
import { atFrame, less, readAt, startFrame, unknownAt } from './readings.ts';

/** Lean beyond that of the start, degrees. */
export const extraLean: RepetitionMeasure = {
  scope: 'repetition',
  name: 'extra_lean',
  unit: 'deg',
  title: 'Extra lean',
  definition:
    'Trunk lean less the trunk lean at the start of the repetition: what the squat adds to the way the lifter stands.',
  knownAs: ['falling forward', 'chest dropping'],
  needs: [...HIPS, ...SHOULDERS],
  source: 'common practice, no source',
  of(repetition, lift) {
    // A repetition that begins at the bottom has no stand before it to add to.
    if (repetition.order === 'ascent first') {
      return unknownAt(['parallel', 'largest'], null, ascentComesFirst());
    }
    const start = atFrame(lift, 'trunk_lean', null, 'start', startFrame(repetition));
    return readAt(lift, repetition, 'trunk_lean', null, ['parallel', 'largest']).map((reading) => less(reading, start));
  },
};
