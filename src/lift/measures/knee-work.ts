import type { RepetitionMeasure } from './measure.ts';
import { legsOverPhases } from './phase-sums.ts';

/** Net work of the muscles about the knees over a phase, J; positive = they add energy. */
export const kneeWork: RepetitionMeasure = {
  scope: 'repetition',
  name: 'knee_work',
  unit: 'j',
  title: 'Work of the knees',
  definition:
    'Net work of the muscles about the knees over a phase: power summed over its time. Positive = they add energy, negative = they take it up. Both legs together as seen from the side; each leg too where a force plate stands under it.',
  knownAs: [],
  needs: [],
  source: 'Winter (2009) ch. 6: work is the integral of power',
  of: (repetition, lift) => legsOverPhases(lift, repetition, 'knee_power'),
};
