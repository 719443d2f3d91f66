import type { ColumnTable } from 'arquero';
import { welchFreedom } from '../../lift/across-set/welch.ts';
import { weekReasons } from '../../messages/weeks.ts';
import { studentQuantile } from '../../numerics/student.ts';
import { tableOf } from '../csv.ts';
import { differenceWeights, doubtOfContrast } from './contrast.ts';
import type { SessionMeasure } from './session-measure.ts';
import type { Session } from './sessions.ts';
import type { WeekChanges, WeekSeries } from './week-changes.ts';

export const WEEK_COLUMNS = [
  'athlete_id',
  'lift_kind',
  'bar_position',
  'condition',
  'measure',
  'side',
  'at',
  'date',
  'week',
  'load_kg',
  'recordings',
  'value',
  'lower',
  'upper',
  'unit',
  'n',
  'missing',
  'baseline',
  'mdc_lower',
  'mdc_upper',
  'mdc_basis',
  'reason',
] as const;

export const WEEK_CHANGE_COLUMNS = [
  'athlete_id',
  'lift_kind',
  'bar_position',
  'condition',
  'measure',
  'side',
  'at',
  'comparison',
  'date',
  'against_date',
  'load_kg',
  'against_load_kg',
  'sessions',
  'sessions_missing',
  'scale',
  'value',
  'against_value',
  'unit',
  'change',
  'change_lower',
  'change_upper',
  'mdc',
  'day_to_day_sd',
  'day_to_day_basis',
  'freedom',
  'probability',
  'probability_adjusted',
  'family',
  'verdict',
  'more_repetitions',
  'reason',
] as const;

/** Verdict of a measure with one session at this load. */
export const ONE_SESSION = 'one session only';

const cardOf = (row: SessionMeasure) => ({
  athlete_id: row.athleteId,
  lift_kind: row.liftKind,
  bar_position: row.barPosition,
  condition: row.condition,
  measure: row.measure,
  side: row.side,
  at: row.at,
});

/** Back from the scale: of a logarithm, the ratio. */
const backOf = ({ series }: WeekSeries) => (series.scale === 'logarithm' ? Math.exp : (value: number) => value);

/** `weeks.csv`: a row an athlete, measure and session; left-out rows too, with the reason. */
export function weeksTable({ series, leftOut }: WeekChanges): ColumnTable {
  const rows = series.flatMap((one) => one.series.sessions.map((session, s) => weekRow(one, session, s)));
  const others = leftOut.map(({ row, reason }) => ({
    ...cardOf(row),
    date: row.date ?? '',
    load_kg: row.loadKg,
    recordings: row.recordingId,
    value: row.value,
    unit: row.unit,
    n: row.repetitions,
    missing: row.missing,
    baseline: false,
    mdc_basis: '',
    reason,
  }));
  return tableOf(WEEK_COLUMNS, [...rows, ...others]);
}

function weekRow(one: WeekSeries, session: Session, s: number) {
  const { card, series, baseline, day, reason } = one;
  const n = series.sessions.length;
  const back = backOf(one);
  const { value } = session.mean;
  const known = session.mean.reason === '';
  // Against the mean of all sessions: what they share cancels.
  const half = known ? halfWidth(n === 1 ? [1] : differenceWeights(n, n, s), one, s) : Number.NaN;
  const compared = n > 1 && series.sessions.every(({ mean }) => mean.reason === '');
  const centre = series.sessions.slice(0, baseline).reduce((sum, { mean }) => sum + mean.value / baseline, 0);
  const untold = one.comparisons.some(({ scatter }) => scatter === 'nowhere');
  const band = compared && s >= baseline && !untold ? detectable(one, s) : Number.NaN;
  return {
    ...cardOf(card),
    date: session.date,
    week: session.week,
    load_kg: session.loadKg,
    recordings: session.recordings.join(' '),
    value: back(value),
    lower: back(value - half),
    upper: back(value + half),
    unit: card.unit,
    n: session.mean.repetitions,
    missing: session.missing,
    baseline: s < baseline,
    mdc_lower: back(centre - band),
    mdc_upper: back(centre + band),
    mdc_basis: !compared || s < baseline || untold ? '' : day === null ? 'measurement only' : `days ${day.basis}`,
    reason:
      session.mean.reason !== ''
        ? session.mean.reason
        : compared && s >= baseline && untold
          ? weekReasons.scatterUnknown()
          : reason,
  };
}

/** Doubt of one session's own value: its repetitions whole, shared causes less what they do to all sessions alike. */
function halfWidth(weights: readonly number[], { series }: WeekSeries, s: number): number {
  const own = series.sessions.map((_, i) => (i === s ? 1 : 0));
  const alone = doubtOfContrast(own, series, null);
  const { shared } = doubtOfContrast(weights, series, null);
  const variance = shared + alone.repetitions;
  // Only what repetitions bring is estimated (Satterthwaite 1946).
  const freedom = welchFreedom(variance, alone.repetitions ** 2 / alone.repetitionsFreedom);
  return studentQuantile(0.975, freedom) * Math.sqrt(variance);
}

/** The least difference of session `s` from the baseline that would stand out alone. */
function detectable({ series, baseline, day }: WeekSeries, s: number): number {
  const doubt = doubtOfContrast(differenceWeights(series.sessions.length, baseline, s), series, day);
  return day === null
    ? studentQuantile(0.975, doubt.measuredFreedom) * Math.sqrt(doubt.measured)
    : studentQuantile(0.975, doubt.wholeFreedom) * Math.sqrt(doubt.whole);
}

/** `week-changes.csv`: a row a comparison; one row of a measure that has one session. */
export function weekChangesTable({ series }: WeekChanges): ColumnTable {
  return tableOf(
    WEEK_CHANGE_COLUMNS,
    series.flatMap((one) => (one.comparisons.length === 0 ? [oneSessionRow(one)] : changeRows(one))),
  );
}

function oneSessionRow(one: WeekSeries) {
  const [session] = one.series.sessions;
  return {
    ...cardOf(one.card),
    comparison: '',
    date: session.date,
    against_date: '',
    load_kg: session.loadKg,
    sessions: 1,
    sessions_missing: one.sessionsMissing,
    scale: scaleWord(one),
    value: backOf(one)(session.mean.value),
    unit: one.card.unit,
    day_to_day_basis: '',
    verdict: ONE_SESSION,
    reason: one.reason,
  };
}

const scaleWord = ({ series }: WeekSeries) => (series.scale === 'logarithm' ? 'ratio' : 'difference');

function changeRows(one: WeekSeries) {
  const { card, series, day } = one;
  const back = backOf(one);
  return one.comparisons.map((of) => ({
    ...cardOf(card),
    comparison: of.kind,
    date: series.sessions[of.session].date,
    against_date: series.sessions[of.against].date,
    load_kg: series.sessions[of.session].loadKg,
    against_load_kg: series.sessions[of.against].loadKg,
    sessions: series.sessions.length,
    sessions_missing: one.sessionsMissing,
    scale: scaleWord(one),
    value: back(series.sessions[of.session].mean.value),
    against_value: back(of.againstValue),
    unit: card.unit,
    change: back(of.value),
    change_lower: back(of.lower),
    change_upper: back(of.upper),
    mdc: back(of.detectable),
    day_to_day_sd: day === null ? null : Math.sqrt(day.variance),
    day_to_day_basis: day?.basis ?? '',
    freedom: of.freedom,
    probability: of.probability,
    probability_adjusted: of.adjusted,
    family: of.family,
    verdict: of.verdict,
    more_repetitions: of.moreRepetitions,
    reason: of.reason,
  }));
}
