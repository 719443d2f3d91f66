import { type ColumnTable, table } from 'arquero';
import type { Recording } from '../capture/recording.ts';
import type { Grade } from '../lift/grade.ts';
import type { CurvePoint, FrameRange, LiftRecord, Repetition } from '../lift/lift-record.ts';
import { columnName } from '../lift/quantities.ts';
import { tableOf } from './csv.ts';

/** Time of a frame on the recording's common clock, seconds; null for the frame −1 ("there is none"). */
function timeOf(record: LiftRecord, frame: number): number | null {
  return frame < 0 ? null : record.loads.startS + frame / record.loads.frameRateHz;
}

const frameOf = (frame: number): number | null => (frame < 0 ? null : frame);

/** `frames.csv`: one row a frame of the whole recording, one column a quantity; NaN where unknown. */
export function framesTable(record: LiftRecord): ColumnTable {
  const { frames } = record.loads;
  const columns: [string, unknown][] = [
    ['recording_id', new Array<string>(frames).fill(record.recordingId)],
    ['frame', Array.from({ length: frames }, (_, frame) => frame)],
    ['time_s', Array.from({ length: frames }, (_, frame) => timeOf(record, frame))],
  ];
  for (const quantity of record.quantities) columns.push([columnName(quantity), quantity.values]);
  return table(columns as [string, unknown[]][]);
}

export const CURVE_COLUMNS = [
  'recording_id',
  'athlete_id',
  'repetition',
  'phase',
  'grid',
  'depth',
  'quantity',
  'side',
  'value',
  'lower',
  'upper',
  'unit',
  'reason',
] as const;

/** `curves.csv`: one row a repetition, phase, depth and quantity. */
export function curvesTable(record: LiftRecord, points: readonly CurvePoint[] = record.curves): ColumnTable {
  const ids: Readonly<Record<string, string>> = { recording_id: record.recordingId, athlete_id: record.athleteId };
  return table(
    CURVE_COLUMNS.map((name): [string, unknown[]] => [
      name,
      name in ids
        ? new Array<string>(points.length).fill(ids[name])
        : points.map((point) => point[name as keyof CurvePoint]),
    ]),
  );
}

export const REPETITION_COLUMNS = [
  'recording_id',
  'athlete_id',
  'repetition',
  'order',
  'completeness',
  'reason',
  'top_frame',
  'top_time_s',
  'descent_first_frame',
  'descent_last_frame',
  'descent_start_time_s',
  'descent_end_time_s',
  'parallel_descent_frame',
  'parallel_descent_time_s',
  'bottom_frame',
  'bottom_time_s',
  'parallel_ascent_frame',
  'parallel_ascent_time_s',
  'sticking_frame',
  'sticking_time_s',
  'ascent_first_frame',
  'ascent_last_frame',
  'ascent_start_time_s',
  'ascent_end_time_s',
  'descent_s',
  'ascent_s',
  'hip_drop_m',
  'bottom_thigh_elevation_deg',
  'moments_known_share',
] as const;

/** `repetitions.csv`: one row a repetition. */
export function repetitionsTable(record: LiftRecord): ColumnTable {
  return tableOf(
    REPETITION_COLUMNS,
    record.repetitions.map((repetition) => ({
      recording_id: record.recordingId,
      athlete_id: record.athleteId,
      repetition: repetition.number,
      order: repetition.order,
      completeness: repetition.completeness,
      reason: repetition.reason,
      top_frame: frameOf(repetition.topFrame),
      top_time_s: timeOf(record, repetition.topFrame),
      ...phaseCells(record, 'descent', repetition.descent),
      parallel_descent_frame: frameOf(repetition.parallelDescentFrame),
      parallel_descent_time_s: timeOf(record, repetition.parallelDescentFrame),
      bottom_frame: frameOf(repetition.bottomFrame),
      bottom_time_s: timeOf(record, repetition.bottomFrame),
      parallel_ascent_frame: frameOf(repetition.parallelAscentFrame),
      parallel_ascent_time_s: timeOf(record, repetition.parallelAscentFrame),
      sticking_frame: frameOf(repetition.stickingFrame),
      sticking_time_s: timeOf(record, repetition.stickingFrame),
      ...phaseCells(record, 'ascent', repetition.ascent),
      descent_s: measureOf(record, repetition, 'descent_time'),
      ascent_s: measureOf(record, repetition, 'ascent_time'),
      hip_drop_m: repetition.hipDropM,
      bottom_thigh_elevation_deg: repetition.bottomThighElevationDeg,
      moments_known_share: momentsKnownShare(record, repetition),
    })),
  );
}

function measureOf(record: LiftRecord, { number }: Repetition, name: string): number | null {
  return record.measures.find(({ repetition, measure }) => repetition === number && measure === name)?.value ?? null;
}

