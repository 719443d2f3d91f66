import { ascentComesFirst } from '../../messages.ts';
import { ELBOWS, upperArmElevations } from './arm-points.ts';
import { readPlaces } from './frame-value.ts';
import { type RepetitionMeasure, SHOULDERS } from './measure.ts';
import { less, unknown } from './readings.ts';

/** How far the elbows come down from where they are at the start, degrees. */
export const upperArmDrop: RepetitionMeasure = {
  scope: 'repetition',
  name: 'upper_arm_drop',
  unit: 'deg',
  title: 'Drop of the elbows',
  definition:
    'Upper arm elevation at the start less that at the bottom, and less that after the first third of the way up; positive = the elbows dropped.',
  knownAs: ['elbows dropping', 'losing the rack'],
  needs: [...SHOULDERS, ...ELBOWS],
  source: 'common practice, no source',
  of: (repetition, lift) =>
    upperArmElevations(lift).flatMap((value) => {
      if (repetition.order === 'ascent first') {
        return ['bottom', 'drive'].map((at) => unknown(at, value.side, value.lacking || ascentComesFirst()));
      }
      const [start, ...later] = readPlaces(lift, repetition, value, ['start', 'bottom', 'drive']);
      return later.map((reading) => ({
        ...less(start, reading),
        at: reading.at,
        frameFirst: start.frameFirst,
        frameLast: reading.frameLast,
      }));
    }),
};
