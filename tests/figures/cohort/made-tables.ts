import type { ColumnTable } from 'arquero';
import type { ComparisonFile } from '../../../src/capture/comparison-file.ts';
import { seededRandom } from '../../../src/numerics/random.ts';
import { cohortComparison } from '../../../src/study/cohort/cohort-comparison.ts';
import type { CohortRecording } from '../../../src/study/cohort/recording-facts.ts';
import { csvOf, tableOf } from '../../../src/study/csv.ts';
import { reliabilityTable } from '../../../src/study/reliability-table/reliability-table.ts';
import { readTable } from '../../../src/study/tidy/read-table.ts';
import { TABLE_SCHEMAS } from '../../../src/study/tidy/table-schema.ts';
import type { SessionMeasure } from '../../../src/study/weeks/session-measure.ts';
import { weekChangesTable, weeksTable } from '../../../src/study/weeks/tables.ts';
import { weekChanges } from '../../../src/study/weeks/week-changes.ts';
import { madeComparison, madeRecording } from '../../study/cohort/made-study.ts';

/* An invented study as its tables, read back from CSV as the command does. No number in it is a measurement. */

const WIDE: ComparisonFile = {
  outcomes: [
    { measure: 'hip_share', at: 'parallel', side: 'both' },
    { measure: 'trunk_lean', at: 'parallel' },
  ],
  predictors: ['heel_height_mm', 'femur_per_trunk', 'stance_per_hip_width', 'sex'],
  slopes: ['heel_height_mm'],
};

export interface MadeTables {
  readonly rows: ColumnTable;
  readonly effects: ColumnTable;
  readonly models: ColumnTable;
  /** cohort-means.csv. */
  readonly levelMeans: ColumnTable;
  /** means.csv. */
  readonly setMeans: ColumnTable;
}

/** As the command reads a table: from CSV by its schema. */
export function reread(file: string, table: ColumnTable): ColumnTable {
  const schema = TABLE_SCHEMAS.find((one) => one.file === file)!;
  return readTable(schema, [new TextEncoder().encode(csvOf(table))]);
}

export interface MadeStudy {
  readonly athletes?: number;
  readonly comparison?: ComparisonFile;
  /** Whether recordings have intervals. */
  readonly intervals?: boolean;
  /** Heels that each athlete lifts on; the third athlete lacks 20 mm. */
  readonly heelsMm?: readonly number[];
}

/** Athletes on heels, of 0, 10, 20 and 30 mm where none are named; the third lacks one height, one recording lacks its outcome. */
export function madeRecordings({
  athletes = 12,
  intervals = true,
  heelsMm = [0, 10, 20, 30],
}: MadeStudy = {}): CohortRecording[] {
  const random = seededRandom(85);
  return Array.from({ length: athletes }, (_, a) => {
    const id = `A${String(a + 1).padStart(2, '0')}`;
    const femur = 0.84 + 0.05 * random.normal();
    const [share, lean] = [0.03 * random.normal(), 3 * random.normal()];
    const slope = -0.3 + 0.08 * random.normal();
    return heelsMm.flatMap((heel) => {
      const stance = 1.7 + 0.25 * random.normal();
      const set = random.normal();
      if (a === 2 && heel === 20) return [];
      const count = a === 4 && heel === 10 ? 0 : 4;
      const values = (of: () => number) => Array.from({ length: 4 }, () => (count === 0 ? Number.NaN : of()));
      const effects = (size: number) =>
        intervals ? { 'rig/lab/scale': size * (1 + heel / 30), [`recording/${id}-${heel}/board`]: size } : null;
      return [
        madeRecording(
          `${id}-${heel}`,
          id,
          {
            sex: a % 2 === 0 ? 'female' : 'male',
            heelHeightM: heel / 1000,
            date: `2026-0${3 + (a % 3)}-1${heel / 10}`,
          },
          [
            {
              measure: 'hip_share',
              at: 'parallel',
              side: 'both',
              values: values(
                () =>
                  0.55 +
                  share +
                  0.9 * (femur - 0.84) -
                  0.0022 * heel +
                  0.02 * (stance - 1.7) +
                  0.008 * set +
                  0.008 * random.normal(),
              ),
              effects: effects(0.008),
            },
            {
              measure: 'trunk_lean',
              at: 'parallel',
              unit: 'deg',
              values: values(() => 40 + lean + slope * heel + 60 * (femur - 0.84) + set + random.normal()),
              effects: effects(0.5),
            },
            {
              measure: 'femur_per_trunk',
              values: femur * Math.exp(0.01 * random.normal()),
              effects: { 'detector/hips': 0.006 },
            },
            { measure: 'stance_per_hip_width', at: 'start', values: stance, effects: {} },
          ],
        ),
      ];
    });
  }).flat();
}

