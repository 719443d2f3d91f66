import { quantile } from '../numerics/statistics.ts';
import type { SegmentMotion } from './body-motion.ts';
import { type BodyPoints, lengthBetween } from './body-points.ts';
import { notPlaced, pointMass } from './placing.ts';
import { beyond, directions, type PointSeries } from './point-series.ts';
import type { MeanLengths, SegmentTable } from './segment-table.ts';

/**
 * The head as a point mass; by the first rule that can be used:
 * 1. midway between the ears. Winter's table puts the centre of head and neck at the ear canal. De Leva puts it 118 mm
 *    (women) or 121 mm (men) below the vertex, about 1 cm above the ear canal (ear canal to vertex about 0.13 m, from
 *    memory of anthropometric surveys): taken as the ear canal;
 * 2. on the line from mid-shoulder to `head`, as far below the marker as makes it, with the shoulders down, the table's
 *    distance from mid-shoulder (a share of the trunk's measured length): where on the head the marker sits then does not
 *    matter, and shoulders that rise do not push the head away;
 * 3. the one ear that is tracked (about 7 cm off to its side, nothing fore–aft);
 * 4. the same distance straight on along the trunk. A lifter looks ahead and lifts the head while leaning, so this puts it
 *    too far forward and down.
 *
 * Its own rotational inertia (about 0.03 kg·m²) is left out: two ears give no long axis, and at 5 rad/s² it is 0.15 N·m.
 */
export function placeHead(
  points: BodyPoints,
  table: SegmentTable,
  bodyMassKg: number,
  lengths: MeanLengths,
): SegmentMotion {
  const massKg = table.segments.head.massFraction * bodyMassKg;
  const { known } = points;
  const ears = known.get('mid_ear');
  if (ears) return pointMass('head', massKg, ears, null);

  const shoulders = known.get('mid_shoulder');
  const hips = known.get('mid_hip');
  const trunk = lengthBetween(known, 'mid_hip', 'mid_shoulder');
  const distanceM = trunk ? (lengths.shouldersToHeadCentreM / lengths.trunkM) * trunk.lengthM : Number.NaN;
  const head = known.get('head');
  if (head && shoulders && trunk) {
    const belowM = largestDistance(shoulders, head) - distanceM;
    const centre = beyond(head, directions(head, shoulders), belowM);
    return pointMass('head', massKg, centre, `${belowM.toFixed(2)} m from the head point towards mid-shoulder`);
  }
  const oneEar = known.get('left_ear') ?? known.get('right_ear');
  if (oneEar) return pointMass('head', massKg, oneEar, `at the ${known.has('left_ear') ? 'left' : 'right'} ear`);
  if (hips && shoulders && trunk) {
    const centre = beyond(shoulders, directions(hips, shoulders), distanceM);
    return pointMass('head', massKg, centre, `${distanceM.toFixed(2)} m beyond mid-shoulder, along the trunk`);
  }
  return notPlaced('head', massKg, points.frames, 'no ears, no head point, no trunk');
}

/** Share of the frames in which the shoulders may stand further from the head than when they are down: noise. Common practice, no source. */
const FURTHER_SHARE = 0.1;

/** Distance of two points that is exceeded in a tenth of the frames, metres: shoulders rise towards the head and hardly sink. */
function largestDistance(from: PointSeries, to: PointSeries): number {
  const distances: number[] = [];
  for (let i = 0; i < from.length; i += 3) {
    const distance = Math.hypot(to[i] - from[i], to[i + 1] - from[i + 1], to[i + 2] - from[i + 2]);
    if (Number.isFinite(distance)) distances.push(distance);
  }
  return quantile(distances, 1 - FURTHER_SHARE);
}
