import type { PointSeries } from '../../body/point-series.ts';
import type { Landmark } from '../../capture/landmarks.ts';
import { missing, needsLandmarks } from '../../messages.ts';
import { median } from '../../numerics/statistics.ts';
import { absentLandmarks } from '../landmark-points.ts';
import type { Repetition } from '../lift-record.ts';
import { aroundStart } from './around-start.ts';
import { ANKLES, type Lift, type MeasureReading, type RepetitionMeasure } from './measure.ts';
import { known, unknown } from './readings.ts';

/** How every distance of the stance is taken. */
export const MEASURED = 'Median over a quarter second on either side of the start.';

export interface StanceCard
  extends Pick<RepetitionMeasure, 'name' | 'unit' | 'scale' | 'title' | 'definition' | 'needs'> {
  /** The value made of the distance in m, or why it is unknown. */
  of(distanceM: number, lift: Lift): number | string;
}

/** A measure of how far the feet stand apart: the distance of two points on the floor plane, the ankles where none are named. */
export function stance(
  card: StanceCard,
  points: (lift: Lift) => readonly (PointSeries | null)[] = (lift) => [
    lift.joint('left_ankle'),
    lift.joint('right_ankle'),
  ],
  landmarks: readonly Landmark[] = ANKLES,
): RepetitionMeasure {
  return {
    scope: 'repetition',
    knownAs: ['narrow or wide stance'],
    source: 'common practice, no source',
    ...card,
    of: (repetition, lift) => [width(repetition, lift, card, points(lift), landmarks)],
  };
}

/** Why a number made of these landmarks is unknown. */
export function lacking(lift: Lift, landmarks: readonly Landmark[]): string {
  return needsLandmarks(absentLandmarks(lift, landmarks));
}

function width(
  repetition: Repetition,
  lift: Lift,
  card: StanceCard,
  [left, right]: readonly (PointSeries | null)[],
  landmarks: readonly Landmark[],
): MeasureReading {
  if (!left || !right) return unknown('start', null, lacking(lift, landmarks));
  const { from, to } = aroundStart(repetition, lift);
  const distances: number[] = [];
  for (let f = from; f < to; f++) {
    const x = left[3 * f] - right[3 * f];
    const z = left[3 * f + 2] - right[3 * f + 2];
    const d = Math.sqrt(x * x + z * z);
    if (!Number.isNaN(d)) distances.push(d);
  }
  if (distances.length === 0) return unknown('start', null, missing(), from, to - 1);
  const value = card.of(median(distances), lift);
  return typeof value === 'string'
    ? unknown('start', null, value, from, to - 1)
    : known('start', null, value, from, to - 1);
}
