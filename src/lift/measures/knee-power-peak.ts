import { legsLargestInAscent } from './largest-in-ascent.ts';
import type { RepetitionMeasure } from './measure.ts';

/** Largest power of the muscles about the knees in the ascent, W. */
export const peakKneePower: RepetitionMeasure = {
  scope: 'repetition',
  name: 'knee_power_peak',
  unit: 'w',
  title: 'Largest power of the knees',
  definition: 'Largest power of the knees in the ascent.',
  knownAs: [],
  needs: [],
  source: 'common practice, no source',
  of: (repetition, lift) => legsLargestInAscent(lift, repetition, 'knee_power'),
};
