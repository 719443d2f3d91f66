import { largestInAscent } from './largest-in-ascent.ts';
import type { RepetitionMeasure } from './measure.ts';

/** Largest power given to the bar in the ascent, W; known as "peak power". */
export const peakBarPower: RepetitionMeasure = {
  scope: 'repetition',
  name: 'bar_power_peak',
  unit: 'w',
  title: 'Largest power on the bar',
  definition: 'Largest power given to the bar in the ascent: the force on it times its velocity.',
  knownAs: ['peak power'],
  needs: [],
  source: 'common practice, no source',
  of: (repetition, lift) => [largestInAscent(lift, repetition, 'bar_power', null)],
};
