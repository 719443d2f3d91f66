import type { Random } from '../../../src/numerics/random.ts';
import type { SessionMeasure } from '../../../src/study/weeks/session-measure.ts';

/** An invented session: hip share 0.6, three repetitions, noise of 0.01 in the mean, nothing shared, no scatter beyond that noise. */
export const madeSession = (change: Partial<SessionMeasure> = {}): SessionMeasure => ({
  athleteId: 'anna',
  recordingId: `${change.athleteId ?? 'anna'}-${change.date ?? 'undated'}`,
  date: '2026-01-05',
  loadKg: 100,
  liftKind: 'front squat',
  barPosition: 'front rack',
  condition: '',
  measure: 'hip_share',
  side: 'both',
  at: 'bottom',
  unit: '1',
  value: 0.6,
  repetitions: 3,
  missing: 0,
  noiseVariance: 0.01 ** 2,
  noiseFreedom: 39,
  effects: new Map(),
  scatterSquares: 0,
  scatterFreedom: 2,
  reason: '',
  ...change,
});

/** The day `week` weeks after 2026-01-05. */
export const dayAfter = (week: number): string =>
  new Date(Date.UTC(2026, 0, 5) + 7 * 86_400_000 * week).toISOString().slice(0, 10);

export interface MadeLifter {
  readonly athleteId: string;
  readonly sessions: number;
  readonly measures: number;
  readonly repetitions: readonly number[];
  /** Standard deviations: from day to day, from repetition to repetition, of the noise of a repetition, of a cause a session. */
  readonly days: number;
  readonly scatter: number;
  readonly noise: number;
  readonly shared: number;
  /** Added a week. */
  readonly slope: number;
}

/** A lifter's sessions a week apart; every measure independent of the others. Scatter is that of the repetitions as measured. */
export function madeLifter(random: Random, lifter: MadeLifter): SessionMeasure[] {
  const { sessions, measures, repetitions, days, scatter, noise, shared, slope } = lifter;
  const rows: SessionMeasure[] = [];
  for (let m = 0; m < measures; m++) {
    // Known to all sessions alike, and so without weight in any difference.
    const detector = 5 * random.normal();
    for (let s = 0; s < sessions; s++) {
      const n = repetitions[s % repetitions.length];
      const truth = 50 + slope * s + days * random.normal();
      const rig = random.normal();
      const values = Array.from({ length: n }, () => truth + scatter * random.normal() + noise * random.normal());
      const mean = values.reduce((sum, value) => sum + value, 0) / n;
      rows.push(
        madeSession({
          athleteId: lifter.athleteId,
          recordingId: `${lifter.athleteId}-${s}`,
          date: dayAfter(s),
          measure: `measure_${m}`,
          unit: 'deg',
          value: mean + detector + shared * rig,
          repetitions: n,
          noiseVariance: noise ** 2 / n,
          effects: new Map([
            ['detector', 5],
            [`rig/${s}`, shared],
          ]),
          scatterSquares: values.reduce((sum, value) => sum + (value - mean) ** 2, 0),
          scatterFreedom: n - 1,
        }),
      );
    }
  }
  return rows;
}
