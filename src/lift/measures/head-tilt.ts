import type { RepetitionMeasure } from './measure.ts';
import { readAt } from './readings.ts';

/** Tilt of the head, degrees, face up positive; known as "look up". Level gaze: from memory; the rest common practice, no source. */
export const headTilt: RepetitionMeasure = {
  scope: 'repetition',
  name: 'head_tilt',
  unit: 'deg',
  title: 'Head tilt',
  definition:
    'Angle between the line from mid-ear to mid-eye and the horizontal, seen from the side; face up positive. A level gaze is not 0 but about +10 to +15 (from memory), and ears and eyes are points of the skin: the change within a lift counts, not the number itself.',
  knownAs: ['looking up or down', 'chin up', 'neck position'],
  needs: ['left_ear', 'right_ear', 'left_eye', 'right_eye'],
  source: 'common practice, no source',
  of: (repetition, lift) => readAt(lift, repetition, 'head_tilt', null, ['start', 'parallel', 'bottom']),
};
