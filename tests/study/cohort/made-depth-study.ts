import { THIGH_ELEVATION_GRID_DEG } from '../../../src/lift/limits.ts';
import { seededRandom } from '../../../src/numerics/random.ts';
import type { KeptCurve } from '../../../src/study/cohort/kept-curves.ts';
import type { CohortRecording } from '../../../src/study/cohort/recording-facts.ts';
import type { CurvePlace } from '../../../src/study/statistics/curves/athlete-curves.ts';
import { madeRecording } from './made-study.ts';

export const PLACES: readonly CurvePlace[] = (['descent', 'ascent'] as const).flatMap((phase) =>
  THIGH_ELEVATION_GRID_DEG.map((depth) => ({ phase, depth })),
);

/** A curve that an invented recording keeps. values: one row a repetition, one number a place. */
export function madeCurve(
  values: readonly (readonly number[])[],
  more: Partial<KeptCurve> = {},
  places: readonly CurvePlace[] = PLACES,
): KeptCurve {
  return {
    quantity: 'hip_share',
    side: 'both',
    grid: 'thigh_elevation_deg',
    unit: '1',
    places,
    repetitions: values.map((_, i) => i + 1),
    values: Float64Array.from(values.flat()),
    effects: null,
    ...more,
  };
}

export const withCurves = (recording: CohortRecording, curves: readonly KeptCurve[]): CohortRecording => ({
  ...recording,
  curves,
});

export interface DepthTruth {
  readonly athletes: number;
  readonly heelsMm: readonly number[];
  /** The second heel less the first, at and below parallel, of the hips' share, way down; half of it standing, 0.7 of it way up. */
  readonly effect: number;
  readonly repetitions?: number;
  /** Without intervals where false. */
  readonly intervals?: boolean;
  /** Each athlete on one heel only, in turn. */
  readonly apart?: boolean;
  readonly seed?: number;
}

/**
 * Invented athletes on heels: hip share over depth with smooth differences between athletes and sets. The first athlete is
 * shallow (not below −5°), the second not below −15°; none below −20°. No number in it is a measurement.
 */
export function madeDepthStudy(truth: DepthTruth): CohortRecording[] {
  const { athletes, heelsMm, effect, repetitions = 4, intervals = true, apart = false, seed = 20 } = truth;
  const random = seededRandom(seed);
  return Array.from({ length: athletes }, (_, a) => {
    const id = `A${String(a + 1).padStart(2, '0')}`;
    const level = 0.035 * random.normal();
    const tilt = 0.02 * random.normal();
    const own = 0.35 * effect * random.normal();
    const deepest = a === 0 ? -5 : a === 1 ? -15 : -20;
    const heels = apart ? [heelsMm[a % heelsMm.length]] : heelsMm;
    return heels.map((heel) => {
      const grows = (depth: number) => 0.5 + 0.5 * Math.min(1, (75 - depth) / 75);
      const k = heelsMm.length > 1 ? heelsMm.indexOf(heel) / (heelsMm.length - 1) : 0;
      const set = 0.006 * random.normal();
      const values = Array.from({ length: repetitions }, () => {
        const wobble = 0.004 * random.normal();
        const phase = random.uniform() * 6;
        return PLACES.map(({ phase: way, depth }) => {
          if (depth < deepest || depth > 70) return Number.NaN;
          const up = way === 'ascent' ? 1 : 0;
          const base = 0.42 + 0.0018 * (75 - depth) + 0.03 * up;
          const athlete = level + (tilt * (30 - depth)) / 50;
          const change = k * (effect + own) * grows(depth) * (1 - 0.3 * up);
          return base + athlete + set + change + wobble * Math.sin(depth / 20 + phase + 2 * up);
        });
      });
      const effects = intervals
        ? new Map([
            ['rig/lab/vertical', Float32Array.from(PLACES, ({ depth }) => 0.01 + k * 0.004 * (depth < 30 ? 1 : 0.5))],
            ['detector/made/hips', Float32Array.from(PLACES, () => 0.012)],
            [`athlete/${id}/mass of trunk`, Float32Array.from(PLACES, () => 0.008)],
          ])
        : null;
      const recording = madeRecording(
        `${id}-${heel}`,
        id,
        {
          heelHeightM: heel / 1000,
          sex: a % 2 === 0 ? 'female' : 'male',
          condition: { shoe: k === 0 ? 'flat' : 'raised' },
        },
        [
          { measure: 'femur_per_trunk', values: 0.85 + level },
          { measure: 'hip_share', side: 'both', at: 'parallel', values: values.map((row) => row[15]) },
        ],
      );
      return withCurves(recording, [madeCurve(values, { effects })]);
    });
  }).flat();
}
