import type { PointSeries } from '../../body/point-series.ts';
import { type FrameValue, valuesOfSides } from './frame-value.ts';
import type { Lift } from './measure.ts';

export const ELBOWS = ['left_elbow', 'right_elbow'] as const;
export const WRISTS = ['left_wrist', 'right_wrist'] as const;
export const HANDS = ['left_hand', 'right_hand'] as const;

const DEGREES = 180 / Math.PI;
const { atan2, sqrt } = Math;

/** The shoulder joint: as the body stage has it (points on the acromion are moved down to the joint), else the point tracked. */
export function shoulderOf(lift: Lift, side: 'left' | 'right'): PointSeries | null {
  return lift.joint(`${side}_shoulder`) ?? lift.landmark(`${side}_shoulder`);
}

/** Elevation of the elbow above the shoulder, degrees: 0 = upper arm level, negative = elbow below. Both = mean. */
export function upperArmElevations(lift: Lift): readonly FrameValue[] {
  return valuesOfSides(
    lift,
    (side) => [`${side}_shoulder`, `${side}_elbow`],
    (side) => [shoulderOf(lift, side), lift.landmark(`${side}_elbow`)],
    ([shoulder, elbow], i) => {
      const x = elbow[i] - shoulder[i];
      const z = elbow[i + 2] - shoulder[i + 2];
      return DEGREES * atan2(elbow[i + 1] - shoulder[i + 1], sqrt(x * x + z * z));
    },
  );
}

/** Distance between two points at a frame, m. */
export function distanceAt(a: PointSeries, b: PointSeries, i: number): number {
  const x = a[i] - b[i];
  const y = a[i + 1] - b[i + 1];
  const z = a[i + 2] - b[i + 2];
  return sqrt(x * x + y * y + z * z);
}
