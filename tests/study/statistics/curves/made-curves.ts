import type { AthleteCurves, CurvePlace } from '../../../../src/study/statistics/curves/athlete-curves.ts';

/** Curves from rows of numbers, one row an athlete; places 0°, −5° … of the way down. NaN: does not reach it. */
export function curvesOf(rows: readonly (readonly number[])[], prefix = 'A', more: Partial<AthleteCurves> = {}) {
  const places: CurvePlace[] = rows[0].map((_, p) => ({ phase: 'descent', depth: -5 * p }));
  return {
    quantity: 'hip_share',
    side: 'both',
    grid: 'thigh_elevation_deg',
    scale: 'as is',
    athletes: rows.map((_, i) => `${prefix}${String(i + 1).padStart(2, '0')}`),
    places,
    values: Float64Array.from(rows.flat()),
    recordings: rows.map(() => 1),
    repetitions: rows.map(() => 1),
    ...more,
  } satisfies AthleteCurves;
}

/** One depth only. */
export const onePlace = (values: readonly number[], prefix = 'A') =>
  curvesOf(
    values.map((value) => [value]),
    prefix,
  );
