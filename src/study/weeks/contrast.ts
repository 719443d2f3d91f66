import { welchFreedom } from '../../lift/across-set/welch.ts';
import type { DayToDay } from './day-to-day.ts';
import { type Series, withinVariance } from './sessions.ts';

/** The doubt of Σ wᵢ · sessionᵢ, Σ wᵢ = 0, by what it comes from; variances on the scale of the measure. */
export interface ContrastDoubt {
  /** Causes that hold for a whole session, what cancels cancelled. */
  readonly shared: number;
  /** Repetitions: their scatter and noise. */
  readonly repetitions: number;
  readonly repetitionsFreedom: number;
  /** Days; NaN where not known. */
  readonly days: number;
  /** Of the measurement: shared + repetitions; and with days, NaN where these are not known. */
  readonly measured: number;
  readonly measuredFreedom: number;
  readonly whole: number;
  readonly wholeFreedom: number;
}

/**
 * First order: a cause of one key is one unknown, so its effects add up with their weights before they are squared; what
 * it does to all sessions alike cancels. Freedom after Welch (1947) and Satterthwaite (1946).
 */
export function doubtOfContrast(
  weights: readonly number[],
  { sessions, scatter }: Series,
  day: DayToDay | null,
): ContrastDoubt {
  const byCause = new Map<string, number>();
  let [repetitions, weightSquares, ofScatter, perFreedom] = [0, 0, 0, 0];
  sessions.forEach((session, s) => {
    const weight = weights[s];
    if (weight === 0) return;
    for (const [key, effect] of session.mean.effects) byCause.set(key, (byCause.get(key) ?? 0) + weight * effect);
    const { noiseVariance, noiseFreedom } = session.mean;
    const within = weight ** 2 * withinVariance(session, scatter);
    repetitions += within;
    weightSquares += weight ** 2;
    if (within > weight ** 2 * noiseVariance) ofScatter += within;
    else perFreedom += within ** 2 / noiseFreedom;
  });
  if (ofScatter > 0) perFreedom += ofScatter ** 2 / scatter.freedom;
  let shared = 0;
  for (const effect of byCause.values()) shared += effect ** 2;
  const measured = shared + repetitions;
  const days = day === null ? Number.NaN : weightSquares * day.variance;
  const whole = measured + days;
  return {
    shared,
    repetitions,
    repetitionsFreedom: welchFreedom(repetitions, perFreedom),
    days,
    measured,
    measuredFreedom: welchFreedom(measured, perFreedom),
    whole,
    wholeFreedom: day === null ? Number.NaN : welchFreedom(whole, daysPerFreedom(day, weightSquares, perFreedom)),
  };
}

/**
 * An estimate from the sessions holds what repetitions bring, so its freedom is that of both; where days are estimated as 0, that of
 * the worse known. A stated one stands beside what repetitions bring.
 */
function daysPerFreedom({ basis, variance, scatter, freedom }: DayToDay, weightSquares: number, repetitions: number) {
  if (basis === 'stated') return (weightSquares * variance) ** 2 / freedom + repetitions;
  const estimated = (weightSquares * scatter) ** 2 / freedom;
  return variance > 0 ? estimated : Math.max(estimated, repetitions);
}

/** Last (or session `of`) less the mean of the first `baseline` ones. */
export function differenceWeights(count: number, baseline: number, of = count - 1): number[] {
  const weights = new Array<number>(count).fill(0);
  for (let s = 0; s < baseline; s++) weights[s] -= 1 / baseline;
  weights[of] += 1;
  return weights;
}

/** Weights of the slope a week: weighted least squares, each session by 1 / (days + repetitions), where these are above 0. */
export function trendWeights({ sessions, scatter }: Series, day: DayToDay): number[] {
  const variances = sessions.map((session) => day.variance + withinVariance(session, scatter));
  const equal = variances.some((variance) => !(variance > 0));
  const precision = variances.map((variance) => (equal ? 1 : 1 / variance));
  let [sum, weeks] = [0, 0];
  sessions.forEach(({ week }, s) => {
    sum += precision[s];
    weeks += precision[s] * week;
  });
  const centre = weeks / sum;
  let spread = 0;
  sessions.forEach(({ week }, s) => {
    spread += precision[s] * (week - centre) ** 2;
  });
  return sessions.map(({ week }, s) => (precision[s] * (week - centre)) / spread);
}
