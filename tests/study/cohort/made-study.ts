import type { ComparisonFile, StudyComparison } from '../../../src/capture/comparison-file.ts';
import { studyComparison } from '../../../src/capture/comparison-file.ts';
import { seededRandom } from '../../../src/numerics/random.ts';
import type { CohortRecording } from '../../../src/study/cohort/recording-facts.ts';

/** The block of a study file that stands on its lines as `lineOf` says. */
export const madeComparison = (
  block: ComparisonFile,
  conditions: readonly string[] = [],
): { readonly file: string; readonly comparison: StudyComparison } => ({
  file: 'study.yaml',
  comparison: studyComparison(block, conditions, () => 7),
});

export interface MadeNumber {
  readonly measure: string;
  readonly side?: 'both' | 'left' | 'right' | '';
  readonly at?: string;
  readonly unit?: string;
  /** One a repetition (NaN unknown), or one of the set. */
  readonly values: readonly number[] | number;
  /** Effects of causes on the mean and its noise; null: no interval. */
  readonly effects?: Readonly<Record<string, number>> | null;
  readonly noiseVariance?: number;
}

/** An invented recording that knows just these numbers. */
export function madeRecording(
  id: string,
  athleteId: string,
  card: Partial<{
    sex: 'female' | 'male' | 'unknown';
    heelHeightM: number | null;
    loadKg: number;
    massKg: number;
    date: string | null;
    kind: string;
    condition: Record<string, string | number | boolean>;
  }>,
  numbers: readonly MadeNumber[],
  partial: readonly number[] = [],
): CohortRecording {
  const repetitions = Math.max(1, ...numbers.map(({ values }) => (typeof values === 'number' ? 1 : values.length)));
  const measures = numbers.flatMap(({ measure, side = '', at = 'set', unit = '1', values }) =>
    (typeof values === 'number' ? [values] : values).map((value, i) => ({
      repetition: typeof values === 'number' ? 0 : i + 1,
      measure,
      side,
      at,
      value,
      unit,
      reason: Number.isNaN(value) ? 'needs left_heel' : '',
    })),
  );
  const means = numbers.flatMap((one) => {
    const { measure, side = '', at = 'set', unit = '1', values, effects = {}, noiseVariance = 0 } = one;
    const own = (typeof values === 'number' ? [values] : values).filter(
      (value, i) => !Number.isNaN(value) && !partial.includes(i + 1),
    );
    if (own.length === 0) return [];
    return [
      {
        measure,
        side,
        at,
        unit,
        value: own.reduce((sum, value) => sum + value, 0) / own.length,
        reason: effects === null ? 'unknown in too many draws' : '',
        effects: new Map(Object.entries(effects ?? {})),
        noiseVariance,
        noiseFreedom: 199,
      },
    ];
  });
  return {
    recording: {
      id,
      date: card.date ?? null,
      athlete: { id: athleteId, sex: card.sex ?? 'female', massKg: card.massKg ?? 60, statureM: null },
      lift: {
        kind: card.kind ?? 'front squat',
        set: null,
        plannedRepetitions: null,
        outcome: null,
        grip: null,
        effortRpe: null,
      },
      load: { totalKg: card.loadKg ?? 60, bar: { position: 'front rack', lengthM: null, massKg: null } },
      shoes: { heelHeightM: card.heelHeightM === undefined ? 0 : card.heelHeightM },
      condition: card.condition ?? {},
    },
    record: {
      measures,
      repetitions: Array.from({ length: repetitions }, (_, i) => ({
        number: i + 1,
        completeness: partial.includes(i + 1) ? ('partial' as const) : ('full' as const),
      })),
    },
    means,
  };
}

export interface Truth {
  readonly athletes: number;
  readonly heelsMm: readonly number[];
  readonly repetitions: number;
  /** Effect of the heel on the lean, deg per mm. */
  readonly heel: number;
  readonly athleteSd: number;
  readonly slopeSd: number;
  readonly recordingSd: number;
  readonly repetitionSd: number;
  /** SD of an error that a rig makes proportional to the heel, deg per mm: alike in all recordings. */
  readonly rigSd?: number;
  /** SD of an error that all recordings of an athlete have alike, deg. */
  readonly bodySd?: number;
}

