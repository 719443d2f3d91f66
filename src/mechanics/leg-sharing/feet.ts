import type { BodyMotion } from '../../body/body-motion.ts';
import { bridged, type PointSeries, pointSeries } from '../../body/point-series.ts';
import type { Landmark } from '../../capture/landmarks.ts';
import { median } from '../../numerics/statistics.ts';
import { SECOND_TOE_OUTWARD_SHARE, SECOND_TOE_SHARE } from './assumptions.ts';

/** The line of a foot on the floor, along which its centre of pressure is taken to move. */
export interface FootLine {
  /** Back of the heel and tip of the second toe, `3 * frame`, metres; only X and Z are used. NaN where not known. */
  readonly heel: PointSeries;
  readonly toe: PointSeries;
  /** Median length seen from above, metres. */
  readonly lengthM: number;
}

export interface Feet {
  readonly left: FootLine;
  readonly right: FootLine;
}

/** The lines of both feet; null and what is needed where heel, big toe or ankle of a foot are not known. */
export function footLines(motion: BodyMotion): { readonly feet: Feet | null; readonly needs: readonly Landmark[] } {
  const needs = (['left', 'right'] as const).flatMap((side) =>
    ([`${side}_heel`, `${side}_big_toe`, `${side}_ankle`] as const).filter((name) => !pointOf(motion, name, side)),
  );
  if (needs.length > 0) return { feet: null, needs };
  return { feet: { left: footLine(motion, 'left'), right: footLine(motion, 'right') }, needs };
}

function footLine(motion: BodyMotion, side: 'left' | 'right'): FootLine {
  const heel = pointOf(motion, `${side}_heel`, side)!;
  const bigToe = pointOf(motion, `${side}_big_toe`, side)!;
  const smallToe = pointOf(motion, `${side}_small_toe`, side);
  const toe = new Float64Array(heel.length);
  const outward = side === 'right' ? 1 : -1;
  const lengths = new Float64Array(heel.length / 3);
  let known = 0;
  for (let i = 0; i < toe.length; i += 3) {
    // Square to heel → big toe, away from the other foot.
    const aside = outward * SECOND_TOE_OUTWARD_SHARE;
    const dx = smallToe ? SECOND_TOE_SHARE * (smallToe[i] - bigToe[i]) : -aside * (bigToe[i + 2] - heel[i + 2]);
    const dz = smallToe ? SECOND_TOE_SHARE * (smallToe[i + 2] - bigToe[i + 2]) : aside * (bigToe[i] - heel[i]);
    toe[i] = bigToe[i] + dx;
    toe[i + 1] = bigToe[i + 1];
    toe[i + 2] = bigToe[i + 2] + dz;
    const lengthM = Math.hypot(toe[i] - heel[i], toe[i + 2] - heel[i + 2]);
    if (Number.isFinite(lengthM)) lengths[known++] = lengthM;
  }
  return { heel, toe, lengthM: known > 0 ? median(lengths.subarray(0, known)) : Number.NaN };
}

/** A point of the foot with its gaps bridged relative to the ankle, as the body stage does; null where it is hardly seen. */
function pointOf({ trajectories }: BodyMotion, name: Landmark, side: 'left' | 'right'): PointSeries | null {
  const point = pointSeries(trajectories, name);
  const ankle = pointSeries(trajectories, `${side}_ankle`);
  if (!point || !ankle || name.endsWith('ankle')) return ankle && point;
  const cutoffHz = trajectories.cutoffHz[trajectories.landmarks.indexOf(name)];
  return bridged(point, ankle, trajectories.frameRateHz, cutoffHz)?.series ?? null;
}
