import { quantile } from '../../numerics/statistics.ts';
import type { BodyPoint } from '../body-points.ts';
import { isKnown, type PointSeries } from '../point-series.ts';
import { lumbarFlexionRad } from './lumbar-flexion.ts';
import { lineTurnRad, type SpineShape } from './spine-shape.ts';

/**
 * Standard deviation of a share that points of the back measure: skin over the spine that slides makes 2° of the thorax's turn
 * against the line, which is 6° of flexion of some 35°. Common practice, no source.
 */
export const MEASURED_SHARE_SD = 0.17;

/** Least flexion the curve must go through for a share to be read, radians; common practice, no source. */
const LEAST_RANGE_RAD = (15 * Math.PI) / 180;
/** Frames with the least lean, of which the standing thorax is read; common practice, no source. */
const STANDING_SHARE = 0.1;

/**
 * Share of the published flexion that this recording shows: the thorax (mid_back to neck_base) turns further forward than the
 * line from mid-hip to mid-shoulder, by a part of the flexion that the spine's shape tells. One number for the recording, by
 * least squares over its frames, so that noise of the points does not gather on one side. Null without both points or with
 * little lean.
 */
export function measuredShare(known: ReadonlyMap<BodyPoint, PointSeries>, shape: SpineShape): number | null {
  const [hips, shoulders] = [known.get('mid_hip'), known.get('mid_shoulder')];
  const [neck, back] = [known.get('neck_base'), known.get('mid_back')];
  if (!hips || !shoulders || !neck || !back) return null;
  const lean: number[] = [];
  const turn: number[] = [];
  for (let frame = 0, i = 0; i < hips.length; frame++, i += 3) {
    if (![hips, shoulders, neck, back].every((series) => isKnown(series, frame))) continue;
    const line = leanRad(hips, shoulders, i);
    lean.push(line);
    turn.push(leanRad(back, neck, i) - line);
  }
  if (lean.length === 0) return null;
  const flexion = lean.map(lumbarFlexionRad);
  const limit = quantile(flexion, STANDING_SHARE);
  const standing = [...flexion.keys()].filter((k) => flexion[k] <= limit);
  const meanOf = (x: readonly number[]) => standing.reduce((sum, k) => sum + x[k], 0) / standing.length;
  const [flexion0, turn0] = [meanOf(flexion), meanOf(turn)];
  if (Math.max(...flexion) - flexion0 < LEAST_RANGE_RAD) return null;
  let product = 0;
  let square = 0;
  for (let k = 0; k < flexion.length; k++) {
    // What a full share would turn the thorax against the line since standing.
    const full = flexion[k] - lineTurnRad(shape, flexion[k]) - (flexion0 - lineTurnRad(shape, flexion0));
    product += full * (turn[k] - turn0);
    square += full * full;
  }
  return product / square;
}

/** The prior share and a measured one, by the inverse of their variances. */
export function combinedShare(share: number, sd: number, measured: number | null): number {
  if (measured === null) return share;
  const [a, b] = [1 / sd ** 2, 1 / MEASURED_SHARE_SD ** 2];
  return (a * share + b * measured) / (a + b);
}

function leanRad(from: PointSeries, to: PointSeries, i: number): number {
  return Math.atan2(to[i] - from[i], to[i + 1] - from[i + 1]);
}
