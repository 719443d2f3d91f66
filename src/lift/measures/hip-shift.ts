import { ANKLES, HIPS, type RepetitionMeasure } from './measure.ts';
import { sinceStart } from './since-start.ts';

/** Sideways shift of the hips over the feet, m, to the right positive; known as "hip shift". Source: common practice, no source. */
export const hipShift: RepetitionMeasure = {
  scope: 'repetition',
  name: 'hip_shift',
  unit: 'm',
  title: 'Hip shift',
  definition:
    'How far mid-hip moves to the lifter’s right of the point midway between the ankles, against where it stood around the start.',
  knownAs: ['hip shift', 'squatting into one leg'],
  needs: [...HIPS, ...ANKLES],
  source: 'common practice, no source',
  of: (repetition, lift) => sinceStart(lift, repetition, 'hip_shift', null, ['parallel', 'bottom', 'drive']),
};
