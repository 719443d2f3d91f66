import type { PointSeries } from '../../body/point-series.ts';
import { ELBOWS } from './arm-points.ts';
import { readPlaces, valuesOfSides } from './frame-value.ts';
import { HIPS, KNEES, type RepetitionMeasure } from './measure.ts';

const { max, min, sqrt } = Math;

/** Room between elbow and thigh at the bottom, m. */
export const elbowThighClearance: RepetitionMeasure = {
  scope: 'repetition',
  name: 'elbow_thigh_clearance',
  unit: 'm',
  title: 'Room between elbow and thigh',
  definition:
    'Distance at the bottom from the elbow joint to the line from hip to knee of the same side; both = the smaller one. It is measured between joint centres: an elbow that rests on the thigh still has some 10 cm of flesh and bone between.',
  knownAs: ['elbows hitting the knees'],
  needs: [...ELBOWS, ...HIPS, ...KNEES],
  source: 'common practice, no source',
  of: (repetition, lift) =>
    valuesOfSides(
      lift,
      (side) => [`${side}_elbow`, `${side}_hip`, `${side}_knee`],
      (side) => [lift.landmark(`${side}_elbow`), lift.joint(`${side}_hip`), lift.joint(`${side}_knee`)],
      ([elbow, hip, knee], i) => distanceFromSegment(elbow, hip, knee, i),
      min,
    ).flatMap((value) => readPlaces(lift, repetition, value, ['bottom'])),
};

/** Distance of a point from the segment between two others at a frame, m. */
function distanceFromSegment(point: PointSeries, from: PointSeries, to: PointSeries, i: number): number {
  const dx = to[i] - from[i];
  const dy = to[i + 1] - from[i + 1];
  const dz = to[i + 2] - from[i + 2];
  const px = point[i] - from[i];
  const py = point[i + 1] - from[i + 1];
  const pz = point[i + 2] - from[i + 2];
  const along = (px * dx + py * dy + pz * dz) / (dx * dx + dy * dy + dz * dz);
  const share = min(1, max(0, along));
  const x = px - share * dx;
  const y = py - share * dy;
  const z = pz - share * dz;
  return sqrt(x * x + y * y + z * z);
}
