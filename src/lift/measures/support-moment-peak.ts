import type { RepetitionMeasure } from './measure.ts';
import { PEAK_MOMENT, peakWithinRepetition, WHICH_LEGS } from './peak-within-repetition.ts';

/** Largest support moment (hip + knee + ankle) of a repetition, N·m. */
export const peakSupportMoment: RepetitionMeasure = {
  ...PEAK_MOMENT,
  name: 'support_moment_peak',
  title: 'Largest support moment (hip + knee + ankle)',
  definition: `Largest support moment (hip + knee + ankle) within the repetition. ${WHICH_LEGS}`,
  of: (repetition, lift) => peakWithinRepetition(lift, repetition, 'support_moment'),
};
