import { ANKLES, HIPS } from './measure.ts';
import { stance } from './stance-width.ts';

/** Distance between the ankles, in lengths of the leg, 1. */
export const stancePerLegLength = stance({
  name: 'stance_per_leg_length',
  unit: '1',
  scale: 'logarithm',
  title: 'Stance width per leg length',
  definition: 'Ankle distance divided by the length of the leg, hip to ankle when straight.',
  needs: [...ANKLES, ...HIPS],
  of: (distance, lift) => distance / lift.legLengthM,
});
