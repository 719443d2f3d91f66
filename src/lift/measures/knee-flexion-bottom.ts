import { ANKLES, HIPS, KNEES, type RepetitionMeasure, SIDES } from './measure.ts';
import { readAt } from './readings.ts';

/** How far the knees are bent at the bottom, degrees. */
export const kneeFlexionBottom: RepetitionMeasure = {
  scope: 'repetition',
  name: 'knee_flexion_bottom',
  unit: 'deg',
  title: 'Knee bend at the bottom',
  definition:
    'Angle by which the knee is bent at the lowest point, in space, between hip, knee and ankle: 0 = straight. Beyond about 120 to 130 thigh and calf touch, and part of the effort at the knee is theirs.',
  knownAs: ['knee angle', 'full depth'],
  needs: [...HIPS, ...KNEES, ...ANKLES],
  source: 'common practice, no source',
  of: (repetition, lift) => SIDES.flatMap((side) => readAt(lift, repetition, 'knee_flexion', side, ['bottom'])),
};
