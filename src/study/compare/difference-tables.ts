import type { ColumnTable } from 'arquero';
import { tableOf } from '../csv.ts';
import type { Difference, LiftComparison } from './compare-lifts.ts';

const SIDES = ['recording_a', 'repetition_a', 'recording_b', 'repetition_b'] as const;

export const MEASURE_DIFFERENCE_COLUMNS = [
  ...SIDES,
  'measure',
  'side',
  'at',
  'value_a',
  'lower_a',
  'upper_a',
  'averaged_a',
  'value_b',
  'lower_b',
  'upper_b',
  'averaged_b',
  'difference',
  'lower',
  'upper',
  'sd',
  'cancelled_share',
  'unit',
  'verdict',
  'reason',
] as const;

export const CURVE_DIFFERENCE_COLUMNS = [
  ...SIDES,
  'phase',
  'grid',
  'depth',
  'quantity',
  'side',
  'value_a',
  'lower_a',
  'upper_a',
  'value_b',
  'lower_b',
  'upper_b',
  'difference',
  'lower',
  'upper',
  'band_lower',
  'band_upper',
  'sd',
  'cancelled_share',
  'unit',
  'verdict',
  'reason',
] as const;

/** `measure-differences.csv`: one row a measure, side and place. */
export function measureDifferencesTable(comparison: LiftComparison): ColumnTable {
  const of = sidesOf(comparison);
  return tableOf(
    MEASURE_DIFFERENCE_COLUMNS,
    comparison.measures.map((row) => ({
      ...of,
      measure: row.measure,
      side: row.side,
      at: row.at,
      ...numbersOf(row),
      averaged_a: row.a.averaged,
      averaged_b: row.b.averaged,
      unit: row.unit,
    })),
  );
}

/** `curve-differences.csv`: one row a phase, depth and quantity that A or B knows. */
export function curveDifferencesTable(comparison: LiftComparison): ColumnTable {
  const of = sidesOf(comparison);
  return tableOf(
    CURVE_DIFFERENCE_COLUMNS,
    comparison.curves.map((row) => ({
      ...of,
      phase: row.phase,
      grid: row.grid,
      depth: row.depth,
      quantity: row.quantity,
      side: row.side,
      ...numbersOf(row),
      band_lower: row.bandLower,
      band_upper: row.bandUpper,
      unit: row.unit,
    })),
  );
}

function sidesOf({ a, b }: LiftComparison) {
  return {
    recording_a: a.record.recordingId,
    repetition_a: a.repetition,
    recording_b: b.record.recordingId,
    repetition_b: b.repetition,
  };
}

function numbersOf({ a, b, difference, lower, upper, sd, cancelled, verdict, reason }: Difference) {
  return {
    value_a: a.value,
    lower_a: a.lower,
    upper_a: a.upper,
    value_b: b.value,
    lower_b: b.lower,
    upper_b: b.upper,
    difference,
    lower,
    upper,
    sd,
    cancelled_share: cancelled,
    verdict: verdict === 'unknown' ? '' : verdict,
    reason,
  };
}
