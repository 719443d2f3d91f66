import type { ColumnTable } from 'arquero';
import { type ChangePoint, changePoint } from '../lift/across-set/change-point.ts';
import { standTogether } from '../lift/across-set/several-measures.ts';
import { welchFreedom } from '../lift/across-set/welch.ts';
import type { LiftRecord } from '../lift/lift-record.ts';
import { changeReasons } from '../messages/changes.ts';
import { studentQuantile } from '../numerics/student.ts';
import type { LiftUncertainty } from '../uncertainty/lift-uncertainty.ts';
import { tableOf } from './csv.ts';
import { whyNoInterval } from './why-no-interval.ts';

/** A measure in one repetition of a set, against the other repetitions. */
export interface RepetitionPoint {
  readonly repetition: number;
  readonly value: number;
  /** 95 % interval of what tells this repetition from the others: errors common to the set are left out; NaN where there is none. */
  readonly lower: number;
  readonly upper: number;
}

/** A measure over the full repetitions of a set. */
export interface SetChange {
  readonly measure: string;
  readonly side: string;
  readonly at: string;
  readonly unit: string;
  readonly points: readonly RepetitionPoint[];
  /** null where the doubt of a value is not known. `from` is a place in `points`. */
  readonly change: ChangePoint | null;
  /** Why there is no change point, or no interval of it. */
  readonly reason: string;
}

/** Every measure that at least two full repetitions of a set know, with the repetition at which it is likeliest to change. */
export function setChangesOf(uncertainty: LiftUncertainty): SetChange[] {
  const { record } = uncertainty;
  const full = new Set(record.repetitions.filter((r) => r.completeness === 'full').map((r) => r.number));
  const places = new Map<string, number[]>();
  record.measures.forEach(({ repetition, measure, side, at, value }, i) => {
    if (!full.has(repetition) || Number.isNaN(value)) return;
    const name = JSON.stringify([measure, side, at]);
    const own = places.get(name);
    if (own) own.push(i);
    else places.set(name, [i]);
  });
  return [...places.values()]
    .filter((outputs) => outputs.length >= 2)
    .map((outputs) => setChange(uncertainty, outputs));
}

function setChange(uncertainty: LiftUncertainty, outputs: readonly number[]): SetChange {
  const { record, causes, effects, intervals } = uncertainty;
  const { measure, side, at, unit } = record.measures[outputs[0]];
  const values = outputs.map((i) => record.measures[i].value);
  const points = (halves: readonly number[]): RepetitionPoint[] =>
    outputs.map((i, k) => ({
      repetition: record.measures[i].repetition,
      value: values[k],
      lower: values[k] - halves[k],
      upper: values[k] + halves[k],
    }));
  const card = { measure, side, at, unit };
  const unknown = outputs.find((i) => whyNoInterval(intervals, i) !== '');
  if (unknown !== undefined) {
    const halves = outputs.map(() => Number.NaN);
    return { ...card, points: points(halves), change: null, reason: whyNoInterval(intervals, unknown) };
  }
  const count = causes.length;
  const own = new Float64Array(outputs.length * count);
  outputs.forEach((i, k) => {
    own.set(effects.subarray(i * count, (i + 1) * count), k * count);
  });
  const noise = outputs.map((i) => noiseOf(uncertainty, i));
  const halves = outputs.map((_, k) => {
    let common = 0;
    for (let c = 0; c < count; c++) {
      let mean = 0;
      for (let other = 0; other < outputs.length; other++) mean += own[other * count + c] / outputs.length;
      common += (own[k * count + c] - mean) ** 2;
    }
    const variance = common + noise[k].variance;
    const freedom = welchFreedom(variance, noise[k].variance ** 2 / noise[k].freedom);
    return studentQuantile(0.975, freedom) * Math.sqrt(variance);
  });
  const change = changePoint({
    values,
    effects: own,
    causes: count,
    noiseVariance: noise.reduce((sum, { variance }) => sum + variance, 0) / noise.length,
    noiseFreedom: noise.reduce((sum, { freedom }) => sum + freedom, 0),
  });
  return {
    ...card,
    points: points(halves),
    change,
    reason: Number.isNaN(change?.lower) ? changeReasons.scatterUnknown(outputs.length) : '',
  };
}

