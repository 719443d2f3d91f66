import { ANKLES } from './measure.ts';
import { MEASURED, stance } from './stance-width.ts';

/** Distance between the ankles, m. */
export const stanceAnkleDistance = stance({
  name: 'stance_ankle_distance',
  unit: 'm',
  title: 'Stance width between the ankles',
  definition: `Distance between the two ankle joints on the floor plane. ${MEASURED}`,
  needs: [...ANKLES],
  of: (distance) => distance,
});
