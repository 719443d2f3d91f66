import { ascentComesFirst, pelvisTiltUnseen } from '../../messages.ts';
import type { RepetitionMeasure } from './measure.ts';
import { unknown } from './readings.ts';
import { sinceStart } from './since-start.ts';

const MARKERS = ['left_asis', 'right_asis', 'left_psis', 'right_psis'] as const;

/** How far the pelvis tucks under at the bottom, degrees, tucked under positive; known as "butt wink". Source: common practice, no source. */
export const pelvicTuck: RepetitionMeasure = {
  scope: 'repetition',
  name: 'pelvic_tuck',
  unit: 'deg',
  title: 'Pelvic tuck',
  definition:
    'How much less the pelvis is tilted forward at the bottom than around the start (pelvis_tilt); positive = tucked under. Hip points alone do not show it.',
  knownAs: ['butt wink', 'tucking under'],
  needs: MARKERS,
  source: 'common practice, no source',
  of(repetition, lift) {
    if (repetition.order === 'ascent first') return [unknown('bottom', null, ascentComesFirst())];
    // Said at once: most recordings have no such markers, and to find nothing in every frame takes a draw its time.
    if (MARKERS.every((name) => lift.landmark(name) === null)) {
      return [unknown('bottom', null, pelvisTiltUnseen(), repetition.bottomFrame)];
    }
    return sinceStart(lift, repetition, 'pelvis_tilt', null, ['bottom']).map((change) => ({
      ...change,
      value: -change.value,
    }));
  },
};
