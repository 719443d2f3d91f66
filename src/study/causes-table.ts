import type { ColumnTable } from 'arquero';
import type { LiftRecord } from '../lift/lift-record.ts';
import { uncertaintyReasons } from '../messages/uncertainty.ts';
import { CAUSE_GROUPS } from '../uncertainty/causes/cause.ts';
import type { LiftUncertainty } from '../uncertainty/lift-uncertainty.ts';
import { tableOf } from './csv.ts';
import { whyNoInterval } from './why-no-interval.ts';

export const CAUSE_COLUMNS = [
  'recording_id',
  'athlete_id',
  'repetition',
  'measure',
  'side',
  'at',
  'cause',
  'share',
  'sd',
  'unit',
  'reason',
] as const;

/**
 * `causes.csv`: for every measure with an interval, the part of each kind of doubt in its variance. A known measure without
 * an interval has one row, without a cause, that says why.
 */
export function causesTable(record: LiftRecord, uncertainty: LiftUncertainty | null): ColumnTable {
  if (uncertainty === null) return tableOf(CAUSE_COLUMNS, []);
  const { intervals, groups } = uncertainty;
  const rows = record.measures.flatMap((value, i) => {
    if (Number.isNaN(value.value)) return [];
    const sd = intervals.sd[i];
    const of = {
      recording_id: record.recordingId,
      athlete_id: record.athleteId,
      repetition: value.repetition,
      measure: value.measure,
      side: value.side,
      at: value.at,
    };
    if (Number.isNaN(sd)) {
      return [
        { ...of, cause: '', share: Number.NaN, sd: Number.NaN, unit: value.unit, reason: whyNoInterval(intervals, i) },
      ];
    }
    return groups.map(({ group, notIncluded }) => {
      const share = intervals.share[i * CAUSE_GROUPS.length + CAUSE_GROUPS.indexOf(group)];
      return {
        ...of,
        cause: String(group),
        share: notIncluded === '' ? share : Number.NaN,
        sd: notIncluded !== '' ? Number.NaN : sd === 0 ? 0 : sd * Math.sqrt(share),
        unit: value.unit,
        // A number that no error moves, such as a bounce that is none, has no variance to share out.
        reason: notIncluded || (sd === 0 ? uncertaintyReasons.noVariance() : ''),
      };
    });
  });
  return tableOf(CAUSE_COLUMNS, rows);
}
