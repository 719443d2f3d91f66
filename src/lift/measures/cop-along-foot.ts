import { alongFootAtPlaces, FOOT_LINES } from './along-foot-readings.ts';
import type { RepetitionMeasure } from './measure.ts';

/** Centre of pressure along the foot, 1: measured by force plates where there are some, else predicted from the motion. */
export const copAlongFoot: RepetitionMeasure = {
  scope: 'repetition',
  name: 'cop_along_foot',
  unit: '1',
  title: 'Centre of pressure along the foot',
  definition:
    'Where the force of the floor acts along the line from heel to big toe: 0 = heel, 1 = tip of the toe. Measured where there are force plates, else predicted from the motion.',
  knownAs: ['pressure on heels or toes'],
  needs: FOOT_LINES,
  source: 'common practice, no source',
  of(repetition, lift) {
    const measured = lift.loads.measuredCentreOfPressure !== null;
    return alongFootAtPlaces(lift, repetition, measured ? 'measured_cop_along_foot' : 'cop_along_foot');
  },
};
