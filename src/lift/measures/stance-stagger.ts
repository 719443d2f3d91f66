import { needsLandmarks } from '../../messages.ts';
import { absentLandmarks } from '../landmark-points.ts';
import { aroundStart } from './around-start.ts';
import { ANKLES, type RepetitionMeasure } from './measure.ts';
import { known, unknown } from './readings.ts';
import { medianAroundStart } from './since-start.ts';

/** Left foot ahead of the right one, m, left ahead positive. Source: common practice, no source. */
export const stanceStagger: RepetitionMeasure = {
  scope: 'repetition',
  name: 'stance_stagger',
  unit: 'm',
  title: 'Stagger of the feet',
  definition:
    'How far the left ankle is ahead of the right one, in the direction the lifter faces. Median over a quarter second on either side of the start.',
  knownAs: ['staggered stance', 'one foot back'],
  needs: [...ANKLES],
  source: 'common practice, no source',
  of(repetition, lift) {
    const [left, right] = [lift.joint('left_ankle'), lift.joint('right_ankle')];
    if (!left || !right) return [unknown('start', null, needsLandmarks(absentLandmarks(lift, ANKLES)))];
    const { from, to } = aroundStart(repetition, lift);
    const { value, reason } = medianAroundStart(lift, repetition, (f) => left[3 * f] - right[3 * f]);
    return [reason === '' ? known('start', null, value, from, to - 1) : unknown('start', null, reason, from, to - 1)];
  },
};
