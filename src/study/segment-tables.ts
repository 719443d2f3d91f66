import type { ColumnTable } from 'arquero';
import type { SegmentTableName } from '../capture/recording.ts';
import type { LiftRecord } from '../lift/lift-record.ts';
import { tableOf } from './csv.ts';
import { measureEstimate } from './spread.ts';

/** The same recording, described with one of the segment tables. */
export interface TableRun {
  readonly segments: SegmentTableName;
  /** True for the table the results are given with. */
  readonly used: boolean;
  readonly record: LiftRecord;
}

export const SEGMENT_TABLE_COLUMNS = [
  'recording_id',
  'segments',
  'used',
  'measure',
  'side',
  'at',
  'repetitions',
  'mean',
  'difference',
  'unit',
] as const;

/** `segment-tables.csv`: every measure as the mean of its full repetitions with each table; measures that no table changes are left out. */
export function segmentTablesTable(runs: readonly TableRun[]): ColumnTable {
  const used = runs.find((run) => run.used)!;
  const places = new Map(
    used.record.measures.map(({ measure, side, at, unit }) => [
      JSON.stringify([measure, side, at]),
      { measure, side, at, unit },
    ]),
  );
  const meanOf = (record: LiftRecord, measure: string, at: string, side: '' | 'both' | 'left' | 'right') => {
    const found = measureEstimate(record, [], measure, at, side);
    return found.known ? found.estimate : null;
  };
  const rows = [...places.values()].flatMap(({ measure, side, at, unit }) => {
    const own = meanOf(used.record, measure, at, side);
    const found = runs.map(({ segments, used: isUsed, record }) => {
      const estimate = meanOf(record, measure, at, side);
      return {
        recording_id: record.recordingId,
        segments,
        used: isUsed,
        measure,
        side,
        at,
        repetitions: estimate?.n ?? 0,
        mean: estimate?.value ?? null,
        difference: estimate && own ? estimate.value - own.value : null,
        unit,
      };
    });
    return found.some(({ difference }) => difference !== null && Math.abs(difference) > UNCHANGED) ? found : [];
  });
  return tableOf(SEGMENT_TABLE_COLUMNS, rows);
}

/** Differences below this come from rounding alone, in whatever unit. */
const UNCHANGED = 1e-9;
