import { cohortCurveReasons } from '../../messages/cohort-curves.ts';
import type { AthleteCurves, CurvePlace } from '../statistics/curves/athlete-curves.ts';
import type { CurveTestOptions } from '../statistics/curves/curve-test.ts';
import { pairedCurves } from '../statistics/curves/paired-curves.ts';
import { type AthleteEffects, type WidenedPoint, withSharedDoubt } from '../statistics/curves/shared-doubt.ts';

/** The mean curve of a group at one depth, on the scale of the curves. */
export interface GroupMeanPoint extends CurvePlace {
  /** Athletes in the mean, and of the group those who are not. */
  readonly n: number;
  readonly missing: number;
  readonly recordings: number;
  readonly repetitions: number;
  readonly mean: number;
  /** Student's interval at this depth alone. */
  readonly lower: number;
  readonly upper: number;
  /** Simultaneous band of the mean, between athletes. */
  readonly bandLower: number;
  readonly bandUpper: number;
  /** The band with errors of measurement that athletes share; NaN where they are not known. */
  readonly widenedBandLower: number;
  readonly widenedBandUpper: number;
  readonly reason: string;
}

/**
 * Mean over athletes at each depth, each counting once, with a band that holds the whole mean curve of all such athletes.
 *
 * The band is that of `pairedCurves` against a curve of zeros: the critical value is the 1 − alpha quantile of the largest |t| over all
 * depths when the signs of the athletes' own deviations from the mean are turned, whole curves at a time. It needs 6 athletes at 5 %.
 *
 * @param athletes of the group, those without a curve too
 * @param effects what moves each athlete's curve; null: not known
 */
export function groupMeanCurve(
  curves: AthleteCurves,
  athletes: number,
  effects: readonly AthleteEffects[] | null,
  options: CurveTestOptions,
): GroupMeanPoint[] {
  const count = curves.places.length;
  const at = (p: number) => [...curves.athletes.keys()].filter((i) => Number.isFinite(curves.values[i * count + p]));
  const found = withBand(curves, effects, options);
  return curves.places.map((place, p): GroupMeanPoint => {
    const known = at(p);
    const point = found?.[p];
    const sum = (of: readonly number[]) => known.reduce((total, i) => total + of[i], 0);
    const mean = known.reduce((total, i) => total + curves.values[i * count + p], 0) / known.length;
    const hasBand = point !== undefined && Number.isFinite(point.bandLower);
    return {
      ...place,
      n: known.length,
      missing: athletes - known.length,
      recordings: sum(curves.recordings),
      repetitions: sum(curves.repetitions),
      mean,
      lower: point?.lower ?? Number.NaN,
      upper: point?.upper ?? Number.NaN,
      bandLower: point?.bandLower ?? Number.NaN,
      bandUpper: point?.bandUpper ?? Number.NaN,
      widenedBandLower: point?.widenedBandLower ?? Number.NaN,
      widenedBandUpper: point?.widenedBandUpper ?? Number.NaN,
      reason: hasBand ? '' : point?.reason || cohortCurveReasons.bandOfFew(known.length),
    };
  });
}

type BandPoint = Pick<WidenedPoint, 'lower' | 'upper' | 'bandLower' | 'bandUpper' | 'reason'> &
  Partial<Pick<WidenedPoint, 'widenedBandLower' | 'widenedBandUpper'>>;

function withBand(
  curves: AthleteCurves,
  effects: readonly AthleteEffects[] | null,
  options: CurveTestOptions,
): readonly BandPoint[] | null {
  if (curves.athletes.length < 2) return null;
  const zeros = { ...curves, values: new Float64Array(curves.values.length) };
  const test = pairedCurves(zeros, curves, options);
  return effects === null ? test.points : withSharedDoubt(test, effects).points;
}
