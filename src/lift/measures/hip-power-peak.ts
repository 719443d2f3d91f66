import { legsLargestInAscent } from './largest-in-ascent.ts';
import type { RepetitionMeasure } from './measure.ts';

/** Largest power of the muscles about the hips in the ascent, W. */
export const peakHipPower: RepetitionMeasure = {
  scope: 'repetition',
  name: 'hip_power_peak',
  unit: 'w',
  title: 'Largest power of the hips',
  definition: 'Largest power of the hips in the ascent.',
  knownAs: [],
  needs: [],
  source: 'common practice, no source',
  of: (repetition, lift) => legsLargestInAscent(lift, repetition, 'hip_power'),
};
