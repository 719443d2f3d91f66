import { HELD, held } from './held.ts';
import { HEELS, type RepetitionMeasure, SIDES } from './measure.ts';
import { less } from './readings.ts';
import { quantityAroundStart } from './since-start.ts';

/** How far the heel leaves the floor, m. Source: common practice, no source. */
export const heelLift: RepetitionMeasure = {
  scope: 'repetition',
  name: 'heel_lift',
  unit: 'm',
  title: 'Lift of the heel',
  definition: `Largest height of the heel within the repetition, ${HELD}, less its height around the start. Read from the points before resting feet were fitted, which averages small lifts away. Both: of the mean height of the two.`,
  knownAs: ['heels coming up'],
  needs: [...HEELS],
  source: 'common practice, no source',
  of: (repetition, lift) =>
    SIDES.map((side) =>
      less(
        held(lift, repetition, 'heel_height', side, 'largest'),
        quantityAroundStart(lift, repetition, 'heel_height', side),
      ),
    ),
};
