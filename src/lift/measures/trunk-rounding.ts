import { HELD } from './held.ts';
import { HIPS, type RepetitionMeasure } from './measure.ts';
import { sinceStart } from './since-start.ts';

/** How much the back bends forward at mid-back, degrees, bent forward positive. Source: common practice, no source. */
export const trunkRounding: RepetitionMeasure = {
  scope: 'repetition',
  name: 'trunk_rounding',
  unit: 'deg',
  title: 'Rounding of the back',
  definition: `Angle at mid_back between the line from mid-hip and the line on to neck_base, seen from the side, less the same around the start; positive = rounded further forward. largest: ${HELD}.`,
  knownAs: ['back rounding', 'chest collapsing'],
  needs: [...HIPS, 'mid_back', 'neck_base'],
  source: 'common practice, no source',
  of: (repetition, lift) => sinceStart(lift, repetition, 'trunk_bend', null, ['bottom', 'held largest']),
};
