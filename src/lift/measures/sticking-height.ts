import { noStickingPoint } from '../../messages.ts';
import { dropPct } from '../depth.ts';
import { HIPS, type RepetitionMeasure } from './measure.ts';
import { known, unknown } from './readings.ts';

/** How far up the lifter is at the sticking point, 1. */
export const stickingHeight: RepetitionMeasure = {
  scope: 'repetition',
  name: 'sticking_height',
  unit: '1',
  title: 'Height of the sticking point',
  definition:
    'Share of the way up already done at the sticking point (least upward velocity after its first peak, followed by a second peak): 0 = bottom, 1 = standing.',
  knownAs: ['where it sticks'],
  needs: HIPS,
  source: 'sticking point: van den Tillaar & Ettema (2010), from memory; its limits: common practice, no source',
  of(repetition, lift) {
    const { stickingFrame } = repetition;
    if (stickingFrame < 0) return [unknown('sticking point', null, noStickingPoint())];
    const share = 1 - dropPct(lift.height, repetition, stickingFrame) / 100;
    return [known('sticking point', null, share, stickingFrame)];
  },
};
