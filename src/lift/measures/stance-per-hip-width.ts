import { HIP_CENTRES_APART_LIMIT_M } from '../limits.ts';
import { hipCentresApart } from './hip-width.ts';
import { ANKLES, HIPS } from './measure.ts';
import { stance } from './stance-width.ts';

/** Distance between the ankles, in widths of the hips, 1. */
export const stancePerHipWidth = stance({
  name: 'stance_per_hip_width',
  unit: '1',
  // Hips lie near each other: nearly all doubt is that of their distance.
  scale: 'reciprocal',
  title: 'Stance width per hip width',
  definition: `Ankle distance divided by the distance between the hip joint centres. Unknown where the hip points lie more than ${HIP_CENTRES_APART_LIMIT_M} m apart: then they are no joint centres.`,
  needs: [...ANKLES, ...HIPS],
  of(distance, lift) {
    const widthM = hipCentresApart(lift);
    return typeof widthM === 'string' ? widthM : distance / widthM;
  },
});