export function madeTables(study: MadeStudy = {}): MadeTables {
  const recordings = madeRecordings(study);
  const tables = cohortComparison(madeComparison(study.comparison ?? WIDE), recordings)!;
  const setMeans = recordings.flatMap(({ recording, means }) =>
    means
      .filter(({ measure }) => measure === 'hip_share')
      .map(({ measure, side, at, unit, value, effects, reason }) => {
        const half = 1.96 * Math.sqrt([...effects.values()].reduce((sum, one) => sum + one ** 2, 0));
        const known = reason === '';
        return {
          ...{ recording_id: recording.id, athlete_id: recording.athlete.id, measure, side, at, value, unit },
          ...{ lower: known ? value - half : Number.NaN, upper: known ? value + half : Number.NaN },
        };
      }),
  );
  return {
    rows: reread('cohort-rows.csv', tables.rows),
    effects: reread('cohort-effects.csv', tables.effects),
    models: reread('cohort-models.csv', tables.models),
    levelMeans: reread('cohort-means.csv', tables.means),
    setMeans: tableOf(
      ['recording_id', 'athlete_id', 'measure', 'side', 'at', 'value', 'lower', 'upper', 'unit'],
      setMeans,
    ),
  };
}

/** One athlete's recordings of a measure: a value a day. */
export const madeSessions = (
  athlete: string,
  values: readonly number[],
  of: Partial<SessionMeasure> = {},
): SessionMeasure[] =>
  values.map((value, i) => ({
    athleteId: athlete,
    recordingId: `${athlete}-${i + 1}`,
    date: `2026-0${1 + Math.floor((7 * i) / 28)}-${String(1 + ((7 * i) % 28)).padStart(2, '0')}`,
    loadKg: 60,
    liftKind: 'front squat',
    barPosition: 'front rack',
    condition: 'heel raised',
    measure: 'hip_share',
    side: 'both',
    at: 'parallel',
    unit: '1',
    value,
    repetitions: 4,
    missing: 0,
    noiseVariance: 1e-5,
    noiseFreedom: 99,
    effects: new Map([['athlete/points', 0.02]]),
    scatterSquares: 3e-4,
    scatterFreedom: 3,
    reason: '',
    ...of,
  }));

/** Six athletes over five weeks, one of whom changes; one has a single session. */
export function madeWeekSessions(): SessionMeasure[] {
  const random = seededRandom(7);
  const six = Array.from({ length: 6 }, (_, a) =>
    madeSessions(
      `A0${a + 1}`,
      Array.from({ length: 5 }, (_, week) => 0.5 + 0.03 * a + (a === 1 ? -0.03 * week : 0) + 0.008 * random.normal()),
    ),
  );
  return [...six.flat(), ...madeSessions('A07', [0.6])];
}

export function madeWeeks(sessions: readonly SessionMeasure[] = madeWeekSessions()) {
  const changes = weekChanges(sessions);
  return {
    weeks: reread('weeks.csv', weeksTable(changes)),
    changes: reread('week-changes.csv', weekChangesTable(changes)),
  };
}

export const madeReliability = (sessions: readonly SessionMeasure[]): ColumnTable =>
  reread('reliability.csv', reliabilityTable(sessions));
