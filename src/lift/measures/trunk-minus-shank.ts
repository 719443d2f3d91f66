import { ANKLES, HIPS, KNEES, type RepetitionMeasure, SHOULDERS } from './measure.ts';
import { less, readAt } from './readings.ts';

/** How much more the trunk is inclined than the shanks, degrees. */
export const trunkMinusShank: RepetitionMeasure = {
  scope: 'repetition',
  name: 'trunk_minus_shank',
  unit: 'deg',
  title: 'Trunk minus shank inclination',
  definition:
    'Trunk lean less the mean shank inclination; 0 = trunk and shins parallel, positive = the trunk leans more, which puts more of the work on the hips.',
  knownAs: ['back and shins parallel'],
  needs: [...HIPS, ...KNEES, ...ANKLES, ...SHOULDERS],
  source:
    'Barrack, Straub, Cannon & Powers (2021), Int J Sports Sci Coach 16(4): the difference explains 70 % of the variance of the hip-to-knee moment ratio',
  of(repetition, lift) {
    const places = ['parallel', 'bottom'] as const;
    const shank = readAt(lift, repetition, 'shank_inclination', 'both', places);
    return readAt(lift, repetition, 'trunk_lean', null, places).map((trunk, i) => less(trunk, shank[i]));
  },
};
