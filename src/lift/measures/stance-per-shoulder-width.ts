import { ANKLES, SHOULDERS } from './measure.ts';
import { shouldersApart } from './shoulder-width.ts';
import { stance } from './stance-width.ts';

/** Distance between the ankles, in widths of the shoulders, 1. */
export const stancePerShoulderWidth = stance({
  name: 'stance_per_shoulder_width',
  unit: '1',
  scale: 'logarithm',
  title: 'Stance width per shoulder width',
  definition: 'Ankle distance divided by the distance between the shoulder points.',
  needs: [...ANKLES, ...SHOULDERS],
  of(distance, lift) {
    const widthM = shouldersApart(lift);
    return typeof widthM === 'string' ? widthM : distance / widthM;
  },
});
