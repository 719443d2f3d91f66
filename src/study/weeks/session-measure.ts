import { weekDateUnreadable, weekLoadUnreadable } from '../../messages/weeks.ts';

/** One measure of one recording: its mean over the full repetitions, and what that mean's doubt is made of. */
export interface SessionMeasure {
  readonly athleteId: string;
  readonly recordingId: string;
  /** ISO 8601 day; null where not stated. */
  readonly date: string | null;
  readonly loadKg: number;
  /** Only sessions alike in these three are compared. */
  readonly liftKind: string;
  readonly barPosition: string;
  readonly condition: string;
  readonly measure: string;
  readonly side: string;
  readonly at: string;
  readonly unit: string;
  /** Mean over `repetitions` repetitions; `missing` more are full and do not know it. */
  readonly value: number;
  readonly repetitions: number;
  readonly missing: number;
  /** Variance of the mean from noise of the measurement, and the freedom it is known with. */
  readonly noiseVariance: number;
  readonly noiseFreedom: number;
  /** What one standard deviation of each cause does to the mean, by the cause's key: sessions that share a key share the cause. */
  readonly effects: ReadonlyMap<string, number>;
  /** Sum of squares of the repetitions about their mean, and its freedom (repetitions − 1); 0 and 0 where not known. */
  readonly scatterSquares: number;
  readonly scatterFreedom: number;
  /** Why the mean has no interval; '' where it has one. */
  readonly reason: string;
}

/** 'as it is': averaged and subtracted. 'logarithm': a ratio; averaged by its logarithm, compared by division. */
export type Scale = 'as it is' | 'logarithm';

/** Ratios of two measured quantities, which are never averaged as such; shares (parts of a whole, within 0 to 1) are. */
export function scaleOf(measure: string): Scale {
  return /_ratio$|_per_/.test(measure) ? 'logarithm' : 'as it is';
}

export const nameOfMeasure = ({ measure, side, at }: Pick<SessionMeasure, 'measure' | 'side' | 'at'>): string =>
  JSON.stringify([measure, side, at]);

/** Days since 1970-01-01; refuses what is no day. */
export function dayNumber(recordingId: string, date: string): number {
  const day = /^\d{4}-\d{2}-\d{2}$/.test(date) ? Date.parse(`${date}T00:00:00Z`) / 86_400_000 : Number.NaN;
  if (!Number.isInteger(day)) throw weekDateUnreadable(recordingId, date);
  return day;
}

export function requireLoad({ recordingId, loadKg }: SessionMeasure): void {
  if (!(Number.isFinite(loadKg) && loadKg >= 0)) throw weekLoadUnreadable(recordingId, loadKg);
}
