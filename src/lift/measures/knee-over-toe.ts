import { BIG_TOES, KNEES, type RepetitionMeasure, SIDES } from './measure.ts';
import { readAt } from './readings.ts';

/** How far the knee is ahead of the tip of the big toe, metres. */
export const kneeOverToe: RepetitionMeasure = {
  scope: 'repetition',
  name: 'knee_over_toe',
  unit: 'm',
  title: 'Knee over toe',
  definition:
    'Distance of the knee ahead of the tip of the big toe, in the direction the lifter faces; negative = behind it.',
  knownAs: ['knees past the toes'],
  needs: [...KNEES, ...BIG_TOES],
  source: 'common practice, no source',
  of: (repetition, lift) =>
    SIDES.flatMap((side) => readAt(lift, repetition, 'knee_over_toe', side, ['parallel', 'bottom', 'largest'])),
};
