import type { RepetitionMeasure } from './measure.ts';
import { legsOverPhases } from './phase-sums.ts';

/** Angular impulse of the ankle moment over a phase, N·m·s; known as "time under tension, weighted by effort". */
export const ankleImpulse: RepetitionMeasure = {
  scope: 'repetition',
  name: 'ankle_impulse',
  unit: 'nms',
  title: 'Impulse of the ankles',
  definition:
    'ankle_moment summed over the time of a phase, a pause at the bottom halved between descent and ascent: how much moment for how long.',
  knownAs: ['time under tension, weighted by effort'],
  needs: [],
  source: 'common practice, no source',
  of: (repetition, lift) => legsOverPhases(lift, repetition, 'ankle_moment'),
};
