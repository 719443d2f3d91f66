import { HIPS, type RepetitionMeasure, SHOULDERS } from './measure.ts';
import { readAt } from './readings.ts';

/** Inclination of the trunk at the named places of a repetition, degrees from the vertical, forward positive. */
export const trunkLean: RepetitionMeasure = {
  scope: 'repetition',
  name: 'trunk_lean',
  unit: 'deg',
  title: 'Trunk lean',
  definition:
    'Angle between the vertical and the line from mid-hip to mid-shoulder, seen from the side; 0 = upright, forward positive.',
  knownAs: ['chest up or down', 'torso angle'],
  needs: [...HIPS, ...SHOULDERS],
  source: 'sagittal segment inclination; common practice, no source',
  of: (repetition, lift) => readAt(lift, repetition, 'trunk_lean', null, ['start', 'parallel', 'bottom', 'largest']),
};
