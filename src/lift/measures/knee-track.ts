import { dropPct } from '../depth.ts';
import { KNEE_TRACK_DROP_SHARE } from '../limits.ts';
import { HELD, held } from './held.ts';
import { BIG_TOES, HEELS, KNEES, type RepetitionMeasure, SIDES } from './measure.ts';
import { readAt } from './readings.ts';

/** Knee against the line of its foot, m, outside positive; known as "knee cave". Source: common practice, no source. */
export const kneeTrack: RepetitionMeasure = {
  scope: 'repetition',
  name: 'knee_track',
  unit: 'm',
  title: 'Knee over the line of the foot',
  definition: `Distance of the knee from the upright plane through heel and big toe of its foot; positive = outside, negative = inside. smallest: most inward, ${HELD}, while the hips are at least ${100 * KNEE_TRACK_DROP_SHARE} % of the drop down. Both = mean of the two.`,
  knownAs: ['knees caving in', 'knees out', 'knees over toes'],
  needs: [...KNEES, ...HEELS, ...BIG_TOES],
  source: 'common practice, no source',
  of(repetition, lift) {
    const isDeep = (frame: number) => dropPct(lift.height, repetition, frame) >= 100 * KNEE_TRACK_DROP_SHARE;
    return SIDES.flatMap((side) => [
      ...readAt(lift, repetition, 'knee_track', side, ['parallel', 'bottom']),
      held(lift, repetition, 'knee_track', side, 'smallest', isDeep),
    ]);
  },
};
