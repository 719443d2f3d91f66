import { HELD, held } from './held.ts';
import { BIG_TOES, type RepetitionMeasure, SIDES } from './measure.ts';
import { less } from './readings.ts';
import { quantityAroundStart } from './since-start.ts';

/** How far the big toe leaves the floor, m. Source: common practice, no source. */
export const toeLift: RepetitionMeasure = {
  scope: 'repetition',
  name: 'toe_lift',
  unit: 'm',
  title: 'Lift of the big toe',
  definition: `Largest height of the big toe within the repetition, ${HELD}, less its height around the start. Read from the points before resting feet were fitted, which averages small lifts away. Both: of the mean height of the two.`,
  knownAs: ['toes coming up', 'rocking back'],
  needs: [...BIG_TOES],
  source: 'common practice, no source',
  of: (repetition, lift) =>
    SIDES.map((side) =>
      less(
        held(lift, repetition, 'big_toe_height', side, 'largest'),
        quantityAroundStart(lift, repetition, 'big_toe_height', side),
      ),
    ),
};
