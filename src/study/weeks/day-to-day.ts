import { type Series, withinVariance } from './sessions.ts';

/** How a lifter varies from day to day beyond what repetitions bring, variance on the scale of the measure. */
export interface DayToDay {
  readonly variance: number;
  /** Mean square of the sessions about their trends (or what repetitions bring, where that is more): what `freedom` belongs to. */
  readonly scatter: number;
  readonly freedom: number;
  /** `pooled` over the lifters of the study, from this lifter's `own` sessions, or `stated`. */
  readonly basis: 'pooled' | 'own' | 'stated';
  /** Estimated from sessions of single repetitions alone: how repetitions scatter is then in it, and nowhere else. */
  readonly holdsScatter: boolean;
}

/**
 * From the sessions about the straight line of each series with three or more (method of moments):
 * E[Σ residual²] = Σ M_ss (σ² + within_s), M = I − hat matrix. Series of one lifter on the same days (other loads) hang together, so a
 * lifter counts with the freedom of the longest only. What shared causes do to the residuals stays in: a little too much
 * rather than too little. null where no series has three sessions.
 */
export function dayToDayOf(series: readonly Series[], basis: 'pooled' | 'own'): DayToDay | null {
  const byAthlete = new Map<string, { squares: number; within: number; freedom: number; longest: number }>();
  for (const one of series) {
    const found = aboutTrend(one);
    if (found === null) continue;
    const own = byAthlete.get(one.athleteId) ?? { squares: 0, within: 0, freedom: 0, longest: 0 };
    byAthlete.set(one.athleteId, {
      squares: own.squares + found.squares,
      within: own.within + found.within,
      freedom: own.freedom + found.freedom,
      longest: Math.max(own.longest, found.freedom),
    });
  }
  const holdsScatter = series.every((one) => aboutTrend(one) === null || one.scatter.freedom === 0);
  let [square, within, freedom] = [0, 0, 0];
  for (const one of byAthlete.values()) {
    square += (one.longest * one.squares) / one.freedom;
    within += (one.longest * one.within) / one.freedom;
    freedom += one.longest;
  }
  if (freedom === 0) return null;
  const [total, repetitions] = [square / freedom, within / freedom];
  return {
    variance: Math.max(0, total - repetitions),
    scatter: Math.max(total, repetitions),
    freedom,
    basis,
    holdsScatter,
  };
}

/** Squares of the residuals about the least-squares line, what repetitions bring to them, and their freedom. */
function aboutTrend({ sessions, scatter }: Series) {
  const n = sessions.length;
  if (n < 3 || sessions.some(({ mean }) => mean.reason !== '')) return null;
  let [weeks, values] = [0, 0];
  for (const { week, mean } of sessions) {
    weeks += week / n;
    values += mean.value / n;
  }
  let [spread, together] = [0, 0];
  for (const { week, mean } of sessions) {
    spread += (week - weeks) ** 2;
    together += (week - weeks) * (mean.value - values);
  }
  let [squares, within] = [0, 0];
  for (const session of sessions) {
    const off = session.week - weeks;
    squares += (session.mean.value - values - (together / spread) * off) ** 2;
    within += (1 - 1 / n - (off * off) / spread) * withinVariance(session, scatter);
  }
  return { squares, within, freedom: n - 2 };
}
