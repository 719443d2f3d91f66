import type { SegmentMotion } from './body-motion.ts';
import { along, directions, measuredLength, type PointSeries, unknownSeries } from './point-series.ts';
import type { SegmentParameters, SolidParameters } from './segment-table.ts';

/** A segment between two measured end points. */
export function betweenEnds(
  name: SegmentMotion['name'],
  parameters: SegmentParameters,
  bodyMassKg: number,
  from: PointSeries,
  to: PointSeries,
): SegmentMotion {
  const massKg = parameters.massFraction * bodyMassKg;
  const { lengthM, variation } = measuredLength(from, to);
  return {
    name,
    massKg,
    centre: along(from, to, parameters.centreFraction),
    axis: directions(from, to),
    transverseInertiaKgM2: massKg * (parameters.transverseRadiusFraction * lengthM) ** 2,
    lengthM,
    lengthVariation: variation,
    placedBy: null,
  };
}

/** A segment whose mass acts at one point, by a stated rule; null = the point is where its centre is measured. */
export function pointMass(
  name: SegmentMotion['name'],
  massKg: number,
  centre: PointSeries,
  placedBy: string | null,
): SegmentMotion {
  return {
    name,
    massKg,
    centre,
    axis: unknownSeries(centre.length / 3),
    transverseInertiaKgM2: 0,
    lengthM: Number.NaN,
    lengthVariation: Number.NaN,
    placedBy,
  };
}

/** A segment nothing places: its mass is known, its centre NaN throughout. */
export function notPlaced(name: SegmentMotion['name'], massKg: number, frames: number, why: string): SegmentMotion {
  return pointMass(name, massKg, unknownSeries(frames), `not placed: ${why}`);
}

/**
 * A segment with its whole inertia, its centre beside the line where the table puts it. `labFromSegment`: `placingFrame`;
 * `mirror` −1 on the left, +1 on the right and in the middle; `origin`: where the table counts the centre from (the ankle, for a
 * foot), else along the line as in `betweenEnds`.
 */
export function withSolid(
  segment: SegmentMotion,
  parameters: SegmentParameters,
  solid: SolidParameters,
  labFromSegment: Float64Array,
  mirror: 1 | -1,
  origin: PointSeries | null,
): SegmentMotion {
  const { lengthM, massKg } = segment;
  const centre = origin ? origin.slice() : segment.centre.slice();
  // A foot's centre counts along its X, from the ankle; a limb's along its line, which `betweenEnds` has done.
  const forward = lengthM * (solid.forward + (origin ? parameters.centreFraction : 0));
  const up = lengthM * solid.up;
  const right = mirror * lengthM * solid.right;
  for (let i = 0, m = 0; i < centre.length; i += 3, m += 9) {
    centre[i] += forward * labFromSegment[m] + up * labFromSegment[m + 1] + right * labFromSegment[m + 2];
    centre[i + 1] += forward * labFromSegment[m + 3] + up * labFromSegment[m + 4] + right * labFromSegment[m + 5];
    centre[i + 2] += forward * labFromSegment[m + 6] + up * labFromSegment[m + 7] + right * labFromSegment[m + 8];
  }
  const [xx, yy, zz, xy, xz, yz] = solid.inertia.map(
    (share, k) => share * massKg * lengthM ** 2 * (k > 3 ? mirror : 1),
  );
  return {
    ...segment,
    centre,
    solid: { labFromSegment, inertiaKgM2: Float64Array.of(xx, xy, xz, xy, yy, yz, xz, yz, zz) },
  };
}
