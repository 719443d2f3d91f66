import { ascentComesFirst } from '../../messages.ts';
import { BIG_TOES, HEELS, type RepetitionMeasure } from './measure.ts';
import { atFrame, extreme, less, readAt, startFrame, unknown } from './readings.ts';

const PLACES = ['start', 'parallel', 'bottom', 'sticking point'] as const;

/** Centre of mass of lifter and bar along the foot. */
export const comAlongFoot: RepetitionMeasure = {
  scope: 'repetition',
  name: 'com_along_foot',
  unit: '1',
  title: 'Centre of mass along the foot',
  definition:
    'Where the centre of mass of lifter and bar stands over the line from heel to big toe (mean of both feet, projected on the floor): 0 = heel, 1 = tip of the toe.',
  knownAs: ['weight on heels or toes', 'bar over mid-foot'],
  needs: [...HEELS, ...BIG_TOES],
  source: 'common practice, no source',
  of: (repetition, lift) => readAt(lift, repetition, 'com_along_foot', null, PLACES),
};

/** Centre of pressure along the foot: measured by force plates where there are some, else predicted from the motion. */
export const copAlongFoot: RepetitionMeasure = {
  scope: 'repetition',
  name: 'cop_along_foot',
  unit: '1',
  title: 'Centre of pressure along the foot',
  definition:
    'Where the force of the floor acts along the line from heel to big toe: 0 = heel, 1 = tip of the toe. Measured where there are force plates, else predicted from the motion.',
  knownAs: ['pressure on heels or toes'],
  needs: [...HEELS, ...BIG_TOES],
  source: 'common practice, no source',
  of: (repetition, lift) =>
    readAt(
      lift,
      repetition,
      lift.loads.measuredCentreOfPressure ? 'measured_cop_along_foot' : 'cop_along_foot',
      null,
      PLACES,
    ),
};

/** How far the centre of mass moves back from where it stands at the start, as a share of the foot. */
export const comRearShift: RepetitionMeasure = {
  scope: 'repetition',
  name: 'com_rear_shift',
  unit: '1',
  title: 'Largest shift to the rear',
  definition:
    'Centre of mass along the foot at the start less its smallest value in the repetition, as a share of the foot; positive = the weight moves back.',
  knownAs: ['sitting back', 'rocking to the heels'],
  needs: [...HEELS, ...BIG_TOES],
  source: 'common practice, no source',
  of(repetition, lift) {
    if (repetition.order === 'ascent first') return [unknown('largest', null, ascentComesFirst())];
    const start = atFrame(lift, 'com_along_foot', null, 'start', startFrame(repetition));
    const rearmost = extreme(lift, repetition, 'com_along_foot', null, 'largest', 'smallest');
    return [
      { ...less(start, rearmost), at: 'largest', frameFirst: rearmost.frameFirst, frameLast: rearmost.frameLast },
    ];
  },
};
