import type { RepetitionMeasure } from './measure.ts';
import { PEAK_MOMENT, peakWithinRepetition, WHICH_LEGS } from './peak-within-repetition.ts';

/** Largest knee extensor moment of a repetition, N·m. */
export const peakKneeMoment: RepetitionMeasure = {
  ...PEAK_MOMENT,
  name: 'knee_moment_peak',
  title: 'Largest knee extensor moment',
  definition: `Largest knee extensor moment within the repetition. ${WHICH_LEGS}`,
  of: (repetition, lift) => peakWithinRepetition(lift, repetition, 'knee_moment'),
};
