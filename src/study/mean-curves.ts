import { escape as byRow, type ColumnTable, op, table } from 'arquero';
import type { CurvePoint, LiftRecord } from '../lift/lift-record.ts';
import { scaleOf } from '../lift/measures/index.ts';
import { fromScale, toScale } from '../numerics/scale.ts';
import type { LiftUncertainty } from '../uncertainty/lift-uncertainty.ts';
import { intervalsOfMeans } from './mean-intervals.ts';
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
  'lower',
  'upper',
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
 * take no part. The spread is between repetitions; it is not an uncertainty of the measurement. `lower` and `upper` are: the
 * 95 % interval of the mean, in which errors common to the repetitions keep their size and noise averages out; unknown
 * without `uncertainty`.
 */
export function meanCurvesTable(record: LiftRecord, uncertainty: LiftUncertainty | null = null): ColumnTable {
  const full = new Set(record.repetitions.filter((r) => r.completeness === 'full').map((r) => r.number));
  const points = record.curves.filter(({ repetition }) => full.has(repetition));
  const repetitionsWithCurve = curvesTable(
    record,
    points.filter(({ value }) => Number.isFinite(value)),
  )
    .groupby('phase', 'grid', 'quantity', 'side')
    .rollup({ repetitions: op.distinct('repetition') });
  const atEachDepth = curvesTable(record, points)
    .derive({ placed: byRow(({ quantity, value }: CurvePoint) => placed(quantity, value)) })
    .groupby('recording_id', 'phase', 'grid', 'depth', 'quantity', 'side', 'unit')
    .rollup({
      mean: op.mean('placed'),
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
  const quantities = joined.array('quantity') as ArrayLike<string>;
  const mean = where('mean', 1).map((value, row) => broughtBack(quantities[row], value));
  const interval = intervalsOf(record, full, uncertainty, joined, mean);
  return joined
    .assign(table({ mean, ...interval, sd: where('sd', 2), lowest: where('lowest', 1), highest: where('highest', 1) }))
    .select(...MEAN_CURVE_COLUMNS);
}

/** A ratio is averaged on its scale. */
function placed(quantity: string, value: number): number {
  const scale = scaleOf(quantity);
  return scale === null ? value : toScale(scale, value);
}

function broughtBack(quantity: string, place: number): number {
  const scale = scaleOf(quantity);
  return scale === null ? place : fromScale(scale, place);
}

type Place = Pick<CurvePoint, 'phase' | 'grid' | 'depth' | 'quantity' | 'side'>;

const nameOf = ({ phase, grid, depth, quantity, side }: Place) => `${phase}/${grid}/${depth}/${quantity}/${side}`;

/** Ends of the intervals of the means, in the order of the rows; NaN where the mean is unknown. */
function intervalsOf(
  record: LiftRecord,
  full: ReadonlySet<number>,
  uncertainty: LiftUncertainty | null,
  rows: ColumnTable,
  mean: readonly number[],
): { readonly lower: ArrayLike<number>; readonly upper: ArrayLike<number> } {
  if (uncertainty === null) {
    const unknown = mean.map(() => Number.NaN);
    return { lower: unknown, upper: unknown };
  }
  const members = new Map<string, number[]>();
  record.curves.forEach((point, i) => {
    if (!full.has(point.repetition) || Number.isNaN(point.value)) return;
    const name = nameOf(point);
    const own = members.get(name);
    if (own) own.push(record.measures.length + i);
    else members.set(name, [record.measures.length + i]);
  });
  const places = rows.objects({ limit: Number.POSITIVE_INFINITY }) as Place[];
  const of = places.map((place, row) => (Number.isNaN(mean[row]) ? [] : members.get(nameOf(place))!));
  const { intervals } = intervalsOfMeans(uncertainty, of);
  return { lower: Array.from(intervals.lower), upper: Array.from(intervals.upper) };
}
