import { ascentComesFirst } from '../../messages.ts';
import { HIPS, type RepetitionMeasure, SHOULDERS } from './measure.ts';
import { atFrame, startFrame, unknown } from './readings.ts';

/** Lean of the trunk backward in the stand, degrees, back positive. Source: common practice, no source. */
export const leanBack: RepetitionMeasure = {
  scope: 'repetition',
  name: 'lean_back',
  unit: 'deg',
  title: 'Lean back at the start',
  definition:
    'How far the line from mid-hip to mid-shoulder leans back from upright where the repetition starts, seen from the side; positive = leaning back, the turned-over trunk lean.',
  knownAs: ['leaning back under the bar'],
  needs: [...HIPS, ...SHOULDERS],
  source: 'common practice, no source',
  of(repetition, lift) {
    if (repetition.order === 'ascent first') return [unknown('start', null, ascentComesFirst())];
    const lean = atFrame(lift, 'trunk_lean', null, 'start', startFrame(repetition));
    return [{ ...lean, value: -lean.value }];
  },
};
