import type { ColumnTable } from 'arquero';
import type { ResidualAnalysis } from '../mechanics/residual/residual-analysis.ts';
import type { AxisSpreads, ResidualSummary, Spread } from '../mechanics/residual/residual-summary.ts';
import { tableOf } from './csv.ts';

export const RESIDUAL_COLUMNS = [
  'recording_id',
  'over',
  'repetition',
  'lean_from_deg',
  'lean_to_deg',
  'frames',
  'quantity',
  'mean',
  'rms',
  'p95',
  'unit',
] as const;

/** `residual.csv`: what the movement needs from the floor less what was measured; no rows without force plates under both feet. */
export function residualTable(recordingId: string, residual: ResidualAnalysis | null): ColumnTable {
  const rows = residual
    ? [
        ...rowsOf(residual.overall, { over: 'all' }),
        ...residual.byRepetition.flatMap((one) => rowsOf(one, { over: 'repetition', repetition: one.repetition })),
        ...residual.byLean.flatMap((one) =>
          rowsOf(one, { over: 'lean', lean_from_deg: one.fromDeg, lean_to_deg: one.toDeg }),
        ),
      ]
    : [];
  return tableOf(
    RESIDUAL_COLUMNS,
    rows.map((row) => ({ recording_id: recordingId, ...row })),
  );
}

function rowsOf(summary: ResidualSummary, where: Readonly<Record<string, unknown>>): Record<string, unknown>[] {
  const axes = (quantity: string, unit: string, spreads: AxisSpreads) =>
    (['forward', 'up', 'right'] as const).map((axis) => row(`${quantity}_${axis}`, unit, spreads[axis]));
  const row = (quantity: string, unit: string, spread: Spread | null) => ({
    ...where,
    frames: summary.frames,
    quantity,
    mean: spread?.mean ?? null,
    rms: spread?.rms ?? null,
    p95: spread?.p95 ?? null,
    unit,
  });
  return [
    ...axes('force', 'n', summary.forceN),
    ...axes('force', 'pct_body_weight', summary.forcePctBodyWeight),
    ...axes('moment_about_mid_hip', 'nm', summary.momentNm),
    row('pressure_forward', 'm', summary.pressureForwardM),
  ];
}
