import type { SegmentMotion } from './body-motion.ts';
import { along, directions, measuredLength, type PointSeries, unknownSeries } from './point-series.ts';
import type { SegmentParameters } from './segment-table.ts';

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
