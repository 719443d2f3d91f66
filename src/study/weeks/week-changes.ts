import { weekOptionOutside, weekReasons } from '../../messages/weeks.ts';
import { type DayToDay, dayToDayOf } from './day-to-day.ts';
import { type Comparison, comparisonsOf, judgeFamily } from './judge.ts';
import { SAME_LOAD_SHARE, sameLoadGroups } from './same-load.ts';
import { dayNumber, nameOfMeasure, requireLoad, type SessionMeasure, scaleOf } from './session-measure.ts';
import { type Series, seriesOf } from './sessions.ts';

export interface WeekOptions {
  /** Loads further apart than this share of the lighter are not compared; SAME_LOAD_SHARE where left out. */
  readonly sameLoadShare?: number;
  /** First sessions whose mean is what later ones are compared with; 1 where left out. */
  readonly baselineSessions?: number;
  /**
   * How a lifter varies from day to day: estimated from all lifters of the study (taken as alike), or from each lifter's own
   * sessions, or as stated (standard deviation in the unit of the measure, of the logarithm for a ratio, by `nameOfMeasure`; not stated
   * ones are pooled). `pooled` where left out.
   */
  readonly dayToDay?: 'pooled' | 'own' | ReadonlyMap<string, { readonly sd: number; readonly freedom: number }>;
  /** Which measures are judged: the fewer, the more each can show. All where left out. */
  readonly judged?: (row: SessionMeasure) => boolean;
}

/** One measure of one athlete at one load over the weeks. */
export interface WeekSeries {
  /** Athlete, task, measure and unit, as in every row of it. */
  readonly card: SessionMeasure;
  readonly series: Series;
  /** Days of the group on which the measure is not known. */
  readonly sessionsMissing: number;
  readonly baseline: number;
  readonly day: DayToDay | null;
  readonly comparisons: readonly Comparison[];
  /** Why there is nothing to compare; '' where there is. */
  readonly reason: string;
}

/** A row that takes no part, with the reason. */
export interface LeftOut {
  readonly row: SessionMeasure;
  readonly reason: string;
}

export interface WeekChanges {
  readonly series: readonly WeekSeries[];
  readonly leftOut: readonly LeftOut[];
  readonly sameLoadShare: number;
}

/**
 * Week to week at the same load: per athlete and measure the sessions in time, their trend, and what changed.
 *
 * Three doubts stand against a change: of the measurement (shared causes cancel by their key), of the repetitions, and of the
 * day. All comparisons of an athlete are judged together by Holm's rule: of an athlete in whom nothing changes one is called
 * `changed` in no more than 5 %, if lifters that are pooled vary alike from day to day. See docs/method/weeks.md.
 */
export function weekChanges(rows: readonly SessionMeasure[], options: WeekOptions = {}): WeekChanges {
  const share = options.sameLoadShare ?? SAME_LOAD_SHARE;
  const baseline = options.baselineSessions ?? 1;
  if (!(share >= 0 && share <= 0.5)) throw weekOptionOutside('sameLoadShare', share, 0, 0.5);
  if (!(Number.isInteger(baseline) && baseline >= 1)) throw weekOptionOutside('baselineSessions', baseline, 1, 1000);
  const { drafts, leftOut } = draftsOf(rows.filter(options.judged ?? (() => true)), share);
  const days = daysOf(drafts, options.dayToDay ?? 'pooled');
  const series = drafts.map((draft): WeekSeries => {
    const first = Math.max(1, Math.min(baseline, draft.series.sessions.length - 1));
    const day = days(draft);
    return { ...draft, baseline: first, day, comparisons: comparisonsOf(draft.series, first, day) };
  });
  return { series: judgedByAthlete(series), leftOut, sameLoadShare: share };
}

type Draft = Pick<WeekSeries, 'card' | 'series' | 'sessionsMissing' | 'reason'>;

function groupBy<T>(items: readonly T[], keyOf: (item: T) => string): T[][] {
  const groups = new Map<string, T[]>();
  for (const item of items) {
    const key = keyOf(item);
    const own = groups.get(key);
    if (own) own.push(item);
    else groups.set(key, [item]);
  }
  return [...groups.values()];
}

function draftsOf(rows: readonly SessionMeasure[], share: number): { drafts: Draft[]; leftOut: LeftOut[] } {
  const leftOut: LeftOut[] = [];
  const dated: SessionMeasure[] = [];
  for (const row of rows) {
    requireLoad(row);
    if (row.date === null) leftOut.push({ row, reason: weekReasons.noDate() });
    else if (scaleOf(row.measure) === 'logarithm' && row.value <= 0)
      leftOut.push({ row, reason: weekReasons.notPositive() });
    else if (Number.isFinite(row.value)) dated.push(row);
    else leftOut.push({ row, reason: row.reason });
  }
  const tasks = groupBy(dated, ({ athleteId, liftKind, barPosition, condition }) =>
    JSON.stringify([athleteId, liftKind, barPosition, condition]),
  );
  const drafts = tasks.flatMap((task) =>
    sameLoadGroups(task, share).flatMap((group) => {
      const days = new Set(group.rows.map(({ date }) => date));
      const firstDay = Math.min(...group.rows.map(({ recordingId, date }) => dayNumber(recordingId, date!)));
      return groupBy(group.rows, nameOfMeasure).map((own): Draft => {
        const series = seriesOf(own, scaleOf(own[0].measure), firstDay);
        const alone = series.sessions.length === 1;
        const why =
          days.size > 1
            ? weekReasons.measureElsewhere()
            : group.otherLoads.length > 0
              ? weekReasons.otherLoads(series.sessions[0].loadKg, group.otherLoads, share)
              : weekReasons.oneSession();
        return {
          card: own[0],
          series,
          sessionsMissing: days.size - series.sessions.length,
          reason: alone ? why : '',
        };
      });
    }),
  );
  return { drafts, leftOut };
}

/** The day-to-day variation that belongs to a series. */
function daysOf(
  drafts: readonly Draft[],
  from: NonNullable<WeekOptions['dayToDay']>,
): (draft: Draft) => DayToDay | null {
  const basis = from === 'own' ? 'own' : 'pooled';
  const keyOf = ({ card }: Draft) => `${basis === 'own' ? card.athleteId : ''} ${nameOfMeasure(card)}`;
  const found = new Map(
    groupBy(drafts, keyOf).map((own) => [
      keyOf(own[0]),
      dayToDayOf(
        own.map(({ series }) => series),
        basis,
      ),
    ]),
  );
  return (draft) => {
    const stated = typeof from === 'string' ? undefined : from.get(nameOfMeasure(draft.card));
    if (stated === undefined) return found.get(keyOf(draft)) ?? null;
    const variance = stated.sd ** 2;
    return { variance, scatter: variance, freedom: stated.freedom, basis: 'stated', holdsScatter: false };
  };
}

/** All comparisons of an athlete are one family. */
function judgedByAthlete(series: readonly WeekSeries[]): WeekSeries[] {
  const judged = new Map<Comparison, Comparison>();
  for (const own of groupBy(series, ({ card }) => card.athleteId)) {
    const family = own.flatMap(({ comparisons }) => comparisons);
    judgeFamily(family).forEach((after, i) => {
      judged.set(family[i], after);
    });
  }
  return series.map((one) => ({ ...one, comparisons: one.comparisons.map((before) => judged.get(before)!) }));
}
