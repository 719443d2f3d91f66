import type { RepetitionMeasure } from './measure.ts';
import { ASSUMED, LEFT_MINUS_RIGHT_SHARED, sharedLeftMinusRight } from './shared-readings.ts';

/** Knee extensor moment of the left leg less that of the right one, N·m, by an assumed sharing; 0 = alike. */
export const kneeLeftMinusRight: RepetitionMeasure = {
  ...LEFT_MINUS_RIGHT_SHARED,
  name: 'knee_moment_shared_left_minus_right',
  title: 'Left minus right knee extensor moment, shared',
  definition: `Knee extensor moment of the left leg less that of the right one; 0 = alike. ${ASSUMED}`,
  of: (repetition, lift) => sharedLeftMinusRight(lift, repetition, 'knee_moment_shared'),
};