/** A phase is the half-open range [from, to): its last frame is to − 1. */
function phaseCells(record: LiftRecord, phase: 'descent' | 'ascent', range: FrameRange | null) {
  return {
    [`${phase}_first_frame`]: range?.from ?? null,
    [`${phase}_last_frame`]: range ? range.to - 1 : null,
    [`${phase}_start_time_s`]: range ? timeOf(record, range.from) : null,
    [`${phase}_end_time_s`]: range ? timeOf(record, range.to - 1) : null,
  };
}

/** Share of a repetition's frames in which hip and knee moment (both legs) are known, 0–1; NaN without any phase. */
export function momentsKnownShare(record: LiftRecord, repetition: Repetition): number {
  const joints = ['hip_moment', 'knee_moment'].map((name) =>
    record.quantities.find(({ quantity, side }) => quantity === name && side === 'both'),
  );
  let known = 0;
  let total = 0;
  for (const range of [repetition.descent, repetition.ascent]) {
    for (let frame = range?.from ?? 0; frame < (range?.to ?? 0); frame++) {
      total++;
      if (joints.every((joint) => joint && Number.isFinite(joint.values[frame]))) known++;
    }
  }
  return known / total;
}

export const MEASURE_COLUMNS = [
  'recording_id',
  'athlete_id',
  'repetition',
  'measure',
  'side',
  'at',
  'value',
  'lower',
  'upper',
  'unit',
  'frame_first',
  'frame_last',
  'reason',
] as const;

/** `measures.csv`: one row a repetition and technique measure. */
export function measuresTable(record: LiftRecord): ColumnTable {
  return tableOf(
    MEASURE_COLUMNS,
    record.measures.map(({ frameFirst, frameLast, ...measure }) => ({
      recording_id: record.recordingId,
      athlete_id: record.athleteId,
      ...measure,
      frame_first: frameOf(frameFirst),
      frame_last: frameOf(frameLast),
    })),
  );
}

export const ATHLETE_COLUMNS = ['athlete_id', 'sex', 'mass_kg', 'stature_m', 'recordings'] as const;

/** `athletes.csv`: one row a lifter as described; a lifter described differently (a change of body mass) has a row a description. */
export function athletesTable(recordings: readonly Recording[]): ColumnTable {
  const rows = new Map<string, Record<string, unknown> & { recordings: number }>();
  for (const { athlete } of recordings) {
    const key = JSON.stringify([athlete.id, athlete.sex, athlete.massKg, athlete.statureM]);
    const row = rows.get(key) ?? {
      athlete_id: athlete.id,
      sex: athlete.sex,
      mass_kg: athlete.massKg,
      stature_m: athlete.statureM,
      recordings: 0,
    };
    row.recordings++;
    rows.set(key, row);
  }
  const sorted = [...rows].sort(([a], [b]) => (a < b ? -1 : 1)).map(([, row]) => row);
  return tableOf(ATHLETE_COLUMNS, sorted);
}

export const RECORDING_COLUMNS = [
  'recording_id',
  'athlete_id',
  'date',
  'lift_kind',
  'set',
  'planned_repetitions',
  'outcome',
  'grip',
  'effort_rpe',
  'load_total_kg',
  'bar_position',
  'shoe_heel_height_m',
  'segments',
  'synthetic',
  'grade',
] as const;

/**
 * `recordings.csv`: one row a recording, with what the recording file states and a column `condition_<name>` for every
 * free factor, so that the other tables can be compared by condition after joining on `recording_id`.
 */
export function recordingsTable(recordings: readonly { recording: Recording; grade: Grade | null }[]): ColumnTable {
  const sorted = [...recordings].sort((a, b) => (a.recording.id < b.recording.id ? -1 : 1));
  const factors = [...new Set(sorted.flatMap(({ recording }) => Object.keys(recording.condition)))].sort();
  const columns = [...RECORDING_COLUMNS, ...factors.map((factor) => `condition_${factor}`)];
  return tableOf(
    columns,
    sorted.map(({ recording, grade }) => ({
      recording_id: recording.id,
      athlete_id: recording.athlete.id,
      date: recording.date,
      lift_kind: recording.lift.kind,
      set: recording.lift.set,
      planned_repetitions: recording.lift.plannedRepetitions,
      outcome: recording.lift.outcome,
      grip: recording.lift.grip,
      effort_rpe: recording.lift.effortRpe,
      load_total_kg: recording.load.totalKg,
      bar_position: recording.load.bar.position,
      shoe_heel_height_m: recording.shoes.heelHeightM,
      segments: recording.segments,
      synthetic: recording.synthetic,
      grade,
      ...Object.fromEntries(Object.entries(recording.condition).map(([name, value]) => [`condition_${name}`, value])),
    })),
  );
}
