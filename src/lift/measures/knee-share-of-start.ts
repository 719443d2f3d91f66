import type { PointSeries } from '../../body/point-series.ts';
import {
  ascentComesFirst,
  edgeOfRecording,
  missing,
  needsLandmarks,
  phaseMissing,
  travelTooSmall,
} from '../../messages.ts';
import { valueAtIndex } from '../../numerics/interpolation.ts';
import { absentLandmarks } from '../landmark-points.ts';
import { START_DROP_SHARE, START_TRAVEL_M } from '../limits.ts';
import { HIPS, KNEES, type RepetitionMeasure } from './measure.ts';
import { dropCrossing, known, unknown } from './readings.ts';

/** Forward knee travel as a share of forward knee and backward hip travel, in the first 15 % of the drop. */
export const kneeShareOfStart: RepetitionMeasure = {
  scope: 'repetition',
  name: 'knee_share_of_start',
  unit: '1',
  title: 'Knees or hips first',
  definition:
    'In the first 15 % of the drop: how far the knees move forward, divided by that plus how far the hips move back. 0 = only the hips move back, 1 = only the knees move forward. A movement the other way counts as none.',
  knownAs: ['knees first', 'hips first', 'breaking at the knees', 'breaking at the hips'],
  needs: [...HIPS, ...KNEES],
  source: '15 %: common practice, no source',
  of(repetition, lift) {
    const at = 'descent';
    if (repetition.order === 'ascent first') return [unknown(at, null, ascentComesFirst())];
    if (!repetition.descent) return [unknown(at, null, phaseMissing(at))];
    const knee = lift.joint('mid_knee');
    const hip = lift.joint('mid_hip');
    if (!knee || !hip) return [unknown(at, null, needsLandmarks(absentLandmarks(lift, [...HIPS, ...KNEES])))];
    // 0 % of the drop is the stand itself: 2 % further on, where the descent's range begins, knees that break first have moved.
    const from = repetition.topFrame;
    const crossing = dropCrossing(lift, repetition, 'descent', 100 * START_DROP_SHARE);
    if (crossing.reason !== '') return [unknown(at, null, crossing.reason, from)];
    const to = crossing.at[0];
    const last = Math.ceil(to);
    if (lift.table.edge[from] || lift.table.edge[last]) return [unknown(at, null, edgeOfRecording(), from, last)];
    const kneeForward = Math.max(0, forwardTravel(knee, from, to));
    const hipBack = Math.max(0, -forwardTravel(hip, from, to));
    const travel = kneeForward + hipBack;
    if (Number.isNaN(travel)) return [unknown(at, null, missing(), from, last)];
    if (travel < START_TRAVEL_M) return [unknown(at, null, travelTooSmall(START_TRAVEL_M), from, last)];
    return [known(at, null, kneeForward / travel, from, last)];
  },
};

/** Change of x between a frame and a fractional frame, m. */
function forwardTravel(point: PointSeries, from: number, to: number): number {
  const x = Float64Array.from({ length: Math.ceil(to) - from + 1 }, (_, i) => point[3 * (from + i)]);
  return valueAtIndex(x, to - from) - x[0];
}
