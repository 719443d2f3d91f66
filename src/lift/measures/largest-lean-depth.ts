import { NEAR_LARGEST_LEAN_DEG } from '../limits.ts';
import { HIPS, KNEES, type RepetitionMeasure, SHOULDERS } from './measure.ts';
import { known, readAt, reasonThroughout, unknown, wholeRange } from './readings.ts';

/**
 * Where in the squat the trunk leans most, as thigh elevation, degrees; 0 = at parallel, negative below.
 *
 * The lean is flat near its largest, often once on the way down and once on the way up: the frames near it are weighed by
 * how near they come, instead of the one largest, which noise would choose. Source: common practice, no source.
 */
export const largestLeanDepth: RepetitionMeasure = {
  scope: 'repetition',
  name: 'largest_lean_depth',
  unit: 'deg',
  title: 'Depth of the largest lean',
  definition: `Thigh elevation (mean of the two legs) where the trunk leans most: 0 = at parallel, positive above, negative below. Mean over the frames whose lean is within ${NEAR_LARGEST_LEAN_DEG}° of the largest, weighed by how much it exceeds that limit.`,
  knownAs: ['where the chest drops most'],
  needs: [...HIPS, ...KNEES, ...SHOULDERS],
  source: 'common practice, no source',
  of(repetition, lift) {
    const [largest] = readAt(lift, repetition, 'trunk_lean', null, ['largest']);
    if (largest.reason !== '') return [largest];
    const lean = lift.table.column('trunk_lean', null).values;
    const depth = lift.table.column('thigh_elevation', 'both');
    const range = wholeRange(repetition);
    let weights = 0;
    let sum = 0;
    let first = -1;
    let last = -1;
    for (let f = range.from; f < range.to; f++) {
      const weight = lean[f] - (largest.value - NEAR_LARGEST_LEAN_DEG);
      if (!(weight > 0) || Number.isNaN(depth.values[f])) continue;
      weights += weight;
      sum += weight * depth.values[f];
      if (first < 0) first = f;
      last = f;
    }
    return first < 0
      ? [unknown('largest', null, reasonThroughout(depth, range), range.from, range.to - 1)]
      : [known('largest', null, sum / weights, first, last)];
  },
};
