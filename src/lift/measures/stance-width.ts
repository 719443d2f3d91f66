import type { PointSeries } from '../../body/point-series.ts';
import { measuredLength } from '../../body/point-series.ts';
import type { Landmark } from '../../capture/landmarks.ts';
import { hipPointsAreTrochanters, missing, needsLandmarks } from '../../messages.ts';
import { median } from '../../numerics/statistics.ts';
import { absentLandmarks } from '../landmark-points.ts';
import type { Repetition } from '../lift-record.ts';
import { HIP_CENTRES_APART_LIMIT_M } from '../limits.ts';
import { ANKLES, HEELS, HIPS, type Lift, type MeasureReading, type RepetitionMeasure, SHOULDERS } from './measure.ts';
import { known, startFrame, unknown } from './readings.ts';

const MEASURED = 'Median over a quarter second on either side of the start.';

export const stanceAnkleDistance = stance({
  name: 'stance_ankle_distance',
  unit: 'm',
  title: 'Stance width between the ankles',
  definition: `Distance between the two ankle joints on the floor plane. ${MEASURED}`,
  needs: [...ANKLES],
  of: (distance) => distance,
});

export const stanceHeelDistance: RepetitionMeasure = stance(
  {
    name: 'stance_heel_distance',
    unit: 'm',
    title: 'Stance width between the heels',
    definition: `Distance between the two heels on the floor plane. ${MEASURED}`,
    needs: [...HEELS],
    of: (distance) => distance,
  },
  (lift) => [lift.landmark('left_heel'), lift.landmark('right_heel')],
  HEELS,
);

export const stancePerHipWidth = stance({
  name: 'stance_per_hip_width',
  unit: '1',
  title: 'Stance width per hip width',
  definition: `Ankle distance divided by the distance between the hip joint centres. Unknown where the hip points lie more than ${HIP_CENTRES_APART_LIMIT_M} m apart: then they are no joint centres.`,
  needs: [...ANKLES, ...HIPS],
  of(distance, lift) {
    const [left, right] = [lift.joint('left_hip'), lift.joint('right_hip')];
    if (!left || !right) return lacking(lift, HIPS);
    const width = measuredLength(left, right).lengthM;
    return width > HIP_CENTRES_APART_LIMIT_M
      ? hipPointsAreTrochanters(width, HIP_CENTRES_APART_LIMIT_M)
      : distance / width;
  },
});

export const stancePerShoulderWidth = stance({
  name: 'stance_per_shoulder_width',
  unit: '1',
  title: 'Stance width per shoulder width',
  definition: 'Ankle distance divided by the distance between the shoulder points.',
  needs: [...ANKLES, ...SHOULDERS],
  of(distance, lift) {
    const [left, right] = [lift.landmark('left_shoulder'), lift.landmark('right_shoulder')];
    return left && right ? distance / measuredLength(left, right).lengthM : lacking(lift, SHOULDERS);
  },
});

export const stancePerLegLength = stance({
  name: 'stance_per_leg_length',
  unit: '1',
  title: 'Stance width per leg length',
  definition: 'Ankle distance divided by the length of the leg, hip to ankle when straight.',
  needs: [...ANKLES, ...HIPS],
  of: (distance, lift) => distance / lift.legLengthM,
});

function lacking(lift: Lift, landmarks: readonly Landmark[]): string {
  return needsLandmarks(absentLandmarks(lift, landmarks));
}

interface StanceCard extends Pick<RepetitionMeasure, 'name' | 'unit' | 'title' | 'definition' | 'needs'> {
  /** The value made of the distance in m, or why it is unknown. */
  of(distanceM: number, lift: Lift): number | string;
}

function stance(
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

/** A quarter second on either side of the start of a repetition, half-open. */
export function aroundStart(repetition: Repetition, { loads }: Lift) {
  const frame = startFrame(repetition);
  const reach = Math.round(0.25 * loads.frameRateHz);
  return { from: Math.max(0, frame - reach), to: Math.min(loads.frames, frame + reach + 1) };
}
