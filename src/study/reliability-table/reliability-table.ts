import type { ColumnTable } from 'arquero';
import { reliabilityRowReasons } from '../../messages/reliability.ts';
import { tableOf } from '../csv.ts';
import { oneWayIntraclass } from '../statistics/intraclass-correlation.ts';
import { oneWayMeanSquares } from '../statistics/mean-squares.ts';
import { oneWayMeasurementError } from '../statistics/measurement-error.ts';
import { SAME_LOAD_SHARE, sameLoadGroups } from '../weeks/same-load.ts';
import { nameOfMeasure, type SessionMeasure, scaleOf } from '../weeks/session-measure.ts';

export const RELIABILITY_COLUMNS = [
  'lift_kind',
  'bar_position',
  'condition',
  'measure',
  'side',
  'at',
  'scale',
  'unit',
  'icc_form',
  'icc',
  'icc_lower',
  'icc_upper',
  'icc_exact',
  'sem',
  'sem_lower',
  'sem_upper',
  'mdc',
  'mdc_lower',
  'mdc_upper',
  'athletes',
  'athletes_repeated',
  'recordings',
  'sessions',
  'repetitions',
  'missing',
  'other_loads',
  'reason',
] as const;

/**
 * `reliability.csv`: by kind of lift, place of the bar and condition, how alike recordings of one athlete are.
 *
 * One-way: a recording is one value, its set mean; recordings of different athletes have nothing in common. Of an athlete with several
 * loads those count at which there are most recordings. Everything that differs between recordings of one athlete is error
 * here: the measurement, the set, and the day where they are of several days.
 *
 * @param rows set means of the recordings, in any order; an unknown value is NaN
 */
export function reliabilityTable(rows: readonly SessionMeasure[]): ColumnTable {
  const sorted = [...rows].sort((a, b) => (keyOf(a) < keyOf(b) ? -1 : keyOf(a) > keyOf(b) ? 1 : 0));
  return tableOf(RELIABILITY_COLUMNS, groupsOf(sorted, cardKey).map(reliabilityRow));
}

const cardKey = (row: SessionMeasure) =>
  JSON.stringify([row.liftKind, row.barPosition, row.condition, nameOfMeasure(row)]);
const keyOf = (row: SessionMeasure) => `${cardKey(row)} ${row.athleteId} ${row.recordingId}`;

function reliabilityRow(rows: readonly SessionMeasure[]) {
  const scale = scaleOf(rows[0].measure);
  const value = (row: SessionMeasure) =>
    scale === 'as it is' ? row.value : row.value > 0 ? Math.log(row.value) : Number.NaN;
  const athletes = groupsOf(rows, ({ athleteId }) => athleteId);
  const windows = athletes.map((own) => ownWindow(own));
  const groups = windows
    .map((own) => own.filter((row) => Number.isFinite(value(row))))
    .filter(({ length }) => length > 0);
  const there = windows.flat();
  const used = groups.flat();
  const ratio = scale === 'logarithm';
  const { liftKind, barPosition, condition, measure, side, at, unit } = rows[0];
  const repeated = groups.filter(({ length }) => length > 1).length;
  const common = {
    lift_kind: liftKind,
    bar_position: barPosition,
    condition,
    measure,
    side,
    at,
    scale: ratio ? 'ratio' : 'difference',
    unit: ratio ? '1' : unit,
    icc_form: 'ICC(1,1)',
    athletes: groups.length,
    athletes_repeated: repeated,
    recordings: used.length,
    sessions: new Set(used.map((row) => JSON.stringify([row.athleteId, row.date ?? row.recordingId]))).size,
    repetitions: used.reduce((sum, row) => sum + row.repetitions, 0),
    missing: there.length - used.length,
    other_loads: rows.length - there.length,
    reason: '',
  };
  if (groups.length < 2) return { ...common, reason: reliabilityRowReasons.tooFewAthletes(groups.length) };
  if (repeated === 0) return { ...common, reason: reliabilityRowReasons.onceEach() };
  const values = groups.map((own) => own.map(value));
  const { icc1, exact } = oneWayIntraclass(values);
  const { sem, mdc } = oneWayMeasurementError(oneWayMeanSquares(values));
  const back = ratio ? Math.exp : (one: number) => one;
  return {
    ...common,
    icc: icc1.value,
    icc_lower: icc1.lower,
    icc_upper: icc1.upper,
    icc_exact: exact,
    sem: back(sem.value),
    sem_lower: back(sem.lower),
    sem_upper: back(sem.upper),
    mdc: back(mdc.value),
    mdc_lower: back(mdc.lower),
    mdc_upper: back(mdc.upper),
    ...(Number.isFinite(icc1.value) ? {} : { reason: reliabilityRowReasons.nothingVaries() }),
  };
}

/** Recordings of an athlete at the load (within 2.5 %) at which there are most of them with a value. */
function ownWindow(own: readonly SessionMeasure[]): readonly SessionMeasure[] {
  const dated = own.map((row) => ({ ...row, date: row.date ?? row.recordingId }));
  const [most] = sameLoadGroups(dated, SAME_LOAD_SHARE)
    .map(({ rows }) => rows)
    .sort((a, b) => b.length - a.length);
  const ids = new Set(most.map(({ recordingId }) => recordingId));
  return own.filter(({ recordingId }) => ids.has(recordingId));
}

function groupsOf<T>(items: readonly T[], keyOf: (item: T) => string): T[][] {
  const groups = new Map<string, T[]>();
  for (const item of items) {
    const own = groups.get(keyOf(item));
    if (own) own.push(item);
    else groups.set(keyOf(item), [item]);
  }
  return [...groups.values()];
}
