import { columnName } from '../lift/quantities.ts';
import { agreement, differences } from './agreement/dictionary.ts';
import { COHORT_TABLES } from './cohort/dictionary.ts';
import { loadChanges, setChanges } from './dictionary-changes.ts';
import {
  athleteId,
  type ColumnEntry,
  lower,
  number,
  reason,
  recordingId,
  repetition,
  side,
  type TableEntry,
  text,
  unit,
  upper,
  whole,
} from './dictionary-columns.ts';
import { curveDifferences, measureDifferences } from './dictionary-compare.ts';
import { causes, comparisons, means } from './dictionary-doubt.ts';
import { findingsEntry } from './dictionary-findings.ts';
import { MOMENT_COLUMN, momentAxesEntry, spatialMomentsEntry } from './dictionary-moments.ts';
import { residualEntry } from './dictionary-residual.ts';
import { segmentTablesEntry } from './dictionary-segments.ts';
import { FRAME_QUANTITIES } from './frame-quantities.ts';
import { reliabilityEntry } from './reliability-table/dictionary.ts';
import { sampleSizeEntry } from './sample-size/sample-size-table.ts';
import { curveTests } from './statistics/curves/curve-test-table.ts';
import { weekChangesEntry, weeks } from './weeks/dictionary.ts';

export type { ColumnEntry, ColumnType, TableEntry } from './dictionary-columns.ts';

const frameTime = (name: string, when: string): ColumnEntry[] => [
  whole(`${name}_frame`, `Frame of ${when}; empty where there is none.`),
  number(`${name}_time_s`, 's', `Time of ${when}.`),
];

const phase = (name: 'descent' | 'ascent', words: string): ColumnEntry[] => [
  whole(`${name}_first_frame`, `First frame of the ${words}; empty where the recording does not have it.`),
  whole(`${name}_last_frame`, `Last frame of the ${words}.`),
  number(`${name}_start_time_s`, 's', `Time of the first frame of the ${words}.`),
  number(`${name}_end_time_s`, 's', `Time of the last frame of the ${words}.`),
];

const frames: TableEntry = {
  file: 'frames.csv',
  row: 'a frame of the whole recording',
  columns: [
    recordingId,
    whole('frame', 'Number of the frame, from 0.'),
    number('time_s', 's', 'Time on the recording’s common clock.'),
    ...FRAME_QUANTITIES.flatMap(({ quantity, sides, unit: of, definition }) =>
      sides.map((which) => number(columnName({ quantity, side: which, unit: of }), of === '' ? '1' : of, definition)),
    ),
  ],
};

const curves: TableEntry = {
  file: 'curves.csv',
  row: 'a repetition, phase, depth and quantity',
  columns: [
    recordingId,
    athleteId,
    repetition,
    text('phase', '`descent` or `ascent`.'),
    text(
      'grid',
      'What depth counts: `thigh_elevation_deg`, or `drop_pct` = per cent of the repetition’s own hip drop.',
    ),
    number('depth', 'deg or %', 'Depth on the grid. Thigh elevation falls as the lifter sinks; drop rises.'),
    text('quantity', 'Name of the quantity, as in frames.csv without side and unit.'),
    side,
    number('value', 'as in unit', 'Value where the phase passes this depth, linear between frames.'),
    lower,
    upper,
    unit,
    reason,
  ],
};

const repetitions: TableEntry = {
  file: 'repetitions.csv',
  row: 'a repetition',
  columns: [
    recordingId,
    athleteId,
    repetition,
    text('order', '`descent first` (a squat) or `ascent first` (a deadlift).'),
    text('completeness', '`full`, `partial` or `failed`.'),
    text('reason', 'Why it is not full; empty where it is.'),
    ...frameTime('top', 'the stand where the movement leaves it (descent first) or reaches it (ascent first)'),
    ...phase('descent', 'way down'),
    ...frameTime('parallel_descent', 'the first frame with thighs at or below parallel on the way down'),
    ...frameTime('bottom', 'the middle of the lowest hips (lowest shoulders where the bar is in the hands)'),
    ...frameTime('parallel_ascent', 'the last frame with thighs at or below parallel on the way up'),
    ...frameTime(
      'sticking',
      'the sticking point: least upward velocity after its first peak, followed by a second peak',
    ),
    ...phase('ascent', 'way up'),
    number('descent_s', 's', 'Time of the way down: measure `descent_time`.'),
    number('ascent_s', 's', 'Time of the way up: measure `ascent_time`.'),
    number('hip_drop_m', 'm', 'How far the mid-hip point sinks from the top to the bottom.'),
    number(
      'bottom_thigh_elevation_deg',
      'deg',
      'Thigh elevation at the bottom, mean of left and right; 0 = parallel, negative below.',
    ),
    number(
      'moments_known_share',
      '1',
      'Share of the frames of both phases in which hip and knee moment are known; 1 = all.',
    ),
  ],
};

