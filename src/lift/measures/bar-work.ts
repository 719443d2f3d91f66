import type { RepetitionMeasure } from './measure.ts';
import { overPhases } from './phase-sums.ts';

/** Work on the bar over a phase, J: what raises and speeds it up; negative while it is lowered. */
export const barWork: RepetitionMeasure = {
  scope: 'repetition',
  name: 'bar_work',
  unit: 'j',
  title: 'Work on the bar',
  definition: 'Work done on the bar over a phase: its gain of height and speed. Negative while it is lowered.',
  knownAs: [],
  needs: [],
  source: 'Winter (2009) ch. 6: work is the integral of power',
  of: (repetition, lift) => overPhases(lift, repetition, 'bar_power', null),
};
