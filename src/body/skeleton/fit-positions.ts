import { smoothHeavyCorrections } from './heavy-points.ts';
import { lengthsInto } from './lengths.ts';
import { projectFramesInto } from './project-frames.ts';
import { fitSpots, spotsInto, standInto } from './spots.ts';
import type { Structure } from './structure.ts';

/** Most Newton steps a frame: two or three are used; a posture that no step closes keeps the last one's places. */
const MOST_STEPS = 12;

/**
 * Positions on constant lengths and still feet. position: as in Trajectories, not changed; returns a new array. The lengths
 * and spots of this fit stand in `structure` until the next.
 *
 * Spots of resting feet, then lengths of all frames together, then the spots brought to the feet's own size; then frame by
 * frame the nearest place that has these lengths, twice: the first time to learn how hips and shoulders move, whose
 * corrections are then smoothed as they were themselves, the second time to close what that opens, mostly by knees and elbows.
 */
export function fitPositions(structure: Structure, position: Float64Array): Float64Array {
  const {
    frames,
    count,
    system,
    rests,
    pairs,
    heavy,
    variances,
    weighed,
    closing,
    lengthWeights,
    lengths,
    spots,
    room,
  } = structure;
  const fitted = position.slice();
  spotsInto(spots, rests, position, variances.raw, count);
  standInto(fitted, position, rests, spots, count);
  lengthsInto(lengths, fitted, frames, count, lengthWeights);
  fitSpots(spots, pairs, rests, lengths);
  standInto(fitted, position, rests, spots, count);
  if (heavy.length > 0) {
    projectFramesInto(fitted, weighed, frames, count, lengths, system, 1, room);
    smoothHeavyCorrections(fitted, position, heavy, structure);
  }
  projectFramesInto(fitted, closing, frames, count, lengths, system, MOST_STEPS, room);
  return fitted;
}
