import { HIPS, KNEES, type RepetitionMeasure, SIDES } from './measure.ts';
import { readAt } from './readings.ts';

/** Thigh elevation at the bottom, degrees. */
export const bottomThighElevation: RepetitionMeasure = {
  scope: 'repetition',
  name: 'bottom_thigh_elevation',
  unit: 'deg',
  title: 'Depth: thigh elevation at the bottom',
  definition:
    'Angle of the thigh against the floor at the lowest point: 90 = standing, 0 = hip joint level with the knee (parallel), negative = below. Joint centres, not the crease of the hip.',
  knownAs: ['depth', 'breaking parallel'],
  needs: [...HIPS, ...KNEES],
  source: 'common practice, no source',
  of: (repetition, lift) => SIDES.flatMap((side) => readAt(lift, repetition, 'thigh_elevation', side, ['bottom'])),
};