/** Variance of the noise in one output, and the freedom it is known with. */
function noiseOf({ noise, noiseDraws, outputs }: LiftUncertainty, output: number) {
  let known = 0;
  let sum = 0;
  let squares = 0;
  for (let d = 0; d < noiseDraws; d++) {
    const value = noise[d * outputs.count + output] - outputs.values[output];
    if (Number.isNaN(value)) continue;
    known++;
    sum += value;
    squares += value * value;
  }
  return known > 1
    ? { variance: Math.max(0, (squares - (sum * sum) / known) / (known - 1)), freedom: known - 1 }
    : { variance: 0, freedom: 1 };
}

/** Speeds of the way up, the best known first: of those a recording knows only the first is watched. */
export const SPEEDS: readonly string[] = ['bar_velocity_mean', 'placed_bar_velocity_mean', 'hip_velocity_mean'];

/** What a coach watches over a set; a list, so that what is called changed can be kept honest over all of it. */
export const WATCHED: readonly Pick<SetChange, 'measure' | 'side' | 'at'>[] = [
  ...SPEEDS.map((measure) => ({ measure, side: '', at: 'ascent' })),
  { measure: 'bottom_thigh_elevation', side: 'both', at: 'bottom' },
  { measure: 'trunk_lean', side: '', at: 'largest' },
  { measure: 'lean_gained_in_drive', side: '', at: 'ascent' },
  { measure: 'knee_over_toe', side: 'both', at: 'bottom' },
  { measure: 'com_along_foot', side: '', at: 'bottom' },
  { measure: 'hip_share', side: 'both', at: 'bottom' },
  { measure: 'upper_arm_elevation', side: 'both', at: 'bottom' },
  { measure: 'descent_time', side: '', at: 'descent' },
];

/**
 * The watched measures that changed, judged together: in no more than 5 % of the sets in which nothing changes is there one.
 * A table of a hundred measures judged one by one shows five changes in a set without any.
 */
export function watchedChanges(changes: readonly SetChange[]): SetChange[] {
  const speed = SPEEDS.find((name) => changes.some(({ measure }) => measure === name));
  const watched = WATCHED.flatMap(({ measure, side, at }) => {
    if (SPEEDS.includes(measure) && measure !== speed) return [];
    return changes.filter((one) => one.measure === measure && one.side === side && one.at === at);
  });
  const stands = standTogether(watched.map(({ change }) => change?.probability ?? Number.NaN));
  return watched.filter((_, i) => stands[i]);
}

export const SET_CHANGE_COLUMNS = [
  'recording_id',
  'athlete_id',
  'measure',
  'side',
  'at',
  'repetition',
  'value',
  'lower',
  'upper',
  'unit',
  'from_repetition',
  'shape',
  'difference',
  'difference_lower',
  'difference_upper',
  'probability',
  'verdict',
  'effort_rpe',
  'reason',
] as const;

/** `set-changes.csv`: every measure in every full repetition, and from which repetition on it changes. Header only without intervals. */
export function setChangesTable(
  record: LiftRecord,
  effortRpe: number | null,
  changes: readonly SetChange[],
): ColumnTable {
  const rows = changes.flatMap(({ measure, side, at, unit, points, change, reason }) =>
    points.map(({ repetition, value, lower, upper }) => ({
      recording_id: record.recordingId,
      athlete_id: record.athleteId,
      measure,
      side,
      at,
      repetition,
      value,
      lower,
      upper,
      unit,
      from_repetition: change ? points[change.from].repetition : null,
      shape: change?.shape,
      difference: change?.difference,
      difference_lower: change?.lower,
      difference_upper: change?.upper,
      probability: change?.probability,
      verdict: change?.verdict ?? '',
      effort_rpe: effortRpe,
      reason,
    })),
  );
  return tableOf(SET_CHANGE_COLUMNS, rows);
}
