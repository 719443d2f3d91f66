import { HIPS, type RepetitionMeasure } from './measure.ts';
import { TWO_PER_CENT } from './phase-times.ts';
import { meanDescentVelocity } from './velocity-of-descent.ts';

/** Mean downward speed of the hips in the descent, m/s, down positive. */
export const descentVelocityMean: RepetitionMeasure = {
  scope: 'repetition',
  name: 'descent_velocity_mean',
  unit: 'm_per_s',
  title: 'Mean speed of the descent',
  definition:
    'Downward speed of the mid-hip point, mean over the descent between the marks of descent_time (within 2 % of the drop of standing and of the bottom): drop between them divided by time; positive = down.',
  knownAs: ['controlled descent', 'dive-bombing'],
  needs: HIPS,
  source: TWO_PER_CENT,
  of: (repetition, lift) => [meanDescentVelocity(repetition, lift)],
};