/** Recordings of trunk lean at parallel: 40° + heel effect + athlete + set + repetition. */
export function madeStudy(truth: Truth, seed: number): CohortRecording[] {
  const random = seededRandom(seed);
  const rig = (truth.rigSd ?? 0) * random.normal();
  return Array.from({ length: truth.athletes }, (_, a) => {
    const id = `A${String(a + 1).padStart(2, '0')}`;
    const level = truth.athleteSd * random.normal() + (truth.bodySd ?? 0) * random.normal();
    const slope = truth.heel + truth.slopeSd * random.normal();
    return truth.heelsMm.map((heel) => {
      const set = truth.recordingSd * random.normal();
      const values = Array.from(
        { length: truth.repetitions },
        () => 40 + level + (slope + rig) * heel + set + truth.repetitionSd * random.normal(),
      );
      const effects = {
        ...(truth.rigSd && { 'rig/lab/scale': truth.rigSd * heel }),
        ...(truth.bodySd && { [`athlete/${id}/mass of trunk`]: truth.bodySd }),
      };
      return madeRecording(`${id}-${heel}`, id, { heelHeightM: heel / 1000, sex: a % 2 === 0 ? 'female' : 'male' }, [
        { measure: 'trunk_lean', at: 'parallel', unit: 'deg', values, effects },
      ]);
    });
  }).flat();
}

/** The study that R fits again: unbalanced, with gaps, two outcomes (one a ratio), a factor of three levels, an interaction. */
export function studyForR(): { study: ReturnType<typeof madeComparison>; recordings: CohortRecording[] } {
  const random = seededRandom(2013);
  const recordings: CohortRecording[] = [];
  for (let a = 0; a < 14; a++) {
    const id = `A${String(a + 1).padStart(2, '0')}`;
    const femur = 0.85 + 0.05 * random.normal();
    const sex = a === 5 ? 'unknown' : a % 3 === 0 ? 'male' : 'female';
    const level = 3 * random.normal();
    const slope = -0.25 + 0.12 * random.normal();
    const stance = 0.1 * random.normal();
    for (let r = 0; r < 4 + (a % 4); r++) {
      const heel = [0, 15, 20, 30][random.integer(4)];
      const grip = ['full', 'hook', 'two_fingers'][random.integer(3)];
      const count = 2 + random.integer(4);
      const set = 1.2 * random.normal();
      const lean = Array.from({ length: count }, (_, i) =>
        a === 2 && i === 1
          ? Number.NaN
          : 42 + level + slope * heel + 20 * (femur - 0.85) + (grip === 'hook' ? 1.5 : 0) + set + random.normal(),
      );
      const width = Array.from({ length: count }, () => Math.exp(0.6 + stance + 0.004 * heel + 0.03 * random.normal()));
      recordings.push(
        madeRecording(
          `${id}-${r + 1}`,
          id,
          { sex, heelHeightM: a === 7 && r === 0 ? null : heel / 1000, condition: { grip } },
          [
            { measure: 'trunk_lean', at: 'parallel', unit: 'deg', values: lean, effects: { 'rig/lab/scale': 0.2 } },
            { measure: 'stance_per_shoulder_width', at: 'start', values: width, effects: null },
            { measure: 'femur_per_trunk', values: femur * Math.exp(0.01 * random.normal()) },
          ],
          count === 5 ? [5] : [],
        ),
      );
    }
  }
  const study = madeComparison(
    {
      outcomes: [{ measure: 'trunk_lean', at: 'parallel' }, { measure: 'stance_per_shoulder_width' }],
      predictors: ['heel_height_mm', 'sex', 'condition_grip', 'femur_per_trunk'],
      interactions: ['heel_height_mm:sex'],
      slopes: ['heel_height_mm'],
      factors: { sex: { reference: 'male' } },
      centre: { heel_height_mm: 15 },
    },
    ['grip'],
  );
  return { study, recordings };
}
