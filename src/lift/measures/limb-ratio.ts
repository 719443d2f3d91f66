import { measuredLength, type PointSeries } from '../../body/point-series.ts';
import type { Landmark } from '../../capture/landmarks.ts';
import { needsLandmarks } from '../../messages.ts';
import { mean } from '../../numerics/statistics.ts';
import { ANKLES, BIG_TOES, HEELS, HIPS, KNEES, type Lift, type SetMeasure, SHOULDERS } from './measure.ts';
import { known, unknown } from './readings.ts';

/** A limb whose length is measured. */
export type Part = 'femur' | 'tibia' | 'trunk' | 'upper arm' | 'forearm' | 'foot';
type Ends = readonly (readonly [PointSeries | null, PointSeries | null])[];

const NEEDS: Readonly<Record<Part, readonly Landmark[]>> = {
  femur: [...HIPS, ...KNEES],
  tibia: [...KNEES, ...ANKLES],
  trunk: [...HIPS, ...SHOULDERS],
  'upper arm': [...SHOULDERS, 'left_elbow', 'right_elbow'],
  forearm: ['left_elbow', 'right_elbow', 'left_wrist', 'right_wrist'],
  foot: [...HEELS, ...BIG_TOES],
};

/** Ratio of two body lengths, 1, from the median distances over the whole recording, mean of the sides. */
export function limbRatio(
  name: string,
  title: string,
  over: readonly Part[],
  under: readonly Part[],
  knownAs: readonly string[],
): SetMeasure {
  const needs = [...new Set([...over, ...under].flatMap((part) => NEEDS[part]))];
  return {
    scope: 'set',
    name,
    unit: '1',
    scale: 'logarithm',
    title,
    definition: `Length of ${over.join(' and ')} divided by length of ${under.join(' and ')}: ${[...over, ...under].map(endsInWords).join('; ')}. Medians over the recording, mean of left and right.`,
    knownAs,
    needs,
    source: 'common practice, no source',
    of(lift) {
      const length = (parts: readonly Part[]) =>
        parts.reduce(
          (sum, part) =>
            sum + mean(endsOf(lift, part).map(([a, b]) => (a && b ? measuredLength(a, b).lengthM : Number.NaN))),
          0,
        );
      const value = length(over) / length(under);
      const last = lift.loads.frames - 1;
      if (Number.isFinite(value)) return [known('set', null, value, 0, last)];
      const absent = needs.filter((landmark) => lift.landmark(landmark) === null);
      return [unknown('set', null, needsLandmarks(absent.length > 0 ? absent : needs), 0, last)];
    },
  };
}

function endsInWords(part: Part): string {
  return {
    femur: 'femur = hip to knee',
    tibia: 'tibia = knee to ankle',
    trunk: 'trunk = mid-hip to mid-shoulder',
    'upper arm': 'upper arm = shoulder to elbow',
    forearm: 'forearm = elbow to wrist',
    foot: 'foot = heel to tip of the big toe',
  }[part];
}

function endsOf(lift: Lift, part: Part): Ends {
  const sides = ['left', 'right'] as const;
  switch (part) {
    case 'femur':
      return sides.map((side) => [lift.joint(`${side}_hip`), lift.joint(`${side}_knee`)]);
    case 'tibia':
      return sides.map((side) => [lift.joint(`${side}_knee`), lift.joint(`${side}_ankle`)]);
    case 'trunk':
      return [[lift.joint('mid_hip'), lift.joint('mid_shoulder')]];
    case 'upper arm':
      return sides.map((side) => [lift.landmark(`${side}_shoulder`), lift.landmark(`${side}_elbow`)]);
    case 'forearm':
      return sides.map((side) => [lift.landmark(`${side}_elbow`), lift.landmark(`${side}_wrist`)]);
    case 'foot':
      return sides.map((side) => [lift.landmark(`${side}_heel`), lift.landmark(`${side}_big_toe`)]);
    default:
      return [];
  }
}
