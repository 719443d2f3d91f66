import type { ColumnTable } from 'arquero';
import type { LiftRecord, MeasureValue } from '../lift/lift-record.ts';
import { uncertaintyReasons } from '../messages/uncertainty.ts';
import { CAUSE_GROUPS, type CauseGroup } from '../uncertainty/causes/cause.ts';
import type { LiftUncertainty } from '../uncertainty/lift-uncertainty.ts';
import { tableOf } from './csv.ts';
import { type SetMean, setMeansOf } from './set-means.ts';
import { measureEstimate } from './spread.ts';

/** Name of a cause's column in means.csv: 'body_mass_share'. */
export const shareColumn = (cause: CauseGroup): string => `${cause.replace(' ', '_')}_share`;

export const MEAN_COLUMNS: readonly string[] = [
  'recording_id',
  'athlete_id',
  'measure',
  'side',
  'at',
  'repetitions',
  'mean',
  'lower',
  'upper',
  'sd',
  'between_sd',
  'unit',
  'reason',
  'interval_reason',
  ...CAUSE_GROUPS.map(shareColumn),
];

/** `means.csv`: every measure as its mean over the full repetitions of the set, with the interval of that mean and what it is made of. */
export function meansTable(
  record: LiftRecord,
  uncertainty: LiftUncertainty | null,
  means: readonly SetMean[] = uncertainty ? setMeansOf(uncertainty) : [],
): ColumnTable {
  const nameOf = ({ measure, side, at }: Pick<MeasureValue, 'measure' | 'side' | 'at'> | SetMean) =>
    JSON.stringify([measure, side, at]);
  const places = new Map(record.measures.map((value) => [nameOf(value), value]));
  const byName = new Map(means.map((mean) => [nameOf(mean), mean]));
  const included = new Set(
    uncertainty?.groups.flatMap(({ group, notIncluded }) => (notIncluded === '' ? [group] : [])),
  );
  const rows = [...places].map(([name, { measure, side, at, unit }]) => {
    const found = measureEstimate(record, means, measure, at, side);
    const mean = byName.get(name);
    const shareOf = (cause: CauseGroup, i: number) => (included.has(cause) ? mean?.shares[i] : null);
    return {
      recording_id: record.recordingId,
      athlete_id: record.athleteId,
      measure,
      side,
      at,
      repetitions: found.known ? found.estimate.n : 0,
      mean: found.known ? found.estimate.value : null,
      lower: mean?.lower,
      upper: mean?.upper,
      sd: mean?.sd,
      between_sd: found.known ? found.estimate.sd : null,
      unit,
      reason: found.known ? '' : found.reason,
      interval_reason: !found.known ? '' : uncertainty === null ? uncertaintyReasons.switchedOff() : mean?.reason,
      ...Object.fromEntries(CAUSE_GROUPS.map((cause, i) => [shareColumn(cause), shareOf(cause, i)])),
    };
  });
  return tableOf(MEAN_COLUMNS, rows);
}
