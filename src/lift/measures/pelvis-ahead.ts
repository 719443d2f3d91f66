import { ascentComesFirst, edgeOfRecording, missing, needsLandmarks } from '../../messages.ts';
import { absentLandmarks } from '../landmark-points.ts';
import { HIPS, type RepetitionMeasure, SHOULDERS } from './measure.ts';
import { known, startFrame, unknown } from './readings.ts';

/** Hips ahead of the shoulders in the stand, m, hips ahead positive; known as "hips pushed forward". Source: common practice, no source. */
export const pelvisAhead: RepetitionMeasure = {
  scope: 'repetition',
  name: 'pelvis_ahead',
  unit: 'm',
  title: 'Hips ahead of the shoulders',
  definition:
    'How far mid-hip is ahead of mid-shoulder where the repetition starts; positive = the hips are pushed forward.',
  knownAs: ['hips pushed forward', 'standing on the low back'],
  needs: [...HIPS, ...SHOULDERS],
  source: 'common practice, no source',
  of(repetition, lift) {
    if (repetition.order === 'ascent first') return [unknown('start', null, ascentComesFirst())];
    const hip = lift.joint('mid_hip');
    const shoulder = lift.joint('mid_shoulder');
    if (!hip || !shoulder) {
      return [unknown('start', null, needsLandmarks(absentLandmarks(lift, [...HIPS, ...SHOULDERS])))];
    }
    const frame = startFrame(repetition);
    if (lift.table.edge[frame]) return [unknown('start', null, edgeOfRecording(), frame)];
    const ahead = hip[3 * frame] - shoulder[3 * frame];
    return [Number.isNaN(ahead) ? unknown('start', null, missing(), frame) : known('start', null, ahead, frame)];
  },
};