const measures: TableEntry = {
  file: 'measures.csv',
  row: 'a repetition (or the set), measure, side and place',
  columns: [
    recordingId,
    athleteId,
    whole('repetition', 'Number of the repetition, from 1; 0 for a measure of the whole set.'),
    text('measure', 'Name of the measure; defined in docs/method/measures.md.'),
    side,
    text(
      'at',
      'Where in the repetition: `start`, `parallel descent`, `parallel ascent`, `parallel` (mean of the two), `bottom`, `largest`, `sticking point`, `descent`, `ascent`; `set` for the whole set.',
    ),
    number('value', 'as in unit', 'Value; empty where unknown.'),
    lower,
    upper,
    unit,
    whole('frame_first', 'First frame that shows it.'),
    whole('frame_last', 'Last frame that shows it.'),
    reason,
  ],
};

const athletes: TableEntry = {
  file: 'athletes.csv',
  row: 'a lifter as described; a lifter described differently in two recordings (a change of body mass) has two rows',
  columns: [
    athleteId,
    text('sex', '`female`, `male` or `unknown`, as stated.'),
    number('mass_kg', 'kg', 'Body mass, as stated.'),
    number('stature_m', 'm', 'Stature, as stated; empty where not stated.'),
    whole('recordings', 'Number of recordings with this description.'),
  ],
};

const recordings: TableEntry = {
  file: 'recordings.csv',
  row: 'a recording, as its recording file states it',
  columns: [
    recordingId,
    athleteId,
    text('date', 'Day of the recording, ISO 8601.'),
    text('lift_kind', 'Kind of lift in the words of the recording file.'),
    whole('set', 'Number of the set.'),
    whole('planned_repetitions', 'Repetitions planned.'),
    text('outcome', '`made` or `failed`, as stated.'),
    text('grip', 'Grip, as stated.'),
    number('effort_rpe', '1', 'Rating of perceived effort, as stated.'),
    number('load_total_kg', 'kg', 'Bar, discs and collars together.'),
    text('bar_position', 'Where the bar is carried.'),
    number('shoe_heel_height_m', 'm', 'Height of the shoe’s heel above its forefoot.'),
    text('segments', 'Segment table used.'),
    { column: 'synthetic', type: 'truth', unit: '', definition: 'true for invented data.' },
    text('grade', '`good`, `usable`, `poor` by calibration/acceptance.json; empty where nothing could be judged.'),
    text('condition_<name>', 'A free factor of the study, one column a factor, as stated in the recording file.'),
  ],
};

/** Every table Kneeward writes, in the order of the documentation. */
export const TABLES: readonly TableEntry[] = [
  frames,
  spatialMomentsEntry,
  momentAxesEntry,
  curves,
  repetitions,
  measures,
  means,
  causes,
  comparisons,
  setChanges,
  loadChanges,
  weeks,
  weekChangesEntry,
  reliabilityEntry,
  residualEntry,
  segmentTablesEntry,
  findingsEntry,
  athletes,
  recordings,
  agreement,
  differences,
  measureDifferences,
  curveDifferences,
  ...COHORT_TABLES,
  curveTests,
  sampleSizeEntry,
];

/** The entry of a column; undefined where the dictionary does not have it. */
export function columnEntry(file: string, column: string): ColumnEntry | undefined {
  const columns = TABLES.find((table) => table.file === file)?.columns ?? [];
  return (
    columns.find((entry) => entry.column === column) ??
    (column.startsWith('condition_') ? columns.find((entry) => entry.column === 'condition_<name>') : undefined) ??
    (column.includes('_moment_') ? columns.find((entry) => entry.column === MOMENT_COLUMN) : undefined)
  );
}
