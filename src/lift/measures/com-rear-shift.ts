import { ascentComesFirst } from '../../messages.ts';
import { FOOT_LINES } from './along-foot-readings.ts';
import type { RepetitionMeasure } from './measure.ts';
import { atFrame, extreme, less, startFrame, unknown } from './readings.ts';

/** How far the centre of mass moves back from where it stands at the start, as a share of the foot, 1; positive = the weight moves back. */
export const comRearShift: RepetitionMeasure = {
  scope: 'repetition',
  name: 'com_rear_shift',
  unit: '1',
  title: 'Largest shift to the rear',
  definition:
    'Centre of mass along the foot at the start less its smallest value in the repetition, as a share of the foot; positive = the weight moves back.',
  knownAs: ['sitting back', 'rocking to the heels'],
  needs: FOOT_LINES,
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
