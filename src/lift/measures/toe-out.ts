import type { PointSeries } from '../../body/point-series.ts';
import { missing, needsLandmarks } from '../../messages.ts';
import { mean, median } from '../../numerics/statistics.ts';
import { toeOut as toeOutAngle } from '../angles.ts';
import { aroundStart } from './around-start.ts';
import { BIG_TOES, HEELS, type RepetitionMeasure } from './measure.ts';
import { known, unknown } from './readings.ts';

/** Angle of the feet from straight ahead, degrees, outward positive. */
export const toeOut: RepetitionMeasure = {
  scope: 'repetition',
  name: 'toe_out',
  unit: 'deg',
  title: 'Toe-out angle',
  definition:
    'Angle between the direction the lifter faces and the line from heel to big toe, on the floor plane, outward positive. Median over a quarter second on either side of the start; both = mean of the two.',
  knownAs: ['feet turned out'],
  needs: [...HEELS, ...BIG_TOES],
  source: 'common practice, no source',
  of(repetition, lift) {
    const { from, to } = aroundStart(repetition, lift);
    const feet = (['left', 'right'] as const).map((side) => {
      const heel = lift.landmark(`${side}_heel`);
      const toe = lift.landmark(`${side}_big_toe`);
      if (!heel || !toe) {
        const absent = [...(heel ? [] : [`${side}_heel`]), ...(toe ? [] : [`${side}_big_toe`])];
        return unknown('start', side, needsLandmarks(absent), from, to - 1);
      }
      const here = (points: PointSeries) => points.subarray(3 * from, 3 * to);
      const angles = toeOutAngle(here(heel), here(toe), side).filter((angle) => !Number.isNaN(angle));
      return angles.length > 0
        ? known('start', side, median(angles), from, to - 1)
        : unknown('start', side, missing(), from, to - 1);
    });
    const lacking = feet.find(({ reason }) => reason !== '');
    const both = lacking
      ? unknown('start', 'both', lacking.reason, from, to - 1)
      : known('start', 'both', mean(feet.map(({ value }) => value)), from, to - 1);
    return [both, ...feet];
  },
};
