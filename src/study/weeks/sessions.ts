import { mean } from '../../numerics/statistics.ts';
import { type DoubtfulMean, meanOfMeans, type Scatter } from '../across-loads.ts';
import { dayNumber, type Scale, type SessionMeasure } from './session-measure.ts';

/** One measure on one day: the mean over all its full repetitions, on the scale on which it is compared. */
export interface Session {
  readonly date: string;
  /** Weeks since the first session of the group. */
  readonly week: number;
  readonly loadKg: number;
  readonly recordings: readonly string[];
  /** On the scale: of a ratio, the natural logarithm. */
  readonly mean: DoubtfulMean;
  readonly missing: number;
}

/** The sessions of one athlete, load and measure, in the order of time. */
export interface Series {
  readonly athleteId: string;
  readonly scale: Scale;
  readonly sessions: readonly Session[];
  /** Between repetitions of one recording, pooled over the sessions; freedom 0 where no recording has two. */
  readonly scatter: Scatter;
}

/** `rows`: dated, known, of one measure; of a ratio all above 0. `firstDay`: that of the group, so that all measures count the same weeks. */
export function seriesOf(rows: readonly SessionMeasure[], scale: Scale, firstDay: number): Series {
  const byDate = new Map<string, SessionMeasure[]>();
  for (const row of rows) byDate.set(row.date!, [...(byDate.get(row.date!) ?? []), row]);
  const sessions = [...byDate]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([date, own]): Session => {
      const sorted = [...own].sort((a, b) => (a.recordingId < b.recordingId ? -1 : 1));
      return {
        date,
        week: (dayNumber(sorted[0].recordingId, date) - firstDay) / 7,
        loadKg: mean(sorted.map(({ loadKg }) => loadKg)),
        recordings: sorted.map(({ recordingId }) => recordingId),
        mean: meanOfMeans(sorted.map((row) => onScale(row, scale))),
        missing: sorted.reduce((sum, { missing }) => sum + missing, 0),
      };
    });
  const freedom = rows.reduce((sum, { scatterFreedom }) => sum + scatterFreedom, 0);
  const squares = rows.reduce(
    (sum, { scatterSquares, value }) => sum + scatterSquares / (scale === 'logarithm' ? value ** 2 : 1),
    0,
  );
  return {
    athleteId: rows[0].athleteId,
    scale,
    sessions,
    scatter: { variance: freedom > 0 ? squares / freedom : Number.NaN, freedom },
  };
}

/** To first order: an effect e on a ratio r is e / r on its logarithm. */
function onScale(row: SessionMeasure, scale: Scale): DoubtfulMean {
  if (scale === 'as it is') return row;
  const { value } = row;
  return {
    value: Math.log(value),
    repetitions: row.repetitions,
    effects: new Map([...row.effects].map(([key, effect]) => [key, effect / value])),
    noiseVariance: row.noiseVariance / value ** 2,
    noiseFreedom: row.noiseFreedom,
    reason: row.reason,
  };
}

/** Variance of a session's mean that its repetitions bring: their scatter, which holds their noise, but never less than the noise. */
export function withinVariance({ mean: { noiseVariance, repetitions } }: Session, scatter: Scatter): number {
  return scatter.freedom > 0 ? Math.max(noiseVariance, scatter.variance / repetitions) : noiseVariance;
}
