import { measuredLength } from '../../body/point-series.ts';
import { hipPointsAreTrochanters } from '../../messages.ts';
import { HIP_CENTRES_APART_LIMIT_M } from '../limits.ts';
import { HIPS, type Lift, type SetMeasure } from './measure.ts';
import { ofTheSet } from './readings-of-set.ts';
import { lacking } from './stance-width.ts';

/** Distance between the hip joint centres, m. */
export const hipWidth: SetMeasure = {
  scope: 'set',
  name: 'hip_width',
  unit: 'm',
  title: 'Hip width',
  definition: `Distance between the two hip joint centres, median over the recording. Unknown where the hip points lie more than ${HIP_CENTRES_APART_LIMIT_M} m apart: then they lie over the bone at the side of the hip and are no joint centres.`,
  knownAs: ['narrow or wide hips'],
  needs: [...HIPS],
  source: 'common practice, no source',
  of: (lift) => [ofTheSet(lift, hipCentresApart(lift))],
};

/** How far the hip joint centres lie apart, m, or why that is unknown. */
export function hipCentresApart(lift: Lift): number | string {
  const [left, right] = [lift.joint('left_hip'), lift.joint('right_hip')];
  if (!left || !right) return lacking(lift, HIPS);
  const widthM = measuredLength(left, right).lengthM;
  return widthM > HIP_CENTRES_APART_LIMIT_M ? hipPointsAreTrochanters(widthM, HIP_CENTRES_APART_LIMIT_M) : widthM;
}
