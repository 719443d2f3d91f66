import { type Grid, type LiftDepths, readingAtCrossing } from './depth.ts';
import type { CurvePoint, Repetition } from './lift-record.ts';
import { DROP_GRID_PCT, THIGH_ELEVATION_GRID_DEG } from './limits.ts';
import type { QuantityTable } from './quantities.ts';

/** Quantities that are given across depth; each by every side it is known for. */
export const CURVE_QUANTITIES = [
  'hip_moment',
  'hip_moment_gravity',
  'knee_moment',
  'knee_moment_gravity',
  'ankle_moment',
  'ankle_moment_gravity',
  'support_moment',
  'hip_share',
  'hip_share_gravity',
  'hip_minus_knee',
  'hip_knee_ratio',
  'ankle_share',
  'trunk_lean',
  'shank_inclination',
  'com_along_foot',
  'bar_velocity_y',
] as const;

const GRIDS: readonly { readonly grid: Grid; readonly levels: readonly number[] }[] = [
  { grid: 'thigh_elevation_deg', levels: THIGH_ELEVATION_GRID_DEG },
  { grid: 'drop_pct', levels: DROP_GRID_PCT },
];

/**
 * Values across depth of one repetition, descent and ascent apart, on both grids, linear between the frames around each
 * depth. `lower` and `upper` are NaN: this version computes no intervals.
 */
export function depthCurves(repetition: Repetition, table: QuantityTable, depths: LiftDepths): CurvePoint[] {
  const points: CurvePoint[] = [];
  const quantities = CURVE_QUANTITIES.flatMap((name) => table.list.filter(({ quantity }) => quantity === name));
  for (const phase of ['descent', 'ascent'] as const) {
    for (const { grid, levels } of GRIDS) {
      const crossings = levels.map((level) => depths.crossing(repetition, phase, grid, level));
      for (const { quantity, side, unit } of quantities) {
        const column = table.column(quantity, side);
        for (let i = 0; i < levels.length; i++) {
          const { value, reason } = readingAtCrossing(column, crossings[i]);
          points.push({
            repetition: repetition.number,
            phase,
            grid,
            depth: levels[i],
            quantity,
            side: side ?? '',
            value,
            lower: Number.NaN,
            upper: Number.NaN,
            unit: unit === '' ? '1' : unit,
            reason,
          });
        }
      }
    }
  }
  return points;
}
