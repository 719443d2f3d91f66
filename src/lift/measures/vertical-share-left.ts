import type { RepetitionMeasure } from './measure.ts';
import { readShared, SHARING_FEET } from './shared-readings.ts';

/** How much of the load stands on the left foot, by an assumed place of each foot's pressure. */
export const verticalShareLeft: RepetitionMeasure = {
  scope: 'repetition',
  name: 'vertical_share_left',
  unit: '1',
  title: 'Load on the left foot',
  definition:
    'Part of the upward force of the floor that the left foot carries: 0.5 = both alike. Worked out from where the total centre of pressure lies between the feet, each taken to press on the line from heel to second toe, as far along it as the other: an assumption, not a measurement of each foot.',
  knownAs: ['shifting to one leg', 'weight on one side'],
  needs: SHARING_FEET,
  source: 'common practice, no source',
  of: (repetition, lift) =>
    readShared(lift, repetition, 'vertical_share', 'left', ['start', 'parallel', 'bottom']).map((reading) => ({
      ...reading,
      side: '',
    })),
};
