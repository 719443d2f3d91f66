import { type ColumnTable, op, table } from 'arquero';
import type { LiftRecord } from '../lift/lift-record.ts';
import { curvesTable } from './tables.ts';

export const MEAN_CURVE_COLUMNS = [
  'recording_id',
  'phase',
  'grid',
  'depth',
  'quantity',
  'side',
  'unit',
  'mean',
  'sd',
  'lowest',
  'highest',
  'n',
] as const;

/**
 * Mean, standard deviation (n − 1), lowest and highest over the full repetitions, at each depth of each curve.
 *
 * A depth has a mean only where every full repetition that has this curve at all has a value there: otherwise the mean
 * would jump where the shallowest repetition ends. `sd` is unknown for one repetition. Partial and failed repetitions
 * take no part. The spread is between repetitions; it is not an uncertainty of the measurement.
 */
export function meanCurvesTable(record: LiftRecord): ColumnTable {
  const full = new Set(record.repetitions.filter((r) => r.completeness === 'full').map((r) => r.number));
  const points = record.curves.filter(({ repetition }) => full.has(repetition));
  const repetitionsWithCurve = curvesTable(
    record,
    points.filter(({ value }) => Number.isFinite(value)),
  )
    .groupby('phase', 'grid', 'quantity', 'side')
    .rollup({ repetitions: op.distinct('repetition') });
  const atEachDepth = curvesTable(record, points)
    .groupby('recording_id', 'phase', 'grid', 'depth', 'quantity', 'side', 'unit')
    .rollup({
      mean: op.mean('value'),
      sd: op.stdev('value'),
      lowest: op.min('value'),
      highest: op.max('value'),
      n: op.valid('value'),
    });
  const joined = atEachDepth.join_left(repetitionsWithCurve).reify();
  const known = Array.from(joined.array('n') as ArrayLike<number>);
  const expected = joined.array('repetitions') as ArrayLike<number>;
  const where = (name: string, least: number) =>
    Array.from(joined.array(name) as ArrayLike<number>, (value, row) =>
      known[row] >= least && known[row] === expected[row] ? value : Number.NaN,
    );
  return joined
    .assign(
      table({ mean: where('mean', 1), sd: where('sd', 2), lowest: where('lowest', 1), highest: where('highest', 1) }),
    )
    .select(...MEAN_CURVE_COLUMNS);
}
