import { ELBOWS, upperArmElevations } from './arm-points.ts';
import { readPlaces } from './frame-value.ts';
import { type RepetitionMeasure, SHOULDERS } from './measure.ts';

/** How high the elbows are held, degrees. */
export const upperArmElevation: RepetitionMeasure = {
  scope: 'repetition',
  name: 'upper_arm_elevation',
  unit: 'deg',
  title: 'Upper arm elevation',
  definition:
    'Angle of the line from shoulder to elbow against the horizontal: 0 = upper arm level, positive = elbow higher than the shoulder, negative = lower. Smallest = the lowest within the repetition.',
  knownAs: ['elbows up', 'high elbows'],
  needs: [...SHOULDERS, ...ELBOWS],
  source: 'common practice, no source',
  of: (repetition, lift) =>
    upperArmElevations(lift).flatMap((value) =>
      readPlaces(lift, repetition, value, ['start', 'parallel', 'bottom', 'smallest']),
    ),
};
