import { HEELS } from './measure.ts';
import { MEASURED, stance } from './stance-width.ts';

/** Distance between the heels, m. */
export const stanceHeelDistance = stance(
  {
    name: 'stance_heel_distance',
    unit: 'm',
    title: 'Stance width between the heels',
    definition: `Distance between the two heels on the floor plane. ${MEASURED}`,
    needs: [...HEELS],
    of: (distance) => distance,
  },
  (lift) => [lift.landmark('left_heel'), lift.landmark('right_heel')],
  HEELS,
);
