import { alongFootAtPlaces, FOOT_LINES } from './along-foot-readings.ts';
import type { RepetitionMeasure } from './measure.ts';

/** Centre of mass of lifter and bar along the foot, 1: 0 heel, 1 tip of the toe; known as "weight on heels or toes". */
export const comAlongFoot: RepetitionMeasure = {
  scope: 'repetition',
  name: 'com_along_foot',
  unit: '1',
  title: 'Centre of mass along the foot',
  definition:
    'Where the centre of mass of lifter and bar stands over the line from heel to big toe (mean of both feet, projected on the floor): 0 = heel, 1 = tip of the toe.',
  knownAs: ['weight on heels or toes', 'bar over mid-foot'],
  needs: FOOT_LINES,
  source: 'common practice, no source',
  of: (repetition, lift) => alongFootAtPlaces(lift, repetition, 'com_along_foot'),
};
