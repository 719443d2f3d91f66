import { FALSE_ALARM } from '../../lift/across-set/change-point.ts';
import { beyond } from '../../lift/across-set/welch.ts';
import { weekReasons } from '../../messages/weeks.ts';
import { studentQuantile } from '../../numerics/student.ts';
import { adjustedProbabilities } from '../statistics/multiplicity.ts';
import { type ContrastDoubt, differenceWeights, doubtOfContrast, trendWeights } from './contrast.ts';
import type { DayToDay } from './day-to-day.ts';
import { moreRepetitions } from './more-repetitions.ts';
import { type Series, withinVariance } from './sessions.ts';

/** What is compared. */
export type ComparisonKind = 'last less first' | 'last less baseline' | 'last less previous' | 'per week';

/**
 * `changed`: beyond the doubt of the measurement, of the repetitions and of the day. `different`: beyond the first two, but not
 * beyond what days differ anyway, or nothing tells that. Else, and where nothing tells how repetitions scatter, `cannot tell yet`. '' where there is no interval.
 */
export type WeekVerdict = 'changed' | 'different' | 'cannot tell yet' | '';

/** A difference or a slope with its doubt, on the scale of the series. */
export interface Comparison {
  readonly kind: ComparisonKind;
  /** Places in the sessions: the last one, and the first of those it is compared with. */
  readonly session: number;
  readonly against: number;
  /** Mean of those it is compared with; NaN for a slope. */
  readonly againstValue: number;
  readonly value: number;
  /** 95 % interval, for this comparison alone; of the measurement and repetitions only where days are not known. */
  readonly lower: number;
  readonly upper: number;
  readonly sd: number;
  readonly freedom: number;
  /** Half of the interval: the least change that would stand out, were this the only comparison. */
  readonly detectable: number;
  readonly doubt: ContrastDoubt;
  /** 'nowhere': sessions of single repetitions, whose scatter no part of the doubt holds; there is no interval then. */
  readonly scatter: 'of repetitions' | 'in days' | 'nowhere';
  /** Probability of so large a value where nothing changes: this comparison alone, and adjusted for all of the athlete; NaN where days are not known. */
  readonly probability: number;
  readonly adjusted: number;
  /** Comparisons judged together. */
  readonly family: number;
  readonly verdict: WeekVerdict;
  readonly moreRepetitions: number | null;
  readonly reason: string;
  /** Part of the variance that the last session's repetitions bring, and their number. */
  readonly last: { readonly variance: number; readonly repetitions: number };
}

/** The comparisons of a series, not yet judged together; none of one session. */
export function comparisonsOf(series: Series, baseline: number, day: DayToDay | null): Comparison[] {
  const { sessions } = series;
  const n = sessions.length;
  if (n < 2) return [];
  const first = differenceWeights(n, baseline);
  const found = [comparison(series, baseline === 1 ? 'last less first' : 'last less baseline', first, 0, day)];
  if (n === 2) return found;
  const previous = differenceWeights(n, 0);
  previous[n - 2] = -1;
  found.push(comparison(series, 'last less previous', previous, n - 2, day));
  // Where days are not known a reason stands in the way of all sessions: no slope without its scatter.
  if (day !== null) found.push(comparison(series, 'per week', trendWeights(series, day), 0, day));
  return found;
}

function comparison(
  series: Series,
  kind: ComparisonKind,
  weights: readonly number[],
  against: number,
  day: DayToDay | null,
): Comparison {
  const { sessions, scatter } = series;
  const last = sessions.length - 1;
  const doubt = doubtOfContrast(weights, series, day);
  const value = sessions.reduce((sum, { mean }, s) => sum + weights[s] * mean.value, 0);
  const why = sessions.find(({ mean }, s) => weights[s] !== 0 && mean.reason !== '')?.mean.reason ?? '';
  const from = scatter.freedom > 0 ? 'of repetitions' : day?.holdsScatter ? 'in days' : 'nowhere';
  const known = why === '' && Number.isFinite(doubt.measured) && from !== 'nowhere';
  const { variance, freedom } = judgedBy(doubt);
  const half = known ? studentQuantile(0.975, freedom) * Math.sqrt(variance) : Number.NaN;
  return {
    kind,
    session: last,
    against,
    againstValue: kind === 'per week' ? Number.NaN : sessions[last].mean.value - value,
    value,
    lower: value - half,
    upper: value + half,
    sd: known ? Math.sqrt(variance) : Number.NaN,
    freedom: known ? freedom : Number.NaN,
    detectable: half,
    doubt,
    scatter: from,
    probability: known && day !== null ? probabilityOf(value, doubt.whole, doubt.wholeFreedom) : Number.NaN,
    adjusted: Number.NaN,
    family: 0,
    verdict: '',
    moreRepetitions: null,
    reason: why,
    last: {
      variance: weights[last] ** 2 * withinVariance(sessions[last], scatter),
      repetitions: sessions[last].mean.repetitions,
    },
  };
}

/** With days where these are known. */
const judgedBy = (doubt: ContrastDoubt) =>
  Number.isNaN(doubt.whole)
    ? { variance: doubt.measured, freedom: doubt.measuredFreedom }
    : { variance: doubt.whole, freedom: doubt.wholeFreedom };

const probabilityOf = (value: number, variance: number, freedom: number): number =>
  beyond(Math.abs(value) / Math.sqrt(variance), freedom);

/**
 * Verdicts of comparisons looked at together: `changed` and `different` each by Holm's (1979) rule over all of them, so that
 * where nothing changes none is called `changed` in 95 %.
 */
export function judgeFamily(comparisons: readonly Comparison[]): Comparison[] {
  const changed = adjustedProbabilities(
    comparisons.map(({ probability }) => probability),
    'holm',
  );
  const apart = adjustedProbabilities(
    comparisons.map(({ value, doubt, sd, scatter }) =>
      Number.isNaN(sd) || scatter !== 'of repetitions'
        ? Number.NaN
        : probabilityOf(value, doubt.measured, doubt.measuredFreedom),
    ),
    'holm',
  );
  const standing = (adjusted: readonly number[]) => adjusted.filter((p) => p < FALSE_ALARM).length;
  return comparisons.map((one, i): Comparison => {
    const daysKnown = !Number.isNaN(one.probability);
    const [by, family] = daysKnown ? [changed.probabilities, changed.n] : [apart.probabilities, apart.n];
    const judged = { ...one, adjusted: changed.probabilities[i], family };
    if (one.reason === '' && one.scatter === 'nowhere')
      return { ...judged, verdict: 'cannot tell yet', reason: weekReasons.scatterUnknown() };
    if (Number.isNaN(one.sd)) return judged;
    if (changed.probabilities[i] < FALSE_ALARM) return { ...judged, verdict: 'changed' };
    if (one.scatter === 'in days')
      return { ...judged, verdict: 'cannot tell yet', reason: weekReasons.scatterInDays() };
    if (apart.probabilities[i] < FALSE_ALARM)
      return {
        ...judged,
        verdict: 'different',
        reason: daysKnown ? weekReasons.withinDays() : weekReasons.dayUnknown(),
      };
    const level = FALSE_ALARM / Math.max(1, family - standing(by));
    const more = moreRepetitions(
      Math.abs(one.value),
      one.doubt,
      judgedBy(one.doubt),
      one.last.variance,
      one.last.repetitions,
      level,
    );
    return { ...judged, verdict: 'cannot tell yet', moreRepetitions: more.repetitions, reason: more.reason };
  });
}
