import type { RepetitionMeasure } from './measure.ts';
import { PEAK_MOMENT, peakWithinRepetition, WHICH_LEGS } from './peak-within-repetition.ts';

/** Largest hip extensor moment of a repetition, N·m. */
export const peakHipMoment: RepetitionMeasure = {
  ...PEAK_MOMENT,
  name: 'hip_moment_peak',
  title: 'Largest hip extensor moment',
  definition: `Largest hip extensor moment within the repetition. ${WHICH_LEGS}`,
  of: (repetition, lift) => peakWithinRepetition(lift, repetition, 'hip_moment'),
};
