import { ANKLES, KNEES, type RepetitionMeasure, SIDES } from './measure.ts';
import { readAt } from './readings.ts';

/** Inclination of the shanks at parallel and at the bottom, degrees, knee ahead of the ankle positive. */
export const shankInclination: RepetitionMeasure = {
  scope: 'repetition',
  name: 'shank_inclination',
  unit: 'deg',
  title: 'Shank inclination',
  definition:
    'Angle between the vertical and the line from ankle to knee, seen from the side; knee ahead of the ankle positive.',
  knownAs: ['shin angle', 'knees forward'],
  needs: [...KNEES, ...ANKLES],
  source: 'sagittal segment inclination; common practice, no source',
  of: (repetition, lift) =>
    SIDES.flatMap((side) => readAt(lift, repetition, 'shank_inclination', side, ['parallel', 'bottom'])),
};
