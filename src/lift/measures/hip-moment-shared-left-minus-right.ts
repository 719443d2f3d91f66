import type { RepetitionMeasure } from './measure.ts';
import { ASSUMED, LEFT_MINUS_RIGHT_SHARED, sharedLeftMinusRight } from './shared-readings.ts';

/** Hip extensor moment of the left leg less that of the right one, N·m, by an assumed sharing; 0 = alike. */
export const hipLeftMinusRight: RepetitionMeasure = {
  ...LEFT_MINUS_RIGHT_SHARED,
  name: 'hip_moment_shared_left_minus_right',
  title: 'Left minus right hip extensor moment, shared',
  definition: `Hip extensor moment of the left leg less that of the right one; 0 = alike. ${ASSUMED}`,
  of: (repetition, lift) => sharedLeftMinusRight(lift, repetition, 'hip_moment_shared'),
};
