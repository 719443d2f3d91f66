import type { RepetitionMeasure } from './measure.ts';
import { legsOverPhases } from './phase-sums.ts';

/** Angular impulse of the knee moment over a phase, N·m·s; known as "time under tension, weighted by effort". */
export const kneeImpulse: RepetitionMeasure = {
  scope: 'repetition',
  name: 'knee_impulse',
  unit: 'nms',
  title: 'Impulse of the knees',
  definition:
    'knee_moment summed over the time of a phase, a pause at the bottom halved between descent and ascent: how much moment for how long.',
  knownAs: ['time under tension, weighted by effort'],
  needs: [],
  source: 'common practice, no source',
  of: (repetition, lift) => legsOverPhases(lift, repetition, 'knee_moment'),
};
