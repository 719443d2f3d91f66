import { HIPS, type RepetitionMeasure } from './measure.ts';
import { peakDescentVelocity } from './velocity-of-descent.ts';

/** Largest downward speed of the hips in the descent, m/s, down positive. */
export const descentVelocityPeak: RepetitionMeasure = {
  scope: 'repetition',
  name: 'descent_velocity_peak',
  unit: 'm_per_s',
  title: 'Largest speed of the descent',
  definition: 'Largest downward velocity of the mid-hip point in the descent; positive = down.',
  knownAs: ['controlled descent', 'dive-bombing'],
  needs: HIPS,
  source: 'common practice, no source',
  of: (repetition, lift) => [peakDescentVelocity(repetition, lift)],
};
