import { barVelocityMean } from './bar-velocity-mean.ts';
import { lossOverSet } from './full-repetitions.ts';
import { hipVelocityMean } from './hip-velocity-mean.ts';
import { HIPS, type SetMeasure } from './measure.ts';
import { placedBarVelocityMean } from './placed-bar-velocity-mean.ts';

/** How much slower the last repetition of a set goes up than the fastest one, as a share of the fastest, 1. */
export const velocityLoss: SetMeasure = {
  scope: 'set',
  name: 'velocity_loss',
  unit: '1',
  title: 'Velocity loss over the set',
  definition:
    '1 less the mean upward velocity of the last full repetition divided by that of the fastest full one: 0 = the last one is the fastest, 0.2 = a fifth slower. Velocity of the tracked bar, else of the placed bar, else of the hips; the same for all repetitions. Needs two full repetitions, and every full one known.',
  knownAs: ['velocity loss', 'fatigue'],
  needs: HIPS,
  source: 'common practice, no source',
  of(lift) {
    const { barbell } = lift.loads.motion;
    const measure =
      barbell === null ? hipVelocityMean : barbell.placedBy === null ? barVelocityMean : placedBarVelocityMean;
    return [
      lossOverSet(
        lift,
        (repetition) => measure.of(repetition, lift)[0],
        (a, b) => a - b,
        (last, fastest) => 1 - last / fastest,
      ),
    ];
  },
};
