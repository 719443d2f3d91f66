import type { RepetitionMeasure } from './measure.ts';
import { PEAK_MOMENT, peakWithinRepetition, WHICH_LEGS } from './peak-within-repetition.ts';

/** Largest ankle plantarflexor moment of a repetition, N·m. */
export const peakAnkleMoment: RepetitionMeasure = {
  ...PEAK_MOMENT,
  name: 'ankle_moment_peak',
  title: 'Largest ankle plantarflexor moment',
  definition: `Largest ankle plantarflexor moment within the repetition. ${WHICH_LEGS}`,
  of: (repetition, lift) => peakWithinRepetition(lift, repetition, 'ankle_moment'),
};
